"""The book to be looked through: every entry as it counts, what became of it, and how it is named to be put right."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain
from typing import TYPE_CHECKING, NamedTuple

from core.amend import STRIKE, Amendments
from core.book.entry import Entry
from core.codes import canonical
from core.kinds import sentence
from core.mending.fields import code_of
from core.subject import kind_of
from core.units import ID_SHOWN

if TYPE_CHECKING:
    from core.look_back import LookBack

TAKEN_BACK = "taken back"
"""What is told beside an entry that counts no more."""


class EntryRow(NamedTuple):
    """One entry of the book as it counts; strikes are not rows but marks.

    `named` is what a correction calls it by: the code of what it made, or the end of its id. `mark` is "taken back",
    "corrected" or "". `amended_by` are the ids of the strikes and corrections that count for it, oldest first.
    """

    id: str
    on: str
    by: str
    kind: str
    code: str
    named: str
    mark: str
    amended_by: tuple[str, ...]
    entry: Entry

    @property
    def says(self) -> str:
        """The entry as a sentence; made when it is asked for, since of very many found few are seen."""
        return sentence(self.entry)

    @property
    def place(self) -> tuple[str, str, str]:
        """Where it stands in the book: its day, its instant, its id."""
        return self.on, self.entry.at, self.id

    @property
    def is_struck(self) -> bool:
        """Whether it counts no more."""
        return self.mark == TAKEN_BACK


def book_rows(look_back: LookBack, text: str = "") -> list[EntryRow]:
    """The latest entries, or of all there are those in which every word of `text` stands: the newest day first, and of
    a day what was written last."""
    return newest_first(chain.from_iterable(rows_in_steps(look_back, text)))


def newest_first(rows: Iterable[EntryRow]) -> list[EntryRow]:
    """These in the order in which the book is looked through."""
    return sorted(rows, key=lambda row: row.place, reverse=True)


def rows_in_steps(look_back: LookBack, text: str) -> Iterator[list[EntryRow]]:
    """The same in steps of some thousandths of a second, each with the rows that it found, in their order; those that
    were written last come before the others."""
    amended = look_back.amended
    by: dict[str, list[str]] = {}
    for row in sorted(amended.by_id.values(), key=lambda row: row.id):
        if row.id not in amended.gone:
            by.setdefault(row.names, []).append(row.id)
    for found in look_back.sought(text):
        yield newest_first(
            _row(entry, amended, tuple(by.get(entry.id, ()))) for entry in found if entry.kind != STRIKE
        )


def _row(entry: Entry, amended: Amendments, amended_by: tuple[str, ...]) -> EntryRow:
    is_struck = entry.id in amended.gone
    is_corrected = (entry.id, entry.kind) in amended.now
    kind = kind_of(entry.kind, entry.fields)
    code = code_of(entry) or str(entry.fields.get("about") or "")
    made = code if kind is not None and kind.makes and canonical(code) and not is_struck else ""
    return EntryRow(
        entry.id,
        entry.on,
        entry.by,
        entry.kind,
        code,
        made or entry.id[-ID_SHOWN:],
        TAKEN_BACK if is_struck else "corrected" if is_corrected else "",
        amended_by,
        entry,
    )
