"""What an entry says of another: the one place that decides which entries count, and as what.

A strike takes what it names out of the sum. A correction changes fields of what it names, which keeps its old place:
what rests on it stays. Neither happens on a day: it counts for what it names whatever its date, the order in which
both came, and the day the book is read as of. The set of entries alone decides.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from operator import attrgetter
from types import MappingProxyType
from typing import Any, NamedTuple, TypeAlias

from core.at_odds import APART, at_odds
from core.book.entry import Entry, Fields
from core.problems import Matter
from core.subject import kinds_called
from core.text import clean

STRIKE, CORRECT = "strike", "correct"
AMENDING = frozenset({STRIKE, CORRECT})
"""Kinds of entries that say something of another one and nothing of the farm."""

Place: TypeAlias = tuple[str, str, str]
"""Where an entry stands in the order of the fold: (`on`, `at`, `id`)."""

_NOTHING: Mapping[Any, Any] = MappingProxyType({})


class Amendment(NamedTuple):
    """An amending entry in short: its id, the id it names ("" for none), what is wrong with it ("" for nothing).

    `newer` is its kind where a newer shedbook wrote it, "" else. Of a correction `now` are the fields that change and
    what they change to, `of` is the kind of entry it corrects, `was` are the fields that it found and changed, `about`
    is what the entry is called, and `as_a_whole` whether its fields are reckoned from one another; of a strike `now` is
    None, and `knew` how many corrections of the entry it knew (None: an older shedbook does not say). `at` is its
    instant, `by` who wrote it.
    """

    id: str
    names: str
    wrong: str = ""
    newer: str = ""
    at: str = ""
    of: str = ""
    now: Fields | None = None
    was: Fields | None = None
    about: str = ""
    as_a_whole: bool = False
    by: str = ""
    knew: int | None = None


class Amendments(NamedTuple):
    """All that amends in a book, and what comes of it.

    `gone` are the ids that count no more. `now` are (id, kind) of what is corrected -> field -> what it is now, "on"
    and "by" among them; None for a field that is left out. `ring` are ids of strikes that strike each other in a ring
    and so do nothing. `apart` are corrections of what is reckoned as a whole that knew nothing of an earlier one.
    """

    by_id: Mapping[str, Amendment] = _NOTHING
    gone: frozenset[str] = frozenset()
    ring: tuple[str, ...] = ()
    now: Mapping[tuple[str, str], Fields] = _NOTHING
    apart: tuple[Amendment, ...] = ()

    @staticmethod
    def of(rows: Iterable[Amendment]) -> Amendments:
        """The amendments with all that follows from them: what is struck, what strikes in a ring, what is corrected."""
        by_id = {row.id: row for row in rows}
        gone, ring = _settled(by_id)
        return Amendments(by_id, gone, ring, *_corrected(by_id, gone))

    def and_of(self, entries: Iterable[Entry]) -> Amendments:
        """These together with those among `entries`."""
        new = [_short(e) for e in entries if e.kind in AMENDING and e.id not in self.by_id]
        return Amendments.of([*self.by_id.values(), *new]) if new else self

    def counting(self, entries: Iterable[Entry]) -> list[Entry]:
        """Those of the entries from which the farm is folded, as they count: the order stays."""
        counting = [e for e in entries if e.kind not in AMENDING and e.id not in self.gone]
        return [self.as_it_counts(e) for e in counting] if self.now else counting

    def as_it_counts(self, entry: Entry) -> Entry:
        """The entry with all that was corrected in it; itself where nothing was."""
        now = self.now.get((entry.id, entry.kind))
        return entry if now is None else with_fields(entry, now)

    def place(self, entry: Entry) -> Place:
        """Where the entry stands in the order of the fold, by its day as corrected."""
        now = self.now.get((entry.id, entry.kind)) if self.now else None
        return (entry.on if now is None else now.get("on", entry.on), entry.at, entry.id)

    def ordered(self, entries: Iterable[Entry]) -> list[Entry]:
        """The entries in the order of the fold."""
        return sorted(entries, key=self.place if self.now else attrgetter("on", "at", "id"))

    def in_place(
        self, ordered: Iterable[list[Entry]], moved_entries: Iterable[Entry]
    ) -> Iterator[list[Entry]]:
        """Entries that come some at a time in the order in which they were written, in the order of the fold.

        `moved_entries` are those whose day was corrected (`moved`).
        """
        moved = self.moved()
        waiting = sorted(moved_entries, key=self.place, reverse=True)
        for entries in ordered:
            staying = [e for e in entries if e.id not in moved]
            last = entries[-1].key if entries else ("", "", "")
            while waiting and self.place(waiting[-1]) <= last:
                staying.append(waiting.pop())
            yield self.ordered(staying) if moved else staying
        if waiting:
            yield waiting[::-1]

    def moved(self) -> frozenset[str]:
        """Ids of entries whose day was corrected."""
        return frozenset(entry for (entry, _), now in self.now.items() if "on" in now)

    def corrected(self) -> frozenset[str]:
        """Ids of entries of which something was corrected."""
        return frozenset(entry for entry, _ in self.now)

    def corrections(self) -> Counter[str]:
        """Id of an entry -> how many corrections of it count."""
        return Counter(row.names for row in self.by_id.values() if row.now and row.id not in self.gone)

    def changed_from(self, before: Amendments) -> set[str]:
        """Ids of entries that may count otherwise than by the amendments `before`."""
        now, was = self.now, before.now
        corrected = {key[0] for key in now.keys() | was.keys() if now.get(key) != was.get(key)}
        return set(self.gone.symmetric_difference(before.gone)) | corrected

    def about(self, ids: Iterable[str]) -> set[str]:
        """Ids of the strikes and corrections of these entries, of the strikes of those, and so on."""
        return followed({id: row.names for id, row in self.by_id.items()}, ids)

    def matters(self) -> list[Matter]:
        """What is wrong with the amendments themselves, in the order of their ids."""
        found = [
            Matter(
                f"An entry could not be read: {row.wrong}", "settle", entry=row.id, key=("unreadable", row.id)
            )
            for row in self.by_id.values()
            if row.wrong and row.id not in self.gone
        ]
        of_newer: dict[str, str] = {}
        for row in sorted(self.by_id.values(), key=attrgetter("id")):
            if row.newer and row.id not in self.gone:
                of_newer.setdefault(row.newer, row.id)
        found += [newer(kind, entry) for kind, entry in of_newer.items()]
        told = "What takes each other back in a ring does nothing: take back anew what is wrong."
        found += [Matter(told, "settle", entry=row, key=("ring", row)) for row in self.ring]
        whole = {row.names for row in self.apart}
        found += [_corrected_apart(row, self.now[row.names, row.of]) for row in self.apart]
        found += [
            m for m in at_odds(self.by_id.values(), self.gone) if m.entry not in whole or m.key[0] != APART
        ]
        return sorted(found, key=lambda matter: matter.entry or "")


def amendments(entries: Iterable[Entry]) -> Amendments:
    """What amends among these entries."""
    return Amendments().and_of(entries)


def counting(entries: Iterable[Entry]) -> list[Entry]:
    """The entries that no strike takes back, with their corrections read into them; both are among `entries`."""
    entries = list(entries)
    return amendments(entries).counting(entries)


def followed(names: Mapping[str, str], ids: Iterable[str]) -> set[str]:
    """Of `names` (id -> the id it names) all that name one of `ids`, or one that does, however long the chain."""
    namers: dict[str, list[str]] = {}
    for namer, named in names.items():
        namers.setdefault(named, []).append(namer)
    found: set[str] = set()
    waiting = [*ids]
    while waiting:
        new = [namer for namer in namers.get(waiting.pop(), ()) if namer not in found]
        found.update(new)
        waiting += new
    return found


def newer(kind: str, entry: str) -> Matter:
    """What is told of a kind of which a newer shedbook wrote entries; `entry` is the id of the first."""
    name = clean(kind)
    if kinds_called(kind):
        text = (
            f"Some '{name}' entries are of a newer shedbook: what this one reads of them counts; update it."
        )
    else:
        text = f"'{name}' entries are of a newer shedbook: they are kept and count once you update this one."
    return Matter(text, "newer", entry=entry, key=("newer", kind))


def named_by(amending: Entry) -> str:
    """The id an amending entry names; "" where it names none."""
    named = amending.fields.get("entry")
    return named if isinstance(named, str) else ""


def with_fields(entry: Entry, now: Fields) -> Entry:
    """The entry with fields changed, "on" and "by" among them; those that are None are left out."""
    fields = {name: value for name, value in {**entry.fields, **now}.items() if value is not None}
    on, by = fields.pop("on", entry.on), fields.pop("by", entry.by)
    return Entry(entry.id, on, entry.at, by, entry.kind, fields)


def _short(entry: Entry) -> Amendment:
    found = Amendment(entry.id, named_by(entry))
    from core.validity import invalid, is_newer  # the checks only where something amends

    if is_newer(entry):  # what its fields mean there, they need not mean here
        found = found._replace(newer=entry.kind)
    elif wrong := invalid(entry):
        found = found._replace(wrong=wrong.sentence)
    found = found._replace(at=entry.at, by=entry.by)
    if entry.kind != CORRECT:
        knew = entry.fields.get("known_corrections")
        return found._replace(knew=knew if isinstance(knew, int) else None)
    of, now = str(entry.fields.get("of", "")), entry.fields.get("now")
    if of in AMENDING:
        found = found._replace(wrong="what takes back or corrects is taken back, not corrected.")
    can_be_read = not found.wrong and isinstance(now, Mapping)
    found = found._replace(of=of, now=dict(now) if can_be_read and now else {})
    if not found.now:
        return found
    was, about = entry.fields.get("was"), str(entry.fields.get("about", ""))
    as_a_whole = any(kind.as_a_whole for kind in kinds_called(of))
    return found._replace(
        was=dict(was) if isinstance(was, Mapping) else {}, about=about, as_a_whole=as_a_whole
    )


def _settled(by_id: Mapping[str, Amendment]) -> tuple[frozenset[str], tuple[str, ...]]:
    """(ids struck, ids of strikes in a ring): a strike counts when no strike that counts names it.

    So a strike of a strike restores.
    """
    strikes = {id: row for id, row in by_id.items() if row.now is None}
    waiting = dict.fromkeys(strikes, 0)
    for row in strikes.values():
        if row.names in waiting:
            waiting[row.names] += 1
    ready = [striker for striker, strikers in waiting.items() if strikers == 0]
    gone: set[str] = set()
    settled = 0
    while ready:
        striker = ready.pop()
        settled += 1
        named = strikes[striker].names
        if striker not in gone and named:
            gone.add(named)
        if named in waiting:
            waiting[named] -= 1
            if waiting[named] == 0:
                ready.append(named)
    ring = [] if settled == len(waiting) else [s for s, strikers in waiting.items() if strikers > 0]
    return frozenset(gone.difference(ring)), tuple(sorted(ring))


def _corrected(
    by_id: Mapping[str, Amendment], gone: frozenset[str]
) -> tuple[Mapping[tuple[str, str], Mapping[str, Any]], tuple[Amendment, ...]]:
    """What the corrections that count come to: of two that change one field the later one holds; and those that are
    `apart`, until a later one knows what both said."""
    rows = [row for row in by_id.values() if row.now and row.id not in gone]
    now: dict[tuple[str, str], dict[str, Any]] = {}
    apart: dict[tuple[str, str], Amendment] = {}
    for row in sorted(rows, key=attrgetter("at", "id")):
        corrects = row.names, row.of
        before, after = now.setdefault(corrects, {}), row.now or {}
        if row.as_a_whole:
            if _knew_nothing_of(before, row.was or {}, after):
                apart[corrects] = row
            elif after.keys() - _HEAD:
                apart.pop(corrects, None)
        before.update(after)
    return now or _NOTHING, tuple(apart.values())


_HEAD = frozenset(("on", "by"))


def _knew_nothing_of(before: Fields, was: Fields, after: Fields) -> bool:
    """Whether a correction found other values than those corrected `before`, and leaves some of these standing."""
    at_odds = any(
        before[name] not in (was.get(name), after[name]) for name in before.keys() & after.keys() - _HEAD
    )
    return at_odds and not before.keys() - _HEAD <= after.keys()


def _corrected_apart(row: Amendment, now: Fields) -> Matter:
    name = clean(row.about) or "An entry"
    example = f", such as: {name} was {now['stems']}" if "stems" in now else ""
    said = f"{name} was corrected on two machines apart, and what is reckoned from it fits neither"
    return Matter(
        f"{said}: say once more what it is to be{example}.", "settle", entry=row.names, key=(APART, row.names)
    )
