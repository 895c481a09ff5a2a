"""What a subject of the book is, and the list of subjects: each known by its manifest, loaded part by part when used.

A subject is a folder of `core` with a manifest, `SUBJECT`, in its `__init__`, which imports nothing but this module.
Its parts are modules of that folder: `kinds` (what is written, and what that does to the farm), `lines` (how it is
said), `rows` (what is to be seen, and what it asks of the morning). How it is shown, its "screen", stands with the
screens; only its name is known here. A part is imported when it is first wanted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar, cast

if TYPE_CHECKING:
    from core.kinds import Apply, Kind
    from core.language.verb import Verb


class Subject(NamedTuple):
    """The manifest of a subject: data only, so that knowing a subject costs nothing."""

    title: str
    """As the page, the help and the screen call it."""
    kinds: tuple[str, ...] = ()
    """The kinds of entry it writes. A kind may be shared ("lost"), told apart by a field."""
    hears: tuple[str, ...] = ()
    """Kinds of other subjects that it takes note of: `HEARS` of its `kinds`, kind -> what that does to the farm."""
    verbs: Mapping[str, tuple[str, ...]] = {}
    """Verb of a line -> the words it is written in; these words mean nothing else in any line. Subjects may share a
    verb ("lost"): which of them is meant, their `claims` tell."""
    loose: Mapping[str, tuple[str, ...]] = {}
    """Verb -> words that say what is done only where nothing else in the line does: the verb's `claims` tells.
    "" stands for a line without any verb."""
    begins: tuple[str, ...] = ()
    """What its lines begin with beside the names of its verbs, as it is offered while a line is begun."""
    commands: Mapping[str, str] = {}
    """Command of the command line -> its line of help."""
    view: str = ""
    """What its view is called on the screen; "" where it has none."""
    view_key: str = ""
    """What opens it: a number, a capital letter, or "e" for the book; "" where only the list of views does."""
    rows: tuple[str, ...] = ()
    """The sorts of rows that its screen shows: a row is known everywhere by (sort, id...)."""
    asks: tuple[str, ...] = ()
    """The names of what it asks of the morning: `PARTS` of its `asks`."""
    cautions: int = 0
    """Where among the cautions of the morning stands what it has to tell, `cautions` of its `asks`; 0: nothing."""
    cares: bool = False
    """Whether it knows what wants care while it is handled today: `care` of its `asks`."""
    keeps: tuple[str, ...] = ()
    """Its things on the farm; where there are none of all of them, it has nothing to ask and is not loaded for it."""
    doubts: tuple[str, ...] = ()
    """Kinds of entry, of whatever subject, of which it may know a reason to ask before they are written: `doubts` of
    its `doubts`."""
    answers: tuple[str, ...] = ()
    """Kinds of entry, of whatever subject, on which it has something to tell beside what was written: `answers` of its
    `answers`."""
    events: tuple[str, ...] = ()
    """The sorts of things that it has for a calendar: `EVENTS` of its `events` (core/dated.py)."""
    parts: Mapping[str, str] = {}
    """"kinds", "lines", "asks", "events", "screen" -> its module, for a part that stands elsewhere than in the
    folder."""
    home: str = ""
    """The module of the manifest; filled in by `register`."""


SUBJECTS = [
    "core.cutting",
    "core.fresh",
    "core.drying",
    "core.boxes",
    "core.stems",
    "core.pieces",
    "core.makings",
    "core.orders",
    "core.promising",
    "core.trays",
    "core.beds",
    "core.tubers",
    "core.seeds",
    "core.field",
    "core.plans",
    "core.weather",
    "core.shed",
    "core.season",
    "core.past_seasons",
    "core.learning",
    "core.exports",
    "core.calendar",
    "core.paper",
    "core.plotted",
    "core.mending",
    "core.settings",
    "core.finding",
    "core.meeting",
]
"""The manifests, in the order in which the guide tells the subjects: a new subject is one line here."""

_known: dict[str, Subject] = {}
_clears: list[Callable[[], None]] = []

_F = TypeVar("_F", bound=Callable[..., Any])


def remembered(function: _F) -> _F:
    """As `functools.cache`, forgotten when a subject is registered."""
    kept = cache(function)
    _clears.append(kept.cache_clear)
    return cast(_F, kept)


def register(module: str) -> Subject:
    """Make the subject whose manifest stands in `module` known; ValueError as `refuse_shared_words`."""
    found: Subject = import_module(module).SUBJECT._replace(home=module)
    refuse_shared_words(found)
    _known[module] = found
    _forget()
    return found


def refuse_shared_words(found: Subject) -> None:
    """ValueError where one of the subject's sure words says another verb in another subject."""
    mine = _words(found)
    for other in _known.values():
        theirs = _words(other).items() if other.home != found.home else ()
        if shared := [word for word, verb in theirs if mine.get(word, verb) != verb]:
            raise ValueError(f"{found.title} and {other.title} both write {', '.join(sorted(shared))}")


