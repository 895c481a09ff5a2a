"""What was written, looked up: entries as they count, the story of one thing, and what became of each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import TYPE_CHECKING

from core.amend import Amendments
from core.book.book import Book
from core.book.entry import Entry
from core.farm import Farm
from core.fold import as_of
from core.folded import Folded
from core.marks import Marks, marks_of
from core.problems import Problem
from core.shared_codes import SharedCodes
from core.wanted import Wanted

if TYPE_CHECKING:
    from core.record import Record


class LookBack:
    """Looks up the entries of a session's book, up to `on` where it is read as of a day, else all of them."""

    def __init__(self, book: Book, folded: Folded, on: date | None) -> None:
        self._book, self._folded, self._on = book, folded, on

    def entries(self, wanted: Wanted | None = None) -> list[Entry]:
        """All entries in order, or those wanted, with all that was corrected in them; struck ones too."""
        if wanted is not None and any(wanted):
            return self._as_of(self._record().entries(wanted))
        found = self._folded.entries()
        if self.amended.now:
            found = self.amended.ordered(map(self.amended.as_it_counts, found))
        return self._as_of(self._as_called(found))

    def history(self, code: str) -> list[Entry] | Problem:
        """Every entry that speaks of a lot, tray, planting or bed, and of what it came from."""
        from core.history import history  # brings TinyDB's queries

        return history(self._record(), code, self.amended)

    def sought(self, text: str) -> Iterator[list[Entry]]:
        """The entries in which every word of `text` stands, without a word the latest: some at a time, those written
        last before the others; a step that found none comes too."""
        if not text.strip():
            called = self._called()
            yield self._as_of([called.of(self.amended.as_it_counts(entry)) for entry in self._folded.tail])
        elif self._on is None:
            yield from self._record().sought(text)
        else:
            found: list[Entry] = []
            for some in self._record().sought(text):
                found += some
                yield []
            yield self._as_of(found)  # what amends an entry comes with it, in whatever step it was found

    def of_kind(self, kind: str) -> list[Entry]:
        """The entries of that kind that count, as they are called now."""
        return self._as_called(self._as_of(self._folded.of_kind(kind)))

    def marks(self, entries: Iterable[Entry]) -> Marks:
        """Which of these are struck, and of which something was corrected."""
        return marks_of(list(entries), self.amended, self._folded.found)

    def named(self, ids: Iterable[str]) -> list[Entry]:
        """The entries with these ids, in their order."""
        return [entry for one in ids for entry in self._folded.find(one)]

    @property
    def amended(self) -> Amendments:
        """What was struck and corrected."""
        return self._folded.amended

    @property
    def farm(self) -> Farm:
        """The farm as it stands on the day the book is read."""
        return self._folded.farm

    def _record(self) -> Record:
        from core.record import Record  # brings TinyDB

        return Record(self._book, self.amended, self._called(), self.farm)

    def _called(self) -> SharedCodes:
        return SharedCodes(self._folded.whole() if self._on else self.farm)

    def _as_called(self, found: list[Entry]) -> list[Entry]:
        return [*map(self._called().of, found)] if self.farm.given_twice else found

    def _as_of(self, found: list[Entry]) -> list[Entry]:
        return found if self._on is None else as_of(found, self._on.isoformat(), self.amended)
