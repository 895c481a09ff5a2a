"""Another machine's log copied on, byte for byte, as a file copier would: from a whole copy, or from its new part."""

from __future__ import annotations

import errno
import os
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from core.book import layout
from core.book.book import Book
from core.book.device import NAME
from core.book.disk import UnfitFileError, open_to_read, trouble
from core.book.journal import print_of

_STEP = 1 << 24  # bytes read at a time


@dataclass(frozen=True, slots=True)
class Part:
    """Where the lines of a carried file stand in the `log` of another machine: from byte `at` on, after bytes with the
    print `seen`; the log was changed last at `age_ms`, ms since 1970.
    """

    log: str
    at: int
    seen: int
    age_ms: int


def is_another_machines(name: str, book: Book) -> bool:
    """Whether a log of that name is one that another machine writes itself."""
    device = name.removesuffix(layout.LOG_END)
    return device not in (name, book.device) and bool(NAME.fullmatch(device))


def add_part(book: Book, part: Part, fd: int, end: int) -> bool:
    """Adds a carried file to our copy of the log that it is a part of; False where that ends elsewhere."""
    if not is_another_machines(part.log, book):
        return False
    ours = book.folder / layout.LOGS / part.log
    try:
        with open_to_read(ours) as mine:
            if os.fstat(mine).st_size != part.at or print_of(mine, part.at) != part.seen:
                return False
    except FileNotFoundError:
        if part.at:
            return False
    except OSError as error:
        if isinstance(error, UnfitFileError) or error.errno == errno.ELOOP:
            return False  # what stands there is no log
        raise trouble(error, "read", ours) from error
    if end != os.fstat(fd).st_size or not _ends_a_line(fd, end):
        return False
    return _added(book, ours, fd, (0, end), at=part.at, age_ns=min(part.age_ms * 1_000_000, time.time_ns()))


def copy_on(book: Book, log: str, fd: int, end: int) -> bool:
    """Copies what the other side's log holds after our copy of it; False where it does not go on from it."""
    if not is_another_machines(log, book):
        return False
    ours = book.folder / layout.LOGS / log
    held = 0
    try:
        with open_to_read(ours) as mine:
            held = os.fstat(mine).st_size
            if held > end or any(
                os.pread(mine, _STEP, place) != os.pread(fd, min(_STEP, held - place), place)
                for place in range(0, held, _STEP)
            ):
                return False
    except FileNotFoundError:
        pass
    except OSError as error:
        if isinstance(error, UnfitFileError) or error.errno == errno.ELOOP:
            return False  # what stands there is no log
        raise trouble(error, "read", ours) from error
    if not _ends_a_line(fd, end):
        return False
    return held == end or _added(book, ours, fd, (held, end), at=held, age_ns=os.fstat(fd).st_mtime_ns)


def _ends_a_line(fd: int, end: int) -> bool:
    return end > 0 and os.pread(fd, 1, end - 1) == b"\n"


def _added(book: Book, ours: Path, fd: int, span: tuple[int, int], *, at: int, age_ns: int) -> bool:
    """Copies a span of bytes to the end of our copy of a log, if that is still `at` bytes long."""
    begin, end = span
    data = b"".join(os.pread(fd, min(_STEP, end - place), place) for place in range(begin, end, _STEP))
    if not book.copy_on(ours.name, data, at=at):
        return False
    # As old as what it was copied from: a file copier that goes by age then never takes ours for newer.
    with suppress(OSError, OverflowError):
        os.utime(ours, ns=(age_ns, age_ns))
    return True
