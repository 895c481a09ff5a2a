"""What an entry says of another: the one place that decides which entries count, and which count no more.

A strike amends; it does not happen on a day. It counts for what it names whatever its date, the order in which both
came, and the day the book is read as of: the set of entries alone decides.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from core.book.entry import Entry
from core.problems import Matter
from core.validity import invalid, is_newer, newer

AMENDING = frozenset({"strike"})
"""Kinds of entries that say something of another one and nothing of the farm."""


class Amendment(NamedTuple):
    """An amending entry in short: its id, the id it names ("" for none), what is wrong with it ("" for nothing).

    `newer` is its kind where a newer shedbook wrote it, "" else.
    """

    id: str
    names: str
    wrong: str = ""
    newer: str = ""


class Amendments(NamedTuple):
    """All that amends in a book, and what comes of it.

    `gone` are the ids that count no more. `ring` are ids of strikes that strike each other in a ring and so do nothing.
    """

    by_id: Mapping[str, Amendment] = MappingProxyType({})
    gone: frozenset[str] = frozenset()
    ring: tuple[str, ...] = ()

    @staticmethod
    def of(rows: Iterable[Amendment]) -> Amendments:
        """What comes of these amendments together."""
        by_id = {row.id: row for row in rows}
        return Amendments(by_id, *_settled(by_id))

    def and_of(self, entries: Iterable[Entry]) -> Amendments:
        """These together with those among `entries`."""
        new = [_short(e) for e in entries if e.kind in AMENDING and e.id not in self.by_id]
        return Amendments.of([*self.by_id.values(), *new]) if new else self

    def counting(self, entries: Iterable[Entry]) -> list[Entry]:
        """Those of the entries from which the farm is folded: the order stays."""
        return [e for e in entries if e.kind not in AMENDING and e.id not in self.gone]

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
        for row in sorted(self.by_id.values()):
            if row.newer and row.id not in self.gone:
                of_newer.setdefault(row.newer, row.id)
        found += [newer(kind, entry) for kind, entry in of_newer.items()]
        told = "Strikes that strike each other in a ring do nothing: strike the entry anew."
        found += [Matter(told, "settle", entry=row, key=("ring", row)) for row in self.ring]
        return sorted(found, key=lambda matter: matter.entry or "")


def amendments(entries: Iterable[Entry]) -> Amendments:
    """What amends among these entries."""
    return Amendments().and_of(entries)


def counting(entries: Iterable[Entry]) -> list[Entry]:
    """Those of the entries that count, by the amendments among them."""
    entries = list(entries)
    return amendments(entries).counting(entries)


def named_by(strike: Entry) -> str:
    """The id a strike names; "" where it names none."""
    named = strike.fields.get("entry")
    return named if isinstance(named, str) else ""


def _short(entry: Entry) -> Amendment:
    if is_newer(entry):  # what its fields mean there, they need not mean here
        return Amendment(entry.id, named_by(entry), newer=entry.kind)
    wrong = invalid(entry)
    return Amendment(entry.id, named_by(entry), wrong.sentence if wrong else "")


def _settled(by_id: Mapping[str, Amendment]) -> tuple[frozenset[str], tuple[str, ...]]:
    """(ids struck, ids of strikes in a ring): a strike counts when no strike that counts names it.

    So a strike of a strike restores.
    """
    waiting = dict.fromkeys(by_id, 0)
    for row in by_id.values():
        if row.names in waiting:
            waiting[row.names] += 1
    ready = [striker for striker, strikers in waiting.items() if strikers == 0]
    gone: set[str] = set()
    settled = 0
    while ready:
        striker = ready.pop()
        settled += 1
        named = by_id[striker].names
        if striker not in gone and named:
            gone.add(named)
        if named in waiting:
            waiting[named] -= 1
            if waiting[named] == 0:
                ready.append(named)
    ring = [] if settled == len(waiting) else [s for s, strikers in waiting.items() if strikers > 0]
    return frozenset(gone.difference(ring)), tuple(sorted(ring))
