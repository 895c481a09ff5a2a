"""What reading found damaged: told until it is set aside, and never edited away from a log."""

from __future__ import annotations

import os
from pathlib import Path

from core.book import layout
from core.book.disk import open_to_read
from core.book.lines import BadLine, Reader
from core.problems import Problem


class Damage:
    """Collects what readers of the logs could not use."""

    def __init__(self) -> None:
        self._bad: dict[tuple[str, int], BadLine] = {}
        self._tails: dict[str, tuple[int, int]] = {}
        self._disagreeing: dict[str, str] = {}

    def note(self, log: str, reader: Reader) -> None:
        """Takes over what `reader` found in `log`."""
        for offset, bad in reader.bad.items():
            self._bad[log, offset] = bad
        if reader.tail:
            self._tails[log] = (reader.end, len(reader.tail))
        else:
            self._tails.pop(log, None)

    def disagree(self, log: str, entry: str) -> None:
        """Two lines carry one id and differ; the one read first counts."""
        self._disagreeing[entry] = log

    def problems(self, folder: Path) -> list[Problem]:
        """One Problem for each damaged place that still stands in the logs, in file order."""
        logs = folder / layout.LOGS
        found = [
            Problem(
                f"log/{log} line {_line_number(logs / log, offset)} is damaged: {bad.reason}. It is left out and "
                "stays in the log; run: shedbook check",
                code="damaged",
            )
            for (log, offset), bad in sorted(self._bad.items())
        ]
        for log, (offset, length) in sorted(self._tails.items()):
            if _size(logs / log) == offset + length:
                number = _line_number(logs / log, offset)
                found.append(
                    Problem(f"log/{log} line {number} was not finished; it is left out, enter it again.", code="damaged")
                )
        for entry, log in sorted(self._disagreeing.items()):
            found.append(
                Problem(
                    f"Two different lines in {log} carry the id {entry}; the first counts. Strike it if it is wrong.",
                    code="settle",
                    entry=entry,
                )
            )
        return found


def _size(path: Path) -> int:
    try:
        return os.stat(path).st_size
    except OSError:
        return -1


def _line_number(path: Path, offset: int) -> int:
    """Which line byte `offset` is in, counted from 1; 0 where the log is gone."""
    try:
        with open_to_read(path) as fd:
            count, place = 1, 0
            while place < offset and (block := os.pread(fd, min(1 << 20, offset - place), place)):
                count += block.count(b"\n")
                place += len(block)
            return count
    except OSError:
        return 0
