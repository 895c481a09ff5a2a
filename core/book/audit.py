"""Checking the record: every checksum, id, date and position, and whether its copies agree."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from datetime import date
from itertools import pairwise
from pathlib import Path

from core.book import ids, incoming, layout, snapshot
from core.book.backup import newest
from core.book.book import Book
from core.book.daily import failed
from core.book.device import NAME
from core.book.disk import open_to_read, trouble
from core.book.lines import Flat
from core.book.reader import Reader
from core.problems import Problem
from core.text import clean
from core.units import day_from_iso

_DAY_MS = 86_400_000
_MOST_OF_A_KIND = 20


def audit(book: Book) -> list[Problem]:
    """What is wrong with the record of `book`, each with what to do; [] where all is well.

    Reads everything: all logs, book.json and the newest backup that is whole. Changes nothing. What the entries mean
    (stems, references) is not looked at here.
    """
    flats = book.entries_raw()
    by_id = {flat["id"]: flat for flat in flats}
    now = ids.now_ms()
    book.find_repeats()
    found = [*book.problems(), *incoming.problems(book.folder)]
    for checked in (
        _log_problems(book),
        _entry_problems(flats, now),
        _snapshot_problems(book, by_id),
        _backup_problems(book, by_id, date.fromisoformat(ids.at_text(now)[:10])),
        _mode_problems(book.folder),
    ):
        found += _first_of(checked)
    return found


def _first_of(problems: Iterator[Problem]) -> list[Problem]:
    """The first of one kind of problem, and how many more there are."""
    every = [*problems]
    told = every[:_MOST_OF_A_KIND]
    more = len(every) - len(told)
    return [*told, Problem(f"{more} more of this kind.", code="damaged")] if more else told


def _log_problems(book: Book) -> Iterator[Problem]:
    """Instants that go back in a machine's own log."""
    for name in layout.log_sizes(book.folder / layout.LOGS):
        try:
            with open_to_read(book.folder / layout.LOGS / name) as fd:
                once = {flat["id"]: flat for _, block in Reader(fd).blocks() for flat in block}
        except OSError as error:
            raise trouble(error, "read", name) from error
        if NAME.fullmatch(name.removesuffix(layout.LOG_END)):
            for before, after in pairwise(once.values()):
                if after["at"] <= before["at"]:
                    yield _damaged(
                        f"log/{clean(name)}: {_name(after)} stands after a later one; the log was put "
                        "together by hand. Nothing is lost, order follows the instants.",
                        after,
                    )


def _entry_problems(flats: list[Flat], now: int) -> Iterator[Problem]:
    soon = ids.at_text(now + _DAY_MS)
    for flat in flats:
        if not ids.is_uuid7(flat["id"]):
            yield _damaged(f"{_name(flat)} has an id that no book makes; strike it and enter it again.", flat)
        elif ids.at_text(ids.ms_of(flat["id"])) != flat["at"]:
            yield _damaged(f"{_name(flat)} has an id of another instant; strike it and enter it again.", flat)
        if day_from_iso(flat["on"]) is None or day_from_iso(flat["at"][:10]) is None:
            yield _damaged(f"{_name(flat)} has no date of the calendar; strike it and enter it again.", flat)
        elif flat["at"] > soon:
            yield _damaged(
                f"{_name(flat)} was written more than a day from now: a machine's clock was ahead, or this "
                "one's is behind. Set the clock; the entry may stay.",
                flat,
            )
        if not flat["kind"]:
            yield _damaged(f"{_name(flat)} says not what it is; strike it and enter it again.", flat)


def _snapshot_problems(book: Book, by_id: dict[str, Flat]) -> Iterator[Problem]:
    path = book.folder / layout.SNAPSHOT
    try:
        found = snapshot.read(path)
    except OSError as error:
        raise trouble(error, "read", path) from error
    if found is None:
        if path.exists():
            yield _damaged(
                "book.json is damaged or was changed by another program; delete it, it is made anew."
            )
        return
    about, entries = found
    if about.entries != len(entries):
        yield _damaged(
            f"book.json says it holds {about.entries} entries and holds {len(entries)}; delete it."
        )
    for flat in entries:
        if by_id.get(flat["id"]) != flat:
            yield _damaged(
                f"book.json and the logs differ about {_name(flat)}; the logs count, delete book.json.", flat
            )


def _backup_problems(book: Book, by_id: dict[str, Flat], today: date) -> Iterator[Problem]:
    if problem := failed(book.folder):
        yield problem
    for held in newest(book.folder, today):
        yield from held.problems
        if problem := held.lost(by_id):
            yield problem


def _mode_problems(folder: Path) -> Iterator[Problem]:
    """Files and folders of the farm that others on this machine may read or write."""
    for place, names, files in os.walk(folder):
        for name in [*names, *files]:
            path = Path(place) / name
            try:
                mode = os.lstat(path).st_mode
            except FileNotFoundError:
                continue  # a new snapshot was just renamed
            if stat.S_ISLNK(mode):
                yield _damaged(
                    f"{clean(str(path))} is a link; the book does not follow it, put the file there."
                )
            elif mode & 0o077:
                yield _damaged(
                    f"{clean(str(path))} is open to other users; run: chmod -R go= {clean(str(folder))}"
                )
                return


def _name(flat: Flat) -> str:
    return f"the {clean(flat['kind']) or 'nameless'} of {clean(flat['on'])} ({clean(flat['id'])})"


def _damaged(sentence: str, flat: Flat | None = None) -> Problem:
    return Problem(_begun(sentence), code="damaged", entry=clean(flat["id"]) if flat else None)


def _begun(sentence: str) -> str:
    """With a capital where it begins with a word; file names stay as they are."""
    return "T" + sentence[1:] if sentence.startswith("the ") else sentence
