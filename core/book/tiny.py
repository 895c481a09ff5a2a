"""The book as a TinyDB database: queries like any other, inserts that are appended to the log.

    with BookDB(folder, by="ml") as db:
        db.insert({"kind": "cut", "on": "2026-06-23", "crop": "strawflower", "stems": 40})
        db.search(where("kind") == "cut")

A Storage and a Table, TinyDB's own points of extension. Its Table rewrites the whole database for every
insert; ours hands the new entries to the storage, which appends them, so an insert costs the same in a
book of any size. Whatever would edit or remove an entry is refused.
"""

from __future__ import annotations

import marshal
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, NoReturn

from tinydb import TinyDB
from tinydb.queries import QueryLike
from tinydb.storages import Storage
from tinydb.table import Document, Table

from core.book.book import Book
from core.book.entry import Draft, Entry
from core.book.lines import Flat
from core.book.logs import Replaced
from core.problems import Problem, ShedbookError

ENTRIES = "entries"
"""The one table of a book."""


class LogStorage(Storage):
    """A farm folder, or the book opened in it, as TinyDB's storage. `by` are the initials inserts are written under."""

    def __init__(self, farm: str | Path | Book, *, by: str = "", device: str | None = None) -> None:
        self._book = farm if isinstance(farm, Book) else Book.open(Path(farm), device=device)
        self._is_ours = not isinstance(farm, Book)
        self._by = by
        self._rows: dict[int, Flat] = {}
        self._read = False

    def read(self) -> dict[str, dict[str, Any]]:
        """The tables as TinyDB wants them: a copy, so nothing done to it reaches the book."""
        self.refresh()
        rows = marshal.loads(marshal.dumps(self._rows))
        return {ENTRIES: {str(number): row for number, row in rows.items()}}

    def write(self, data: dict[str, dict[str, Any]]) -> None:
        """Refused: writing the whole database anew could only change or drop entries."""
        _never_edited()

    def close(self) -> None:
        """Closes the book where it was opened here."""
        if self._is_ours:
            self._book.close()

    def append(self, documents: Iterable[Mapping[str, Any]]) -> list[int]:
        """Writes each document as an entry, all or none, and returns their numbers.

        A document has "kind", "on" and its own fields, "by" where it is not the storage's.
        Raises ValueError for what is no such document, ShedbookError as `Book.append` does.
        """
        drafts, writers = _drafts(documents, self._by)
        if not drafts:
            return []
        if len(writers) > 1:
            raise ValueError("entries written together are written by one person")
        (by,) = writers
        if not self._read:
            self.refresh()
        try:
            written = self._book.append(drafts, by=by, check=self._take)
        except Replaced:  # a log was put back from a copy between the two: read it all, then write
            self._read = False
            self.refresh()
            written = self._book.append(drafts, by=by, check=self._take)
        begin = len(self._rows) + 1
        self._take(written)
        return list(range(begin, begin + len(written)))

    def refresh(self) -> bool:
        """Takes in what others wrote; whether there was anything."""
        before = len(self._rows)
        if self._read:
            try:
                self._take(self._book.entries_after(self._book.position()))
            except Replaced:
                self._read = False
        if not self._read:
            self._rows = {}
            self._take(self._book.entries())
            self._read = True
        return len(self._rows) != before

    def row(self, number: int) -> Flat | None:
        """A copy of one entry by its number, None where there is none."""
        row = self._rows.get(number)
        return None if row is None else marshal.loads(marshal.dumps(row))

    def __len__(self) -> int:
        return len(self._rows)

    def _take(self, entries: list[Entry]) -> None:
        for entry in entries:
            self._rows[len(self._rows) + 1] = entry.as_dict()


class EntryTable(Table):
    """The table of entries: inserts append, nothing is edited, queries are TinyDB's own."""

    _storage: LogStorage

    def insert(self, document: Mapping[str, Any]) -> int:
        """Writes one entry and returns its number; it is on the disk when this returns."""
        return self.insert_multiple([document])[0]

    def insert_multiple(self, documents: Iterable[Mapping[str, Any]]) -> list[int]:
        """Writes entries together, all or none, and returns their numbers."""
        if self.name != ENTRIES:
            raise ShedbookError(Problem(f'A book has one table; write into "{ENTRIES}".', code="impossible"))
        numbers = self._storage.append(documents)
        self.clear_cache()
        return numbers

    def search(self, cond: QueryLike) -> list[Document]:
        """The entries `cond` holds for, those other processes just wrote included."""
        if self._storage.refresh():
            self.clear_cache()
        return super().search(cond)

    def get(  # type: ignore[override]
        self, cond: QueryLike | None = None, doc_id: int | None = None, doc_ids: list[int] | None = None
    ) -> Document | list[Document] | None:
        """As TinyDB's; by number it looks up that one entry and copies nothing else."""
        if doc_id is None:
            return super().get(cond, doc_id, doc_ids)  # type: ignore[arg-type]  # its overloads take no None
        self._storage.refresh()
        row = self._storage.row(doc_id)
        return None if row is None else self.document_class(row, doc_id)

    def __len__(self) -> int:
        self._storage.refresh()
        return len(self._storage)

    def update(self, *_: object, **__: object) -> NoReturn:
        """Refused."""
        _never_edited()

    def update_multiple(self, *_: object, **__: object) -> NoReturn:
        """Refused."""
        _never_edited()

    def upsert(self, *_: object, **__: object) -> NoReturn:
        """Refused."""
        _never_edited()

    def remove(self, *_: object, **__: object) -> NoReturn:
        """Refused."""
        _never_edited()

    def truncate(self) -> NoReturn:
        """Refused."""
        _never_edited()


class BookDB(TinyDB):
    """A TinyDB whose one table are the entries of a farm folder."""

    table_class = EntryTable
    default_table_name = ENTRIES
    default_storage_class = LogStorage  # type: ignore[assignment]  # typed as the stock one


def _drafts(documents: Iterable[Mapping[str, Any]], by: str) -> tuple[list[Draft], set[str]]:
    drafts, writers = [], set()
    for document in documents:
        if not isinstance(document, Mapping):
            raise ValueError("an entry is a mapping")
        if isinstance(document, Document):
            raise ValueError("the book numbers its entries itself; insert a plain dict")
        if not isinstance(document.get("kind"), str) or not isinstance(document.get("on"), str):
            raise ValueError('an entry has a "kind" and a date "on"')
        fields = {name: value for name, value in document.items() if name not in ("kind", "on", "by")}
        drafts.append(Draft(document["kind"], document["on"], fields))
        writers.add(str(document.get("by", by)))
    return drafts, writers


def _never_edited() -> NoReturn:
    raise ShedbookError(
        Problem(
            "Entries are never edited or removed; write a strike for the one that is wrong.",
            code="impossible",
        )
    )
