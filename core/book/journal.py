"""This machine's own log: the one file it appends to, and what makes an append whole or nothing."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from zlib import crc32

from core.book.disk import make_folder, open_file, open_to_read, sync, sync_folder, trouble, write_all
from core.book.ids import LAST_MS, is_uuid7, ms_of
from core.book.lines import BODY_ID, parts_of
from core.book.reader import Reader
from core.book.torn import bytes_unfinished, mark_of
from core.problems import Problem, ShedbookError

_PRINT = 512
_LOOK_BACK = 16 * 1024
_FLAGS = os.O_RDWR | os.O_APPEND


def print_of(fd: int, offset: int) -> int:
    """The CRC-32 of the last 512 bytes before `offset`: as good as one of the whole log up to there.

    They hold the id of at least one entry, and no other log has the same entry with other lines before it.
    """
    begin = max(0, offset - _PRINT)
    return crc32(os.pread(fd, offset - begin, begin))


def last_instant(path: Path) -> int:
    """When the last good entry of the log at `path` was made, in ms since 1970; 0 where there is none.

    Needs no lock: it only reads. Raises OSError.
    """
    try:
        with open_to_read(path) as fd:
            return _look_back(fd, os.fstat(fd).st_size)[0]
    except FileNotFoundError:
        return 0


class Journal:
    """An append-only log at `path`, made on the first append. Every call needs the book's lock."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._name = str(path)
        self._fd = -1
        self._pid = 0
        self._file = (0, 0)
        self._recent = b""  # the last bytes of the log, for its print
        self._size = -1  # where our own last append ended; -1 while unknown
        self._last_ms = 0
        self._closing = b""  # what ends an unfinished line or writing before anything is added

    def look(self) -> tuple[int, int]:
        """(size in bytes, instant of the last good entry in ms since 1970, 0 where there is none)."""
        try:
            size = self._open()
            if size != self._size:
                self._last_ms, self._closing = _look_back(self._fd, size) if size else (0, b"")
                self._recent = os.pread(self._fd, _PRINT, max(0, size - _PRINT)) if size else b""
                self._size = size
        except OSError as error:
            raise trouble(error, "open the log", self._path) from error
        return self._size, self._last_ms

    def append(self, lines: bytes, last_ms: int, *, exact: bool = False) -> int:
        """Puts `lines` at the end for good and returns the log's new size; `look` comes first.

        What a crash left unfinished is marked so (`torn`) and stays as a line of its own, or is told as damage
        where it is none; `exact` leaves that be, for bytes that go on where it stopped. Whatever fails, the log
        is cut back to what it was and ShedbookError is raised.
        """
        size = self._size
        data = lines if exact else self._closing + lines
        if not data:
            return size
        try:
            if self._fd < 0:
                self._make()
            write_all(self._fd, data)
            sync(self._fd)
            if not size:
                sync_folder(self._path.parent)  # the name of a new log has to last as well
        except OSError as error:
            self._take_back(size, error)
            raise trouble(error, "write", self._path) from error
        except BaseException as error:  # interrupted: nobody was told it is written
            self._take_back(size, error)
            raise
        self._size = size + len(data)
        self._recent = (self._recent + data)[-_PRINT:]
        self._last_ms = max(self._last_ms, last_ms)
        self._closing = b""
        return self._size

    def print_here(self) -> int:
        """`print_of` the log's end as the last append left it."""
        return crc32(self._recent)

    def close(self) -> None:
        """Closes the file; the next call opens it again."""
        if self._fd >= 0:
            os.close(self._fd)
        self._fd, self._size = -1, -1

    def __del__(self) -> None:
        with suppress(OSError, AttributeError):
            self.close()

    def _open(self) -> int:
        """The size of the log, open at what `path` names now (a copier may have replaced it); 0 if none."""
        if self._pid != os.getpid():
            self._fd, self._size, self._pid = -1, -1, os.getpid()
        if self._fd >= 0:
            with suppress(FileNotFoundError):
                now = os.stat(self._name)
                if (now.st_ino, now.st_dev) == self._file:
                    return now.st_size
            self.close()
        try:
            self._fd = open_file(self._path, _FLAGS)
        except FileNotFoundError:
            return 0
        return self._opened()

    def _make(self) -> None:
        make_folder(self._path.parent)
        self._fd = open_file(self._path, _FLAGS | os.O_CREAT | os.O_EXCL)
        self._opened()

    def _opened(self) -> int:
        mine = os.fstat(self._fd)
        self._file = (mine.st_ino, mine.st_dev)
        return mine.st_size

    def _take_back(self, size: int, cause: BaseException) -> None:
        self._size = -1  # whatever stands there now, the next look finds out
        if self._fd < 0:
            return
        try:
            if os.fstat(self._fd).st_size > size:
                os.ftruncate(self._fd, size)
                sync(self._fd)
        except OSError as error:
            raise ShedbookError(
                Problem(
                    f"The disk failed while writing and would not take it back ({error.strerror}): what was "
                    "just entered may or may not be in the book; copy the farm to another disk and look.",
                    code="disk",
                )
            ) from cause


def _look_back(fd: int, size: int) -> tuple[int, bytes]:
    """(instant of the last good entry in ms, what ends that which stands unfinished at the end)."""
    reach = _LOOK_BACK
    while True:
        begin = max(0, size - reach)
        if begin:
            begin += os.pread(fd, reach, begin).find(b"\n") + 1  # most likely in the middle of a line
        reader = Reader(fd, begin, size)
        bodies = [body for block, _ in reader.blocks() for body in block]
        for line in reader.tail.split(b"\n"):
            bodies += [part[9:] for _, part, reason in parts_of(0, line) if not reason]
        if not begin or any(map(_instant, bodies)):
            last = next(filter(None, map(_instant, reversed(bodies))), 0)
            return last, _closing(reader.tail, os.pread(fd, 1, size - 1))
        reach *= 8


def _instant(body: bytes) -> int:
    """When a good entry was made, in ms; 0 where its id is not one that a book makes."""
    entry = body[BODY_ID].decode("ascii", "replace")
    return ms_of(entry) if is_uuid7(entry) and ms_of(entry) < LAST_MS else 0


def _closing(tail: bytes, last: bytes) -> bytes:
    """What has to stand before the next writing, where `tail` is unfinished and `last` the log's last byte."""
    if unfinished := bytes_unfinished(tail) if tail else 0:
        return mark_of(tail[-unfinished:]) + b"\n"
    if tail:
        return b"\n\n"  # damage: a line of its own, and an empty one, which ends the writing it was in
    return b"" if last == b"\n" else b"\n"
