"""Dated backups: `backup/YYYY-MM-DD.log.gz`, every entry's line in one file, added to all day, pruned by age.

None is removed that holds the only copy of an entry, or that cannot be read whole.
"""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Callable, Container, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from functools import partial
from itertools import count
from pathlib import Path
from typing import NamedTuple, TypeAlias
from zlib import crc32

from core.book import layout
from core.book.book import Book
from core.book.disk import make_folder, open_to_read, read_file, replace_file, sync_folder, trouble
from core.book.lines import BODY_ID, ENTRY_ID, LONGEST_LINE, why_bad
from core.book.reader import MOST_BAD
from core.book.topping import checksum, is_in_logs, note_reach, packed, unpacked
from core.problems import Problem, ShedbookError
from core.text import clean
from core.units import day_from_iso, plural

DAILY, WEEKLY, MONTHLY = 7, 5, 12
"""How many are kept: of the last days, of the last weeks and of the last months that have one."""

READ_BESIDE = 4_000_000
"""Bytes of older backups, as they are packed, that `check` reads line by line; the others only as far as their sum."""

WHOLE = "whole.json"
"""Which big backups could be read whole, and the CRC-32 of each: {name: number}. It may be deleted."""
_LONGEST_NOTE = 1 << 16

Known: TypeAlias = Callable[[bytes], bool]
"""Whether a line of a backup is known to be good and to stand in the book."""
UNKNOWN: Known = lambda _line: False  # noqa: E731

DAMAGED = ".damaged"
"""Ends the name of a damaged backup that is kept beside the one made anew."""

LARGEST = 1 << 30
"""Bytes a backup may unpack to; beyond that it is none of ours."""


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup made: its file, the entries in it, and what is wrong with the book beside it, if anything."""

    path: Path
    entries: int
    problem: Problem | None = None


class Held(NamedTuple):
    """What a backup holds and the book has not: JSON bytes of good entries by id; and what is wrong with the rest."""

    path: Path
    lost: dict[str, bytes]
    problems: list[Problem]

    def loss(self) -> Problem | None:
        """A problem where the backup holds entries that the book has lost; None where the book has all of them."""
        if not self.lost:
            return None
        day = self.path.name.removesuffix(layout.BACKUP_END)
        entries = plural(len(self.lost), "entry", "entries")
        text = f"{self.path.name} holds {entries} that the book has lost; run: shedbook restore {day}"
        return Problem(text, code="damaged")


def backup(book: Book, day: date) -> Backup:
    """Writes the backup of `day`, replacing that day's, and removes those no longer kept.

    Where a backup holds entries the book has lost, or the newest is damaged, it says so and removes none.
    Raises ShedbookError where the disk refuses; the older backups then stay.
    """
    folder = book.folder / layout.BACKUPS
    path = folder / f"{day.isoformat()}{layout.BACKUP_END}"
    bodies, reach = book.bodies()
    have = {body[BODY_ID].decode() for body in bodies}
    found = [*newest(book.folder, day, have)]
    lost = {entry: body for held in found for entry, body in held.lost.items()}
    problems = [problem for held in found if (problem := held.loss())]
    problems += [_stays(held) for held in found if held.problems and held.path != path]
    try:
        make_folder(folder)
        if any(held.path == path and held.problems for held in found) and not is_in_logs(
            path, book.lasting_sizes()
        ):
            problems.append(_kept_aside(path))
        replace_file(path, packed([*bodies, *lost.values()]))
        note_reach(path, reach)
    except OSError as error:
        raise trouble(error, "write the backup", path) from error
    if not problems:
        problems = _prune(book.folder, day, have)
    return Backup(path, len(bodies), problems[0] if problems else None)


def _stays(held: Held) -> Problem:
    text = f"The backup {held.path.name} is damaged; it and the older ones stay. Today's is made."
    return Problem(text, code="damaged")


def _kept_aside(path: Path) -> Problem:
    """Today's backup is damaged, and the logs no longer hold all that was in it: it stays, under another name."""
    names = (path.with_name(f"{path.name}{DAMAGED}{n or ''}") for n in count())
    aside = next(name for name in names if not os.path.lexists(name))
    os.rename(path, aside)
    return damaged_aside(aside)


def damaged_aside(aside: Path) -> Problem:
    """A damaged backup that may hold what the logs have lost."""
    text = (
        f"backup/{clean(aside.name)} is damaged, and the logs had lost some of what was in it; what could be read is "
        "in the backup of that day. Remove it when nothing is missing."
    )
    return Problem(text, code="damaged")


def newest(folder: Path, day: date, have: Container[str], known: Known = UNKNOWN) -> Iterator[Held]:
    """Reads backups, the newest first, until one is whole, and gives what each holds; `have` are the ids in the book.

    Twice so: of those up to `day`, and of those dated after it, where a clock was once ahead or is behind now.
    Lines that are `known` to stand in the book need no reading.
    """
    for of_time in _by_time(backups(folder), day):
        for path in of_time:
            held = _held(path, have, known)
            yield held
            if not held.problems:
                break


def looked_into(folder: Path, day: date, sums: Mapping[str, int]) -> Iterator[Held]:
    """What `newest` gives, and the others of the last days that have one, the newest first.

    `sums` has the CRC-32 of the JSON bytes of each entry of the book. Of those others that are big, together, it is
    only seen whether they can be read whole; once that was seen, whether they are as they were then.
    """
    known = partial(_is_in_book, sums)
    read: set[Path] = set()
    for held in newest(folder, day, sums, known):
        read.add(held.path)
        yield held
    room = READ_BESIDE
    seen = _seen_whole(folder)
    whole: dict[str, int] = {}
    for path in [path for of_time in _by_time(backups(folder), day) for path in of_time[:DAILY]]:
        if path in read:
            continue
        with suppress(OSError):  # read or not, it says so itself
            room -= os.stat(path).st_size
        if room >= 0:
            yield _held(path, sums, known)
            continue
        now = -1
        with suppress(OSError):
            now = checksum(path)
        held = Held(path, {}, []) if seen.get(path.name) == now else _whole_or_not(path)
        if not held.problems:
            whole[path.name] = now
        yield held
    if whole != seen and whole:
        with suppress(OSError):  # they are read again
            replace_file(folder / layout.BACKUPS / WHOLE, [json.dumps(whole).encode()], lasting=False)


