"""The morning page kept as it was printed, beside all it hangs on, so that the next start may print it again
(`core.told_again`)."""

from __future__ import annotations

import time
import zlib
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TypeAlias

from core import told_again
from core.book.disk import make_folder, replace_file

MOST = 8
"""Pages kept of one farm, each asked for in other words or from elsewhere."""
TICK_NS = 50_000_000
"""A file changed less than this ago may change again with no time of it telling: the clock of a disk is coarse."""
MINUTE_NS = 60_000_000_000
FOR_EVER = 1 << 62
Files: TypeAlias = list[tuple[str, tuple[int, ...], int]]
"""Of each file of the book its name, what tells it from others, and a checksum of its end."""


class Telling:
    """A page about to be reckoned and shown, as these words ask; made before anything of the book is read."""

    def __init__(self, words: Sequence[str]) -> None:
        self._words = tuple(words)
        self._farm = told_again.folder_for(words)
        self._begun = time.time_ns()
        self._seen: dict[str, object] = {}
        self._book: Files = []
        with suppress(OSError, ValueError):
            self._book = told_again.book_in(self._farm)
            self._seen = told_again.seen(self._farm, words)
        self._at_first, self._own = self._book, ""

    def anew(self, own: str) -> None:
        """The page is reckoned once more, from what the session has read by now, and the logs may have grown meanwhile.
        `own` is the machine whose log nobody else adds to."""
        self._begun, self._own = time.time_ns(), f"log/{own}.log"
        try:
            self._book = told_again.book_in(self._farm)
        except OSError:
            self._seen = {}
        if not _has_only_grown(self._at_first, self._book):
            self._seen = {}

    def keep(self, page: str, farm: Path, ends: datetime | None, *, by_clock: bool) -> None:
        """Keep the page of the `farm`, where its files were the same all the while.

        `ends` is when its day is over, None for the page of a day that was asked for; `by_clock` says that it hangs on
        the minute.
        """
        now = time.time_ns()
        until = FOR_EVER if ends is None else int(ends.timestamp()) * 1_000_000_000
        if by_clock:
            until = min(until, (self._begun // MINUTE_NS + 1) * MINUTE_NS)
        if not self._may_be_kept() or until <= now or Path(self._farm).resolve() != farm.resolve():
            return
        hangs_on = repr({name: self._book if name == "book" else was for name, was in self._seen.items()})
        body = "\0".join((f"{now} {until}", hangs_on, page)).encode()
        path = Path(told_again.path_for(self._farm, self._words))
        with suppress(OSError):  # the next start takes longer, and tells the same
            if told_again.book_in(self._farm) != self._book:
                return  # it was written in meanwhile
            make_folder(path.parent)
            replace_file(path, [b"%08x" % zlib.crc32(body), body], lasting=False)
            _remove_oldest(path.parent)

    def _may_be_kept(self) -> bool:
        """Whether any change of what it hangs on would have been seen. What only this machine adds to grows whenever it
        changes."""
        changed = [about[-1] for name, about, _ in self._book if about and name != self._own]
        return bool(self._seen) and max(changed, default=0) < self._begun - TICK_NS


def _has_only_grown(before: Files, now: Files) -> bool:
    """Whether of all files only logs are otherwise, which have become longer, or new."""
    found = {name: (about, end) for name, about, end in now}
    for name, about, end in before:
        is_now, ends = found.pop(name, ((), 0))
        if (is_now, ends) != (about, end) and not (
            name.startswith("log/") and is_now and is_now[:3] == about[:3] and is_now[3] > about[3]
        ):
            return False
    return all(name.startswith("log/") for name in found)


def _remove_oldest(folder: Path) -> None:
    kept = sorted(
        folder.glob(f"{told_again.BEGIN}*{told_again.END}"), key=lambda path: path.stat().st_mtime_ns
    )
    for path in kept[:-MOST]:
        path.unlink(missing_ok=True)
