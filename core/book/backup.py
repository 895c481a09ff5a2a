"""Dated backups: `backup/YYYY-MM-DD.log.gz`, every entry's line in one file, pruned by age."""

from __future__ import annotations

import os
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from core.book import layout
from core.book.book import Book
from core.book.disk import make_folder, open_to_read, replace_file, sync_folder, trouble
from core.book.lines import BODY_ID, LONGEST_LINE, line_of, why_bad
from core.problems import Problem, ShedbookError
from core.units import day_from_iso

END = ".log.gz"
DAILY, WEEKLY, MONTHLY = 7, 5, 12
"""How many are kept: of the last days, of the last weeks and of the last months that have one."""

LARGEST = 1 << 30
"""Bytes a backup may unpack to; beyond that it is none of ours."""

_GZIP = 16 + zlib.MAX_WBITS


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup made: its file, the entries in it, and what is wrong with the book beside it, if anything."""

    path: Path
    entries: int
    problem: Problem | None = None


def backup(book: Book, day: date) -> Backup:
    """Writes the backup of `day`, replacing that day's, and removes those no longer kept.

    Where the newest backup holds entries the book has lost, it says so and removes none.
    Raises ShedbookError where the disk refuses; the older backups then stay.
    """
    folder = book.folder / layout.BACKUPS
    path = folder / f"{day.isoformat()}{END}"
    bodies = book.bodies()
    older = backups(book.folder)
    held, _ = read_backup(older[0]) if older else ({}, [])
    have = {body[BODY_ID].decode() for body in bodies}
    lost = [body for entry, body in held.items() if entry not in have]
    try:
        make_folder(folder)
        replace_file(path, _packed([*bodies, *lost]))
        if not lost:
            _prune(folder)
    except OSError as error:
        raise trouble(error, "write the backup", path) from error
    if lost:
        text = f"The last backup holds {len(lost)} that the book has lost; run: shedbook restore {day}"
        return Backup(path, len(bodies), Problem(text, code="damaged"))
    return Backup(path, len(bodies))


def backups(folder: Path) -> list[Path]:
    """The farm's backups, newest first."""
    try:
        names = [name for name in os.listdir(folder / layout.BACKUPS) if _day_of(name)]
    except OSError:
        return []
    return [folder / layout.BACKUPS / name for name in sorted(names, reverse=True)]


def read_backup(path: Path) -> tuple[dict[str, bytes], list[Problem]]:
    """(the JSON bytes of every good entry in a backup by id, what is wrong with the rest).

    A backup that is cut off or damaged gives what stands before the damage. Raises ShedbookError where it
    cannot be read at all.
    """
    found: dict[str, bytes] = {}
    problems: list[Problem] = []
    for body in bodies_of(path, problems):
        found.setdefault(body[BODY_ID].decode(), body)
    return found, problems


def bodies_of(path: Path, problems: list[Problem]) -> Iterator[bytes]:
    """The JSON bytes of every good entry in a backup, one after another; `problems` gets what is wrong with the rest.

    Raises ShedbookError as `read_backup` does.
    """
    bad = 0
    try:
        with open_to_read(path) as fd:
            for line in _unpacked_lines(fd, path.name, problems):
                if why_bad(line):
                    bad += 1
                else:
                    yield line[9:]
    except OSError as error:
        raise trouble(error, "read", path) from error
    if bad:
        problems.append(
            Problem(f"{bad} of the lines of {path.name} are damaged and left out.", code="damaged")
        )


def kept(days: list[date]) -> set[date]:
    """Of the days that have a backup, those to keep: the newest of the last days, weeks and months with one.

    Reckoned from the backups, not from the clock, so that a wrong clock removes nothing.
    """
    newest_first = sorted(days, reverse=True)
    weeks = [(day.isocalendar().year, day.isocalendar().week) for day in newest_first]
    months = [(day.year, day.month) for day in newest_first]
    return (
        set(newest_first[:DAILY])
        | _newest_of_each(newest_first, weeks, WEEKLY)
        | _newest_of_each(newest_first, months, MONTHLY)
    )


def _newest_of_each(newest_first: list[date], spans: list[tuple[int, int]], most: int) -> set[date]:
    firsts: dict[tuple[int, int], date] = {}
    for day, span in zip(newest_first, spans, strict=True):
        firsts.setdefault(span, day)
    return set([*firsts.values()][:most])


def _prune(folder: Path) -> None:
    days = {day: name for name in os.listdir(folder) if (day := _day_of(name))}
    for day in set(days) - kept([*days]):
        os.unlink(folder / days[day])
    sync_folder(folder)


def _day_of(name: str) -> date | None:
    return day_from_iso(name.removesuffix(END)) if name.endswith(END) else None


def _packed(bodies: list[bytes]) -> Iterator[bytes]:
    packer = zlib.compressobj(level=4, wbits=_GZIP)
    for begin in range(0, len(bodies), 2000):
        yield packer.compress(b"".join([line_of(body) for body in bodies[begin : begin + 2000]]))
    yield packer.flush()


def _unpacked_lines(fd: int, name: str, problems: list[Problem]) -> Iterator[bytes]:
    unpacker = zlib.decompressobj(wbits=_GZIP)
    place = size = 0
    rest = b""
    try:
        while not unpacker.eof and (block := os.pread(fd, 1 << 14, place)):  # small: it may unpack to x 1,000
            place += len(block)
            part = unpacker.decompress(block)
            size += len(part)
            *lines, rest = (rest + part).split(b"\n")
            if size > LARGEST or len(rest) > 100 * LONGEST_LINE:
                raise ShedbookError(
                    Problem(
                        f"{name} unpacks to more than a backup of this book ever holds.", code="impossible"
                    )
                )
            yield from lines
    except zlib.error:
        problems.append(
            Problem(f"{name} is damaged; what stands before the damage was read.", code="damaged")
        )
        return
    if not unpacker.eof:
        problems.append(Problem(f"{name} is cut off; what stands before the end was read.", code="damaged"))
    if rest:
        yield rest