def unregister(module: str) -> None:
    """Make a subject unknown again."""
    del _known[module]
    _forget()


def subjects() -> list[Subject]:
    """Every subject there is, in the order of `SUBJECTS`; those registered beside the list come last."""
    for module in SUBJECTS:
        if module not in _known:
            register(module)
    return [_known[module] for module in dict.fromkeys((*SUBJECTS, *_known))]


def fingerprint() -> str:
    """The subjects there are, in one word: what was folded with others was folded otherwise."""
    return "/".join(subject.home for subject in subjects())


def part(subject: Subject, name: str) -> Any:
    """A module of the subject, imported when it is first wanted; an ImportError in it passes through."""
    return import_module(subject.parts.get(name) or f"{subject.home}.{name}")


# what is written


@remembered
def kinds_called(name: str) -> tuple[Kind, ...]:
    """The kinds of entry of that name, one a subject that writes it; none where no subject does."""
    homes = [subject for subject in subjects() if name in subject.kinds]
    return tuple(kind for home in homes for kind in kinds_of(home) if kind.name == name)


def kind_of(name: str, fields: Mapping[str, Any]) -> Kind | None:
    """The kind of an entry: of those of one name the one whose field is there, else the first."""
    found = kinds_called(name)
    if len(found) < 2:
        return found[0] if found else None
    return next((kind for kind in found if kind.when in fields), found[0])


@remembered
def hearers(name: str) -> tuple[Apply, ...]:
    """What other subjects make of an entry of that kind, after its own has taken it in."""
    return tuple(part(subject, "kinds").HEARS[name] for subject in subjects() if name in subject.hears)


def kinds_of(subject: Subject) -> tuple[Kind, ...]:
    """The kinds of entry of a subject."""
    if not subject.kinds:
        return ()
    found: tuple[Kind, ...] = part(subject, "kinds").KINDS
    return found


def all_kinds() -> Iterator[Kind]:
    """Every kind of entry there is: loads the `kinds` of all subjects."""
    for subject in subjects():
        yield from kinds_of(subject)


# how its lines are said


@remembered
def sure_words() -> Mapping[str, str]:
    """Word -> the verb that it says wherever it stands."""
    return {word: verb for s in subjects() for verb, words in s.verbs.items() for word in words}


def doubters(kinds: Iterable[str]) -> list[Subject]:
    """The subjects that may know a reason to ask before entries of these kinds are written."""
    asked = set(kinds)
    return [subject for subject in subjects() if not asked.isdisjoint(subject.doubts)]


def answerers(kinds: Iterable[str]) -> list[Subject]:
    """The subjects that have something to tell beside entries of these kinds."""
    asked = set(kinds)
    return [subject for subject in subjects() if not asked.isdisjoint(subject.answers)]


@remembered
def loose_words() -> Mapping[str, tuple[str, ...]]:
    """Word -> the verbs it may say; "" -> those of a line without a verb."""
    found: dict[str, tuple[str, ...]] = {}
    for subject in subjects():
        for verb, words in subject.loose.items():
            for word in words:
                found[word] = (*found.get(word, ()), verb)
    return found


@remembered
def verbs_called(name: str) -> tuple[Verb, ...]:
    """The verbs of that name, one a subject that has it, their `lines` loaded."""
    homes = [s for s in subjects() if name in s.verbs or name in s.loose]
    return tuple(verb for home in homes for verb in verbs_of(home) if verb.name == name)


def verbs_of(subject: Subject) -> tuple[Verb, ...]:
    """The verbs of a subject, its `lines` loaded."""
    if not subject.verbs and not subject.loose:
        return ()
    found: tuple[Verb, ...] = part(subject, "lines").VERBS
    return found


@remembered
def reader_of_change(kind: str) -> Callable[..., dict[str, Any]] | None:
    """How a correction of such an entry is read where its fields hang on one another: `CHANGES` of its subject's
    `lines`, (line, entry) -> the fields as they are to be. None where each field is read on its own."""
    homes = [subject for subject in subjects() if kind in subject.kinds and (subject.verbs or subject.loose)]
    tables = (getattr(part(home, "lines"), "CHANGES", {}) for home in homes)
    return next((table[kind] for table in tables if kind in table), None)


def verbs() -> Iterator[Verb]:
    """Every verb there is: loads the `lines` of all subjects."""
    for subject in subjects():
        yield from verbs_of(subject)


def _words(subject: Subject) -> dict[str, str]:
    return {word: verb for verb, words in subject.verbs.items() for word in words}


def _forget() -> None:
    for clear in _clears:
        clear()
