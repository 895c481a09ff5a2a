"""The day's backup: made with the first line of a day, added to all day; where that fails, told until one works.

That it failed is remembered in the farm's `backup.failed`, whose text is what she was told. An attempt that took long
is not made again at once: the time of that file says from when on.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from pathlib import Path

from core.book import layout
from core.book.book import Book
from core.book.disk import new_file, open_to_read, why, write_all
from core.book.topping import top_up
from core.problems import Problem, ShedbookError
from core.text import clean

SLOW = 0.3
"""Seconds: an attempt that fails after longer would be felt at every line written."""
REST = 600
"""Seconds until a slow attempt that failed is made again, and between those of a screen that stays open."""

_LONGEST = 600  # bytes of what is remembered


class DayBackups:
    """The day's backups while a farm is open: after the first line of a day, now and then, and at the end."""

    def __init__(self, folder: Path, device: str) -> None:
        self._folder = folder
        self._device = device
        self._waiting = False  # something was written since the last backup
        self._there: date | None = None  # the day that has its backup
        self._next = 0.0  # until when it can wait, by a clock that never goes back

    def written(self) -> None:
        """Something was written."""
        self._waiting = True

    @property
    def waits(self) -> bool:
        """Whether anything was written since the last one."""
        return self._waiting

    def due(self, day: date) -> bool:
        """Whether to make or add to one while the farm stays open: at once on a new day, else every ten minutes."""
        return self._waiting and (time.monotonic() >= self._next or (day != self._there is not None))

    def make(self, day: date, beside: Callable[[], object], *, at_once: bool = False) -> Problem | None:
        """Makes the backup of `day` or adds to it, where something was written; what is wrong, or None.

        `at_once`, also right after a slow failure. It may run in a thread of its own.
        """
        if not self._waiting:
            return None
        self._waiting = False
        problem = back_up(self._folder, self._device, day, beside, at_once=at_once)
        self._next = time.monotonic() + REST
        if problem is not None and problem.code == "disk":
            self._waiting = True
        else:
            self._there = day
        return problem


def back_up(
    folder: Path,
    device: str,
    day: date,
    beside: Callable[[], object] = lambda: None,
    *,
    at_once: bool = False,
) -> Problem | None:
    """Makes the backup of `day`, or adds to it what it lacks, and what belongs `beside` it; what is wrong, or None.

    A backup that could not be made is a Problem of code "disk": it stops nobody from writing, and is tried again
    by the next who writes.
    """
    begun = time.monotonic()
    path = folder / layout.BACKUPS / f"{day.isoformat()}{layout.BACKUP_END}"
    try:
        problem = None
        if not at_once and _rests(folder) and (known := failed(folder)):
            return known
        book = Book.open(folder, device=device)  # read anew: it may be open elsewhere in this process
        try:
            if not top_up(path, book.lasting_sizes()):
                from core.book.backup import backup  # only the first of a day needs it

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


def _remembered(folder: Path, refused: OSError | ShedbookError, *, slow: bool) -> Problem:
    cause = refused.__cause__ if isinstance(refused, ShedbookError) else refused
    if isinstance(cause, OSError):
        because = why(cause, cause.filename2 or cause.filename or folder / layout.BACKUPS)
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
