"""Bringing in what another machine wrote, from its farm folder, a log or a carried file; it is not trusted.

A merge is a union of entries by id: doing it twice, or in another order, gives the same book. What is no
good entry stays out, is told, and is recorded in `log/DEVICE.incoming.set-aside`.
"""

from __future__ import annotations

import errno
import math
import os
import re
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

from core.book import ids, layout
from core.book.book import Book
from core.book.device import NAME
from core.book.disk import add_lines, trouble
from core.book.entry import Entry
from core.book.lines import LONGEST_LINE, BadLine, Flat, Reader, body_of, line_of
from core.problems import Problem, ShedbookError
from core.text import clean, is_clean
from core.units import day_from_iso

LARGEST = 1 << 30
"""Bytes a file may have to be merged."""

_MOST_TOLD = 200  # lines set aside that are told one by one; all are counted
_AT = re.compile(r"\d{4}-[01]\d-[0-3]\dT[0-2]\d:[0-5]\d:[0-6]\d\.\d{3}Z")
_DEEPEST = 8  # lists and dicts within one another in an entry's fields

Schema = Callable[[Entry], Problem | None]
"""Says what is wrong with an entry's kind and fields, or None."""


@dataclass(frozen=True, slots=True)
class Merged:
    """What a merge did: entries new to this book, entries it had already, and what was set aside."""

    added: int
    already: int
    set_aside: list[Problem]


def merge(book: Book, other: Path, schema: Schema | None = None) -> Merged:
    """Brings the entries of `other`, a farm folder or a file of log lines, into `book`.

    A machine's log that only goes on from our copy of it is copied on, byte for byte; anything else goes
    into this machine's own merged log. Raises ShedbookError where `other` cannot be read or is no such
    thing, and where the disk refuses; merging again then goes on where it stopped.
    """
    known = {flat["id"]: flat for flat in book.entries_raw()}
    incoming = _Incoming(known, schema)
    for path in _logs_of(other):
        with _open_untrusted(path) as fd:
            log = _Log(path.name, fd)
            unfit = incoming.take(log)
            may_copy = not unfit and other.is_dir() and _is_another_machines(path.name, book)
            if may_copy and _copy_on(book, path.name, fd, log.end):
                incoming.written()
    book.adopt(incoming.to_write)
    if incoming.aside:
        _record(book, other, incoming.aside)
    return Merged(incoming.added, incoming.already, incoming.problems())


def since(book: Book, start: str, stream: BinaryIO) -> int:
    """Writes to `stream` the entries made after that with id `start`, or made or dated from day `start` on.

    The file is log lines and is merged like any log. Returns how many; ShedbookError where `start` is
    neither an id of the book nor a day "YYYY-MM-DD".
    """
    flats = book.entries_raw()
    if day_from_iso(start) is not None:
        chosen = [flat for flat in flats if flat["on"] >= start or flat["at"][:10] >= start]
    elif any(flat["id"] == start for flat in flats):
        chosen = [flat for flat in flats if flat["id"] > start]
    else:
        raise ShedbookError(
            Problem(
                f"{clean(start)[:60]} is no entry of this book and no day; give an id or YYYY-MM-DD.",
                code="unknown",
            )
        )
    for flat in chosen:
        stream.write(line_of(body_of(flat)))
    return len(chosen)


class _Log:
    """One log of the other side, read: its good entries, its bad lines, how far it goes."""

    def __init__(self, name: str, fd: int) -> None:
        self.name = name
        self.entries: list[tuple[bytes, Flat]] = []
        reader = Reader(fd)
        for bodies, flats in reader.blocks():
            self.entries += zip(bodies, flats, strict=True)
        self.end = reader.end
        self.bad = [*reader.bad.values()]
        if reader.tail:
            tail = reader.tail[:LONGEST_LINE]
            self.bad.append(BadLine(reader.end, len(reader.tail), tail, "the file ends in the middle of it"))


@dataclass(slots=True)
class _Aside:
    where: str
    reason: str
    text: bytes
    settle: str = ""  # the id that both sides use for different entries


@dataclass(slots=True)
class _Incoming:
    """What is new, known and unfit among the logs taken so far."""

    known: dict[str, Flat]
    schema: Schema | None
    added: int = 0
    already: int = 0
    to_write: list[bytes] = field(default_factory=list)
    aside: list[_Aside] = field(default_factory=list)
    _fresh: int = 0

    def take(self, log: _Log) -> int:
        """Sorts the lines of `log`; returns how many were set aside."""
        before = len(self.aside)
        self._fresh = 0
        for bad in log.bad:
            self.aside.append(_Aside(f"{log.name} byte {bad.offset}", bad.reason, bad.text))
        for body, flat in log.entries:
            mine = self.known.get(flat["id"])
            if mine is not None and mine == flat:
                self.already += 1
                continue
            reason = _unfit(body, flat, self.schema)
            if not reason and mine is not None:
                reason = f"this book has another {clean(mine['kind'])} under the same id; settle which is so"
                self.aside.append(_Aside(log.name, reason, body, settle=flat["id"]))
            elif reason:
                self.aside.append(_Aside(log.name, reason, body))
            else:
                self.known[flat["id"]] = flat
                self.to_write.append(body_of(flat))
                self._fresh += 1
                self.added += 1
        return len(self.aside) - before

    def written(self) -> None:
        """The log taken last was copied on whole: its entries need no writing."""
        del self.to_write[len(self.to_write) - self._fresh :]

    def problems(self) -> list[Problem]:
        told = [
            Problem(
                f"{clean(item.where)}: set aside, {item.reason}.",
                code="settle" if item.settle else "damaged",
                entry=item.settle or None,
            )
            for item in self.aside[:_MOST_TOLD]
        ]
        more = len(self.aside) - len(told)
        if more:
            told.append(
                Problem(f"{more} more lines were set aside; see log/*{layout.SET_ASIDE_END}.", code="damaged")
            )
        return told


