"""Putting back what a log lost: from book.json, from a backup; always by adding lines, never by editing."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from core.book import ids, incoming
from core.book.backup import read_backup
from core.book.book import Book
from core.book.lines import body_of
from core.problems import Problem


@dataclass(frozen=True, slots=True)
class Restored:
    """What a restore did: entries written back, what could not be, and files beside the logs brought back."""

    written_back: int
    problems: tuple[Problem, ...] = ()
    beside: tuple[str, ...] = ()


def repair(book: Book) -> Restored:
    """Ends a torn line, writes back what only book.json holds, records damaged lines, makes a new snapshot.

    What merges set aside is filed as well.

    Raises ShedbookError where the disk refuses; doing it again then goes on where it stopped.
    """
    book.finish_line()
    back = restore_from_snapshot(book)
    book.find_repeats()
    book.set_aside()
    incoming.file_away(book.folder, ids.at_text(ids.now_ms()))
    book.snapshot(force=True)
    return back


def restore_from_snapshot(book: Book) -> Restored:
    """Writes back the entries book.json holds and no log does."""
    known = {flat["id"] for flat in book.entries_of_logs()}
    lost = book.only_in_snapshot(known)
    book.adopt([body_of(flat) for flat in lost])
    return Restored(len(lost))


def restore(book: Book, backup: Path) -> Restored:
    """Writes back the entries of a backup file that the book lacks, those of book.json first."""
    done = restore_from_snapshot(book).written_back
    bodies, problems = read_backup(backup)
    known = {flat["id"] for flat in book.entries_raw()}
    missing = [body for entry, body in bodies.items() if entry not in known]
    book.adopt(missing)
    book.snapshot(force=True)
    return Restored(done + len(missing), tuple(problems))
