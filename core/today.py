"""The morning page: what today asks, collected from the subjects; as data, and as lines of text.

Each part is reckoned under a guard: one that fails is one line in its place, and all others stand.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, TypeVar

from core.asks import PageLine, Part, Sight
from core.cutting.asks import care
from core.farm import Farm
from core.guard import UNGUARDED, Guard
from core.matters import matters
from core.problems import Problem
from core.register import Register
from core.subject import Subject, part, subjects
from core.units import long_day
from core.weather.asks import readings, season, sun_up
from core.weather.kinds import AVERAGE

T = TypeVar("T")

MATTERS_SHOWN = 3


@dataclass(frozen=True, slots=True)
class Morning:
    """What today asks. Every list may be empty.

    `sun_up` is the farm's clock at sunrise, "" where its place is not known. `cautions` are for today's weather and
    shed; `care` is (crop, caution) for what may be cut today; `first_things` is (what, line to write) while the book
    still lacks its basics. `parts` are the rows of each part by its name; `failed` is (part, sentence) of what a fault
    of ours kept from being reckoned.
    """

    day: str
    title: str
    sun_up: str
    season: str
    weather: str
    cautions: tuple[str, ...]
    care: tuple[tuple[str, str], ...]
    first_things: tuple[tuple[str, str], ...]
    parts: dict[str, tuple[Any, ...]]
    matters: tuple[str, ...]
    failed: tuple[tuple[str, str], ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """As JSON tells it: the parts beside the rest."""
        named = {name: getattr(self, name) for name in self.__slots__ if name != "parts"}
        return {
            **named,
            "first_things": [f"{what}:  {line}" for what, line in self.first_things],
            **self.parts,
        }


def parts_of(farm: Farm) -> list[Part]:
    """The parts of the page that have anything to ask on this farm, from above; what has nothing is not loaded."""
    asking = [subject for subject in subjects() if subject.asks and not _has_none(subject, farm)]
    found = [one for subject in asking for one in getattr(part(subject, "asks"), "PARTS", ())]
    return sorted(found, key=lambda one: one.place)


def morning(sight: Sight, guard: Guard = UNGUARDED) -> Morning:
    """What this morning asks; a clock that is plainly wrong stands first among the cautions."""
    failed: list[tuple[str, str]] = []

    def guarded(name: str, reckon: Callable[[], T], none: T) -> T:
        def fail(why: Problem) -> T:
            failed.append((name, why.sentence))
            return none

        return guard(name, reckon, fail)

    farm, day = sight.farm, sight.day
    nothing: list[str] = []
    warning = sorted((one for one in subjects() if one.cautions), key=lambda one: one.cautions)
    parts: list[Part] = guarded("The parts of the page", lambda: parts_of(farm), [])
    return Morning(
        day=day.isoformat(),
        title=long_day(day),
        sun_up=guarded("Sunrise", lambda: sun_up(farm, day), ""),
        season=guarded("The frost dates", lambda: season(farm, day), ""),
        weather=guarded("Weather", lambda: readings(farm, day), ""),
        cautions=(
            *([sight.clock_problem.sentence] if sight.clock_problem else ()),
            *(said for one in warning for said in guarded(*_cautions(one, sight), nothing)),
        ),
        care=guarded("What wants care", lambda: care(sight), ()),
        first_things=guarded("What to begin with", lambda: tuple(_first_things(farm)), ()),
        parts={one.name: guarded(one.head, partial(_rows, one, sight), ()) for one in parts},
        matters=guarded("To settle", lambda: _sentences(matters(farm)), _sentences(farm.matters)),
        failed=tuple(failed),
    )


def _rows(one: Part, sight: Sight) -> tuple[Any, ...]:
    return tuple(one.rows(sight))


def _cautions(subject: Subject, sight: Sight) -> tuple[str, Callable[[], list[str]]]:
    """What the subject tells the morning to take care of, by the name it has where that fails."""

    def told() -> list[str]:
        return [] if _has_none(subject, sight.farm) else [*part(subject, "asks").cautions(sight)]

    return f"Cautions ({subject.title})", told


def _has_none(subject: Subject, farm: Farm) -> bool:
    """Whether the farm has nothing of all that the subject keeps."""
    return bool(subject.keeps) and not any(_is_there(getattr(farm, name)) for name in subject.keeps)


def _is_there(kept: Any) -> bool:
    return next(kept.live(), None) is not None if isinstance(kept, Register) else bool(kept)


def _sentences(problems: Sequence[Problem]) -> tuple[str, ...]:
    return tuple(problem.sentence for problem in problems)


def _first_things(farm: Farm) -> Iterator[tuple[str, str]]:
    """What a new book still needs, one line to write for each."""
    if not any(row.key == ("spring", *AVERAGE) for row in farm.frost):
        yield "your average last frost, all dates hang on it", "last frost 14 may"
    if not farm.beds:
        yield "your beds, one line for each", "bed b1 50ft"
    elif not list(farm.plantings.live()) and not list(farm.trays.live()):
        yield "what grows: a tray you sowed", "sow 72 strawflower"
        yield "            or what stands in a bed already", "plant zinnia b1 25ft"


# as text


def page(found: Morning, farm: Farm, width: int = 78, guard: Guard = UNGUARDED) -> list[PageLine]:
    """The morning page as lines; none is wider than `width`, and an item takes one line."""
    lines: list[PageLine] = []
    told = dict(found.failed)
    for name, part_lines in _sections(found, farm):
        if name in told:
            lines.append(_fault(told.pop(name)))
        lines += guard(name, partial(list, part_lines), lambda why: [_fault(why.sentence)])
    at = next((i for i, line in enumerate(lines) if line.what not in ("title", "quiet")), len(lines))
    lines[at:at] = [_fault(said) for said in told.values()]
    return [shown for line in lines for shown in _fitted(line, width)]


def _sections(found: Morning, farm: Farm) -> Iterator[tuple[str, Iterator[PageLine]]]:
    """The parts of the page from above, by the names they have in `Morning.failed`."""
    yield "The head", _head(found)
    yield "What to begin with", _to_begin(found)
    yield "To settle", _to_settle(found)
    for one in parts_of(farm):
        yield one.head, _section(one, found.parts.get(one.name, ()))
    yield "The end", _end(found)


def _head(found: Morning) -> Iterator[PageLine]:
    sun = f", sun up {found.sun_up}" if found.sun_up else ""
    yield PageLine("title", f"{found.title}{sun}   {found.season}".rstrip())
    if found.weather:
        yield PageLine("quiet", found.weather)
    for text in found.cautions:
        yield PageLine("caution", f"! {text}")
    if found.care:
        crops = "; ".join(crop for crop, _ in found.care)
        yield PageLine("caution", f"! handle with care (see the sheet): {crops}")


def _to_begin(found: Morning) -> Iterator[PageLine]:
    if found.first_things:
        yield PageLine("head", "To begin, write")
        for what, line in found.first_things:
            yield PageLine("item", f"  {what}:  {line}", write=line)


def _to_settle(found: Morning) -> Iterator[PageLine]:
    if found.matters:
        yield PageLine("head", f"To settle ({len(found.matters)})")
        for text in found.matters[:MATTERS_SHOWN]:
            yield PageLine("item", f"  {text}")


def _section(one: Part, rows: Sequence[Any]) -> Iterator[PageLine]:
    if rows and one.is_headed:
        yield PageLine("head", f"{one.head} ({len(rows)})")
    yield from one.lines(rows)


def _end(found: Morning) -> Iterator[PageLine]:
    if not found.first_things and not found.failed and not any(found.parts.values()):
        yield PageLine("quiet", "Nothing asks for you this morning.")


def _fault(said: str) -> PageLine:
    return PageLine("caution", f"! {said}")


def _fitted(line: PageLine, width: int) -> list[PageLine]:
    """An item about one thing is cut short; others are wrapped, and what leads somewhere leads from its first line."""
    if line.about:
        is_long = len(line.text) > width
        return [line._replace(text=f"{line.text[: width - 2].rstrip()}..") if is_long else line]
    indent = " " * (len(line.text) - len(line.text.lstrip()) + 2)
    first, *more = textwrap.wrap(line.text, width, subsequent_indent=indent, break_long_words=True) or [""]
    return [line._replace(text=first), *(PageLine(line.what, text) for text in more)]
