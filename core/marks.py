"""What became of entries, told beside them in a list: which are struck, which corrected, what a strike struck."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from core.amend import STRIKE, Amendments, named_by
from core.book.entry import Entry
from core.kinds import sentence


class Marks(NamedTuple):
    """The ids of entries that are struck, and of those in which something was corrected; what the strikes among them
    name, and what strikes among that name, by id.
    """

    struck: frozenset[str] = frozenset()
    corrected: frozenset[str] = frozenset()
    named: Mapping[str, Entry] = MappingProxyType({})


UNMARKED = Marks()
"""Of entries that nothing became of."""


def marks_of(
    entries: Sequence[Entry], amended: Amendments, found: Callable[[set[str]], Iterable[Entry]]
) -> Marks:
    """The marks of these entries; `found` gives entries of the book by their ids."""
    ids, named = {entry.id for entry in entries}, dict[str, Entry]()
    among: Iterable[Entry] = entries
    for _ in range(2):
        if sought := {named_by(entry) for entry in among if entry.kind == STRIKE}:
            among = [amended.as_it_counts(entry) for entry in found(sought)]
            named |= {entry.id: entry for entry in among}
    return Marks(amended.gone & ids, frozenset(amended.corrected()) & ids, named)


def listed(entry: Entry, marks: Marks) -> str:
    """An entry as a sentence among others; a strike as what it took back or, of a strike, restored."""
    named = marks.named.get(named_by(entry)) if entry.kind == STRIKE else None
    if named is None:
        return sentence(entry)
    restored = marks.named.get(named_by(named)) if named.kind == STRIKE else None
    return f"restored: {sentence(restored)}" if restored else f"taken back: {sentence(named)}"