def _unfit(body: bytes, flat: Flat, schema: Schema | None) -> str:
    """Why an entry of the other side may not come in, "" where it may."""
    if len(body) > LONGEST_LINE:
        return "it is longer than any entry of a book"
    if not ids.is_uuid7(flat["id"]):
        return "its id is none that a book makes"
    if (
        day_from_iso(flat["on"]) is None
        or not _AT.fullmatch(flat["at"])
        or day_from_iso(flat["at"][:10]) is None
    ):
        return "its date or instant is none"
    if not _fit(flat, 0):
        return "it holds characters or numbers that a book never writes"
    entry = Entry.from_dict(flat)
    problem = schema(entry) if schema else None
    return clean(problem.sentence).rstrip(".") if problem else ""


def _fit(value: Any, depth: int) -> bool:
    if isinstance(value, str):
        return is_clean(value)
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, int):
        return abs(value) < 1 << 53
    if depth > _DEEPEST:
        return False
    if isinstance(value, list):
        return all(_fit(item, depth + 1) for item in value)
    if isinstance(value, dict):
        return all(_fit(key, depth) and _fit(item, depth + 1) for key, item in value.items())
    return value is None


def _logs_of(other: Path) -> list[Path]:
    if not other.is_dir():
        return [other]
    layout.about_farm(other)  # refuses a book from a newer version
    logs = other / layout.LOGS
    if logs.is_symlink() or not logs.is_dir():
        raise ShedbookError(
            Problem(f"There is no book in {other}; name its folder, or one of its log files.", code="unknown")
        )
    return [logs / name for name in layout.log_sizes(logs)]


@contextmanager
def _open_untrusted(path: Path) -> Iterator[int]:
    """A plain file of a size we take; ShedbookError for a link, a pipe, a device or a giant."""
    try:
        fd = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
    except OSError as error:
        if error.errno == errno.ENOENT:
            raise ShedbookError(
                Problem(f"There is no {path}; name a farm folder or a log file.", code="unknown")
            ) from error
        raise trouble(error, "read", path) from error
    try:
        about = os.fstat(fd)
        if not stat.S_ISREG(about.st_mode):
            raise ShedbookError(
                Problem(f"{clean(str(path))} is no plain file; name a log file.", code="impossible")
            )
        if about.st_size > LARGEST:
            raise ShedbookError(
                Problem(f"{clean(str(path))} is over 1 GB: it is no log of a farm.", code="impossible")
            )
        yield fd
    finally:
        os.close(fd)


def _is_another_machines(name: str, book: Book) -> bool:
    device = name.removesuffix(layout.LOG_END)
    return bool(NAME.fullmatch(device)) and device != book.device


def _copy_on(book: Book, log: str, fd: int, end: int) -> bool:
    """Copies what the other side's log holds after our copy of it; False where it does not go on from it."""
    ours = book.folder / layout.LOGS / log
    theirs = _bytes_of(fd, end)
    try:
        mine = ours.read_bytes() if not ours.is_symlink() else None
    except FileNotFoundError:
        mine = b""
    except OSError as error:
        raise trouble(error, "read", ours) from error
    if mine is None or not theirs.startswith(mine) or not theirs.endswith(b"\n"):
        return False
    if len(theirs) > len(mine):
        if not book.copy_on(log, theirs[len(mine) :], at=len(mine)):
            return False
        age = os.fstat(fd)
        # As old as what it was copied from: a file copier that goes by age then never takes ours for newer.
        os.utime(ours, ns=(age.st_atime_ns, age.st_mtime_ns))
    return True


def _bytes_of(fd: int, end: int) -> bytes:
    parts, place = [], 0
    while place < end and (part := os.pread(fd, min(1 << 24, end - place), place)):
        parts.append(part)
        place += len(part)
    return b"".join(parts)


def _record(book: Book, other: Path, aside: list[_Aside]) -> None:
    path = book.folder / layout.LOGS / f"{book.device}.incoming{layout.SET_ASIDE_END}"
    at = ids.at_text(ids.now_ms())
    lines = [
        body_of(
            {
                "found": at,
                "from": clean(f"{other.name}: {item.where}"),
                "reason": item.reason,
                "text": clean(item.text[:2000].decode("utf-8", "backslashreplace")),
            }
        )
        + b"\n"
        for item in aside[:_MOST_TOLD]
    ]
    try:
        add_lines(path, b"".join(lines))
    except OSError as error:
        raise trouble(error, "write", path) from error
