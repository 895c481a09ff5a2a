"""The day's backup: made once a day, and where that fails, told until one works.

That it failed is remembered in the farm's `backup.failed`, whose text is what she was told. An attempt that took long
is not made again at once: the time of that file says from when on.
"""

from __future__ import annotations

import os
import stat
import time
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from pathlib import Path

from core.book import layout
from core.book.book import Book
from core.book.disk import new_file, open_to_read, why, write_all
from core.problems import Problem, ShedbookError
from core.text import clean

SLOW = 0.3
"""Seconds: an attempt that fails after longer would be felt at every line written."""
REST = 600
"""Seconds until a slow attempt that failed is made again."""

_LONGEST = 600  # bytes of what is remembered


class DayBackups:
    """The day's backups while a farm is open: once a day, when something was written."""

    def __init__(self, folder: Path, device: str) -> None:
        self._folder = folder
        self._device = device
        self._wrote = self._wrote_since = False  # at all, and since the last backup made here
        self._there: date | None = None  # the day that has its backup
        self._made: date | None = None  # the day whose backup was made here
        self._next = 0.0  # when one that failed is tried again, by a clock that never goes back

    def written(self) -> None:
        """Something was written."""
        self._wrote = self._wrote_since = True

    def due(self, day: date) -> bool:
        """Whether to make one while the farm stays open: at most once a day, and now and then after a failure."""
        return self._wrote and day != self._there and time.monotonic() >= self._next

    def make(
        self, day: date, beside: Callable[[], object], *, closing: bool = False, at_once: bool = False
    ) -> Problem | None:
        """Makes the backup of `day` where something was written and it has none; what is wrong, or None.

        `closing`, one made here is made anew if more was written since; `at_once`, also right after a slow failure.
        It may run in a thread of its own.
        """
        if not self._wrote:
            return None
        anew = closing and self._made == day and self._wrote_since
        self._wrote_since = False
        makes = anew or _is_missing(self._folder, day)
        problem = back_up(self._folder, self._device, day, beside, anew=anew, at_once=at_once)
        if problem is not None and problem.code == "disk":
            self._next = time.monotonic() + REST
        else:
            self._there, self._made = day, day if makes else None
        return problem


def back_up(
    folder: Path,
    device: str,
    day: date,
    beside: Callable[[], object] = lambda: None,
    *,
    anew: bool = False,
    at_once: bool = False,
) -> Problem | None:
    """Makes the backup of `day` where it has none, or `anew`, and what belongs `beside` it; what is wrong, or None.

    A backup that could not be made is a Problem of code "disk": it stops nobody from writing, and is tried again
    by the next who writes.
    """
    begun = time.monotonic()
    try:
        problem = None
        if anew or _is_missing(folder, day):
            if not at_once and _rests(folder) and (known := failed(folder)):
                return known
            from core.book.backup import backup  # only where something was written

            book = Book.open(folder, device=device)  # read anew: it may be open elsewhere in this process
            try:
                problem = backup(book, day).problem
            finally:
                book.close()
        beside()
    except (OSError, ShedbookError) as refused:
        return _remembered(folder, refused, slow=time.monotonic() - begun > SLOW)
    with suppress(OSError):
        os.unlink(folder / layout.NO_BACKUP)
    return problem


def failed(folder: Path) -> Problem | None:
    """Why the last backup could not be made, None where it was."""
    try:
        with open_to_read(folder / layout.NO_BACKUP) as fd:
            said = clean(os.pread(fd, _LONGEST, 0).decode("utf-8", "replace")).strip()
    except FileNotFoundError:
        return None
    except OSError:
        said = ""
    return Problem(said or "The last backup could not be made; make room on the disk.", code="disk")


def _is_missing(folder: Path, day: date) -> bool:
    try:
        about = os.lstat(folder / layout.BACKUPS / f"{day.isoformat()}{layout.BACKUP_END}")
    except OSError:
        return True
    return not stat.S_ISREG(about.st_mode)


def _remembered(folder: Path, refused: OSError | ShedbookError, *, slow: bool) -> Problem:
    cause = refused.__cause__ if isinstance(refused, ShedbookError) else refused
    if isinstance(cause, OSError):
        because = why(cause, cause.filename or folder / layout.BACKUPS)
    else:
        because = str(refused).rstrip(".")
    said = f"No backup could be made today, though everything that was written is in the book: {because}."
    note = folder / layout.NO_BACKUP
    with suppress(OSError):  # a full disk may take the name and not the text
        fd = new_file(note)
        try:
            with suppress(OSError):
                write_all(fd, said.encode("utf-8", "replace")[:_LONGEST])
            if slow:
                os.utime(fd, (time.time() + REST, time.time() + REST))
        finally:
            os.close(fd)
    return Problem(said, code="disk")


def _rests(folder: Path) -> bool:
    try:
        until = os.lstat(folder / layout.NO_BACKUP).st_mtime
    except OSError:
        return False
    return 0 < until - time.time() <= REST