def _is_in_book(sums: Mapping[str, int], line: bytes) -> bool:
    """Whether a line is that of an entry as it stands in the book, byte for byte."""
    found = crc32(line[9:])
    return sums.get(line[ENTRY_ID].decode("ascii", "replace")) == found and line[:8] == b"%08x" % found


def _seen_whole(folder: Path) -> dict[str, int]:
    """The CRC-32 of backups that could be read whole when they were looked into last, by their name."""
    try:
        found = json.loads(read_file(folder / layout.BACKUPS / WHOLE, _LONGEST_NOTE))
        return {str(name): int(found[name]) for name in found}
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return {}


def _whole_or_not(path: Path) -> Held:
    held = Held(path, {}, [])
    with suppress(zlib.error, EOFError, OSError), open_to_read(path) as fd:
        size = 0
        for part in unpacked(_blocks(fd)):
            size += len(part)
            if size > LARGEST:
                break
        else:
            return held
    held.problems.append(_damaged(path.name))
    return held


def _damaged(name: str) -> Problem:
    return Problem(f"{name} is damaged; what can still be read of it was read.", code="damaged")


def _held(path: Path, have: Container[str], known: Known = UNKNOWN) -> Held:
    """Read as it unpacks: of a big backup little is held."""
    held = Held(path, {}, [])
    try:
        for body in bodies_of(path, held.problems, known):
            if (entry := body[BODY_ID].decode()) not in have:
                held.lost.setdefault(entry, body)
    except ShedbookError as error:
        return Held(path, {}, [error.problem])
    return held


def _by_time(paths: list[Path], day: date) -> tuple[list[Path], list[Path]]:
    """The backups up to `day`, and those after it."""
    until = f"{day.isoformat()}{layout.BACKUP_END}"
    return [path for path in paths if path.name <= until], [path for path in paths if path.name > until]


def backups(folder: Path) -> list[Path]:
    """The farm's backups, newest first."""
    try:
        names = [name for name in os.listdir(folder / layout.BACKUPS) if _day_of(name)]
    except OSError:
        return []
    return [folder / layout.BACKUPS / name for name in sorted(names, reverse=True)]


def read_backup(path: Path) -> tuple[dict[str, bytes], list[Problem]]:
    """(the JSON bytes of every good entry in a backup by id, what is wrong with the rest).

    A backup that is cut off or damaged gives what can still be read. Raises ShedbookError where it
    cannot be read at all.
    """
    found: dict[str, bytes] = {}
    problems: list[Problem] = []
    for body in bodies_of(path, problems):
        found.setdefault(body[BODY_ID].decode(), body)
    return found, problems


def bodies_of(path: Path, problems: list[Problem], known: Known = UNKNOWN) -> Iterator[bytes]:
    """The JSON bytes of every good entry in a backup, one after another; `problems` gets what is wrong with the rest.

    Lines that are `known` are passed over. Raises ShedbookError as `read_backup` does.
    """
    bad, told = 0, len(problems)
    try:
        with open_to_read(path) as fd:
            for line in _unpacked_lines(fd, path.name, problems):
                if known(line):
                    continue
                if why_bad(line):
                    bad += 1
                    if bad > MOST_BAD:
                        break  # it is no backup, and may be a giant of empty lines
                else:
                    yield line[9:]
    except OSError as error:
        raise trouble(error, "read", path) from error
    if bad and len(problems) == told:  # of what is damaged as a whole nobody counts the lines
        count = f"more than {MOST_BAD}" if bad > MOST_BAD else str(bad)
        problems.append(
            Problem(f"Of the lines of {path.name}, {count} are damaged and left out.", code="damaged")
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


def _prune(folder: Path, day: date, have: Container[str]) -> list[Problem]:
    """Removes the backups no longer kept all of whose entries the book has; what the others hold beyond it.

    Those up to `day` and those after it are told apart, so that a wrong clock takes the place of none.
    """
    found: list[Problem] = []
    for paths in _by_time(backups(folder), day):
        days = {known: path for path in paths if (known := _day_of(path.name))}
        for old in sorted({*days} - kept([*days]) - {day}):
            held = _held(days[old], have)
            if problem := held.loss():
                found.append(problem)
            elif not held.problems:
                with suppress(OSError):  # it is there tomorrow as well
                    os.unlink(held.path)
    with suppress(OSError):
        sync_folder(folder / layout.BACKUPS)
    return found


def _day_of(name: str) -> date | None:
    return day_from_iso(name.removesuffix(layout.BACKUP_END)) if name.endswith(layout.BACKUP_END) else None


def _unpacked_lines(fd: int, name: str, problems: list[Problem]) -> Iterator[bytes]:
    size = 0
    rest = b""
    try:
        for part in unpacked(_blocks(fd)):
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
        problems.append(_damaged(name))
        return
    except EOFError:
        problems.append(Problem(f"{name} is cut off; what stands before the end was read.", code="damaged"))
    if rest:
        yield rest


def _blocks(fd: int) -> Iterator[bytes]:
    place = 0
    while block := os.pread(fd, 1 << 14, place):  # small: it may unpack to x 1,000
        place += len(block)
        yield block
