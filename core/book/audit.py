"""Checking the record: every checksum, id, date and position, and whether its copies agree."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import TypeAlias
from zlib import crc32

from core.book import ids, incoming, layout, snapshot
from core.book.backup import DAMAGED, damaged_aside, looked_into
from core.book.book import Book
from core.book.daily import failed
from core.book.device import NAME
from core.book.disk import trouble
from core.book.entry import Entry
from core.book.fit import read_fit
from core.book.lines import BODY_ID, Flat
from core.book.sweep import Sweep
from core.problems import Problem
from core.text import clean
from core.units import day_from_iso

_DAY_MS = 86_400_000
_MOST_OF_A_KIND = 20

Look: TypeAlias = Callable[[list[Flat]], None]
"""Is shown the entries of a book, some thousand at a time, in no order."""


def audit(book: Book, sweep: Sweep | None = None, look: Look = lambda _flats: None) -> list[Problem]:
    """What is wrong with the record of `book`, each with what to do; [] where all is well.

    Reads everything: all logs, book.json, the newest backup that is whole and those of the last days. Changes
    nothing. What the entries mean (stems, references) is not looked at here; `look` is shown all of them on the way
    of `sweep`.
    """
    sweep = book.through(Sweep) if sweep is None else sweep
    out_of_order: list[Problem] = []
    odd: list[Problem] = []
    now = ids.now_ms()
    last: dict[str, str] = {}
    for name, flats in sweep.blocks():
        if flats and NAME.fullmatch(name.removesuffix(layout.LOG_END)):
            out_of_order += _order_problems(name, flats, last.get(name, ""))
            last[name] = flats[-1]["at"]
        odd += _entry_problems(flats, now)
        look(flats)
    if sweep.repeats:
        book.find_repeats()
    found = [*book.problems(), *incoming.problems(book.folder)]
    for checked in (
        out_of_order,
        odd,
        _snapshot_problems(book, sweep),
        _backup_problems(book, sweep.sums, date.fromisoformat(ids.at_text(now)[:10])),
        _mode_problems(book.folder),
    ):
        found += _first_of(checked)
    return found


def _first_of(problems: Iterable[Problem]) -> list[Problem]:
    """The first of one kind of problem, and how many more there are."""
    every = [*problems]
    told = every[:_MOST_OF_A_KIND]
    more = len(every) - len(told)
    return [*told, Problem(f"{more} more of this kind.", code="damaged")] if more else told


def _order_problems(name: str, flats: list[Flat], last: str) -> Iterator[Problem]:
    """Instants that go back in a machine's own log; `last` is the one before these entries."""
    for flat in flats:
        if flat["at"] <= last:
            yield _damaged(
                f"log/{clean(name)}: {_name(flat)} stands after a later one; the log was put "
                "together by hand. Nothing is lost, order follows the instants.",
                flat,
            )
        last = flat["at"]


def _entry_problems(flats: list[Flat], now: int) -> Iterator[Problem]:
    soon = ids.at_text(now + _DAY_MS)
    for flat in flats:
        entry, at = flat["id"], flat["at"]
        if not ids.is_uuid7(entry):
            yield _damaged(
                f"{_name(flat)} has an id that no book makes; take it back and write it again.", flat
            )
        elif ids.at_text(ids.ms_of(entry)) != at:
            yield _damaged(
                f"{_name(flat)} has an id of another instant; take it back and write it again.", flat
            )
        if day_from_iso(flat["on"]) is None or day_from_iso(at[:10]) is None:
            yield _damaged(
                f"{_name(flat)} has no date of the calendar; take it back and write it again.", flat
            )
        elif at > soon:
            yield _damaged(
                f"{_name(flat)} was written more than a day from now: a machine's clock was ahead, or this "
                "one's is behind. Set the clock; the entry may stay.",
                flat,
            )
        if not flat["kind"]:
            yield _damaged(f"{_name(flat)} says not what it is; take it back and write it again.", flat)


def _snapshot_problems(book: Book, sweep: Sweep) -> Iterator[Problem]:
    path = book.folder / layout.SNAPSHOT
    try:
        found = snapshot.bodies(path)
        if found is None:
            if path.exists():
                yield _changed()
            return
        about, bodies = found
        held = 0
        for body in bodies:
            held += 1
            if sweep.sums.get(body[BODY_ID].decode("ascii", "replace")) == crc32(body):
                continue
            try:
                flat = Entry.from_dict(read_fit(body)).as_dict()
            except (ValueError, KeyError, TypeError, RecursionError):
                yield _changed()
                return
            if sweep.entry(flat["id"]) != flat:
                yield _damaged(
                    f"book.json and the logs differ about {_name(flat)}; the logs count, delete book.json.",
                    flat,
                )
    except OSError as error:
        raise trouble(error, "read", path) from error
    if about.entries != held:
        yield _damaged(f"book.json says it holds {about.entries} entries and holds {held}; delete it.")


def _changed() -> Problem:
    return _damaged("book.json is damaged or was changed by another program; delete it, it is made anew.")


def _backup_problems(book: Book, sums: Mapping[str, int], today: date) -> Iterator[Problem]:
    if problem := failed(book.folder):
        yield problem
    for aside in sorted((book.folder / layout.BACKUPS).glob(f"*{DAMAGED}*")):
        yield damaged_aside(aside)
    for held in looked_into(book.folder, today, sums):
        yield from held.problems
        if problem := held.loss():
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
