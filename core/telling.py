"""The morning page kept as it was printed, beside all it hangs on, so that the next start may print it again
(`core.told_again`)."""

from __future__ import annotations

import time
import zlib
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from core import told_again
from core.book.disk import make_folder, replace_file

MOST = 8
"""Pages kept of one farm, each asked for in other words or from elsewhere."""
TICK_NS = 50_000_000
"""A file changed less than this ago may change again with no time of it telling: the clock of a disk is coarse."""
MINUTE_NS = 60_000_000_000
FOR_EVER = 1 << 62


class Telling:
    """A page about to be reckoned and printed, as these words ask; made before anything of the book is read."""

    def __init__(self, words: Sequence[str]) -> None:
        self._words = tuple(words)
        self._farm = told_again.folder_for(words)
        self._begun = time.time_ns()
        self._hangs_on, self._book = self._looked()

    def keep(self, page: str, farm: Path, ends: datetime | None, *, by_clock: bool) -> None:
        """Keep the page of the `farm`, where its files were the same all the while.

        `ends` is when its day is over, None for the page of a day that was asked for; `by_clock` says that it hangs on
        the minute.
        """
        now = time.time_ns()
        until = FOR_EVER if ends is None else int(ends.timestamp()) * 1_000_000_000
        if by_clock:
            until = min(until, (self._begun // MINUTE_NS + 1) * MINUTE_NS)
        if not self._hangs_on or until <= now or Path(self._farm).resolve() != farm.resolve():
            return
        body = "\0".join((f"{now} {until}", self._hangs_on, page)).encode()
        path = Path(told_again.path_for(self._farm, self._words))
        with suppress(OSError):  # the next start takes longer, and tells the same
            if told_again.book_in(self._farm) != self._book:
                return  # it was written in meanwhile
            make_folder(path.parent)
            replace_file(path, [b"%08x" % zlib.crc32(body), body], lasting=False)
            _remove_oldest(path.parent)

    def _looked(self) -> tuple[str, object]:
        """All that the page hangs on, and the book among it; nothing where a change of it might not be seen."""
        with suppress(OSError, ValueError):
            book = told_again.book_in(self._farm)
            newest = max((about[-1] for _, about, _ in book if about), default=0)
            if newest < self._begun - TICK_NS:
                return told_again.hangs_on(self._farm, self._words), book
        return "", None


def _remove_oldest(folder: Path) -> None:
    kept = sorted(
        folder.glob(f"{told_again.BEGIN}*{told_again.END}"), key=lambda path: path.stat().st_mtime_ns
    )
    for path in kept[:-MOST]:
        path.unlink(missing_ok=True)
