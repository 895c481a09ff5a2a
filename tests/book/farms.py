"""Small farms and drafts for the tests of the record."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from core.book.book import Book
from core.book.entry import Draft, Entry

FIRST_MS = 1_782_198_000_000  # 2026-06-23T07:00:00Z


def cut(stems: int = 40, **fields: object) -> Draft:
    """A cut of strawflower, told apart by its stems."""
    return Draft(
        "cut", "2026-06-23", {"crop": "strawflower", "stems": stems, "bed": "b3", "use": "dry", **fields}
    )


def cuts(count: int) -> list[Draft]:
    return [cut(n) for n in range(count)]


def shed(folder: Path) -> Book:
    return Book.create(folder / "farm", device="shed")


def again(book: Book) -> Book:
    """The same farm as a program started anew finds it."""
    return Book.open(book.folder, device=book.device)


def log_of(book: Book, name: str = "") -> Path:
    return book.folder / "log" / f"{name or book.device}.log"


def ids_of(entries: Iterable[Entry]) -> set[str]:
    return {entry.id for entry in entries}
