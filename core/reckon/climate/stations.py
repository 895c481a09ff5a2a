"""Weather files: told apart by their first line, read within limits, returned as a `Record`.

Read are the GHCN-Daily .dly and by-station CSV, the NCEI access CSV (one line a day, header in capitals), and
a plain CSV such as "date,min_f,max_f", which may have a first line of remark ("# ..."). Any of them may be
compressed with gzip.
"""

from __future__ import annotations

import csv
import gzip
import os
import zlib
from collections.abc import Callable, Iterator
from datetime import date
from itertools import chain
from pathlib import Path
from typing import IO, cast

from core.book.disk import UnfitFileError, open_to_read
from core.problems import Problem
from core.reckon.climate import ghcn
from core.reckon.climate.daily_csv import Table, Unit, columns
from core.reckon.climate.record import Record
from core.reckon.climate.record_builder import RecordBuilder
from core.text import clean

LARGEST_BYTES = 128 * 1024 * 1024
"""Larger than any record of one station: 150 years with all elements take about 20 MB unpacked."""

LONGEST_LINE = 8_000
MOST_LINES = 4_000_000
_REPORT_EVERY = 256 * 1024

Progress = Callable[[int, int], None]
"""Called now and then with the bytes read so far and the bytes in all."""


def read_station(
    path: Path, *, today: date, unit: Unit | None = None, progress: Progress | None = None
) -> Record | Problem:
    """The record in a weather file, or one sentence that says which lines are wrong and how.

    `unit` is that of the temperatures where the file cannot say itself. Nothing is half read: a file with a
    day in the future (after `today`), a day twice, a low above its high, or mixed units is refused whole.
    """
    try:
        with open_to_read(path, follow=True) as fd, open(fd, "rb", closefd=False) as file:
            head = file.read(4)
            if problem := _other_kind(path, head):
                return problem
            packed = head[:2] == b"\x1f\x8b"
            file.seek(0)
            size = os.fstat(fd).st_size
            if size > LARGEST_BYTES:
                return _too_large(path)
            unpacked = cast("IO[bytes]", gzip.GzipFile(fileobj=file)) if packed else file
            return _Reading(path, today, unit).read(_lines(unpacked, file, size, progress))
    except _TooLargeError:
        return _too_large(path)
    except (EOFError, gzip.BadGzipFile, zlib.error):
        return Problem(f"{clean(path.name)} is compressed but broken: fetch it again.", "damaged")
    except FileNotFoundError:
        return Problem(f"There is no weather file {clean(str(path))}: check its name.", "unknown")
    except UnfitFileError as unfit:
        said = f"There is no weather file {clean(str(path))}: what stands there {unfit.strerror}."
        return Problem(said, "unknown")
    except OSError as trouble:
        return Problem(f"{clean(path.name)} cannot be read: {trouble.strerror or 'disk error'}.", "disk")


def _other_kind(path: Path, head: bytes) -> Problem | None:
    """Why a file that begins so cannot be one of ours, where that is plain; None else."""
    if head[:2] == b"PK":
        return Problem(f"{clean(path.name)} is a zip or a spreadsheet: unpack it, or save it as CSV, first.")
    if head[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return Problem(f"{clean(path.name)} is written in UTF-16: save it as CSV in UTF-8 first.")
    return None


class _TooLargeError(Exception):
    pass


def _too_large(path: Path) -> Problem:
    most = LARGEST_BYTES // (1024 * 1024)
    return Problem(
        f"{clean(path.name)} is larger than {most} MB or has lines without end: take one station's file."
    )


def _lines(unpacked: IO[bytes], file: IO[bytes], size: int, progress: Progress | None) -> Iterator[str]:
    taken, reported, count = 0, 0, 0
    while line := unpacked.readline(LONGEST_LINE + 1):
        taken += len(line)
        count += 1
        if len(line) > LONGEST_LINE or taken > LARGEST_BYTES or count > MOST_LINES:
            raise _TooLargeError
        if progress is not None and taken - reported >= _REPORT_EVERY:
            reported = taken
            progress(min(file.tell(), size), size)
        yield line.decode("utf-8-sig", errors="replace").rstrip("\r\n")
    if progress is not None:
        progress(size, size)


class _Reading:
    def __init__(self, path: Path, today: date, unit: Unit | None) -> None:
        self.into = RecordBuilder(path.name, today)
        self.unit = unit
        self.stem = path.stem.split(".")[0]

    def read(self, lines: Iterator[str]) -> Record | Problem:
        numbered = (
            (i, line) for i, line in enumerate(lines, 1) if line.strip() and not (i == 1 and line[0] == "#")
        )
        first = next(numbered, None)
        if first is None:
            return Problem(f"{clean(self.into.file)} is empty: choose another.")
        number, line = first
        if ghcn.is_dly(line):
            self.into.archive = True
            ghcn.read_dly_line(self.into, number, line)
            for number, line in numbered:
                ghcn.read_dly_line(self.into, number, line)
            return self.into.record()
        cells = _split(line)
        if ghcn.by_station_cells(cells) is not None:
            return self._by_station(chain([(number, line)], numbered))
        if ghcn.is_by_station_header(cells):
            return self._by_station(numbered)
        if len(cells) == 1 and (mark := next((m for m in "\t;" if m in line), None)):
            what = "tabs" if mark == "\t" else "semicolons"
            return Problem(
                f"{clean(self.into.file)} has {what} between its columns: save it with commas first."
            )
        return self._table(cells, numbered)

    def _by_station(self, numbered: Iterator[tuple[int, str]]) -> Record | Problem:
        self.into.archive = True
        for number, line in numbered:
            ghcn.read_by_station_line(self.into, number, _split(line))
        return self._named()

    def _named(self) -> Record | Problem:
        """The record; a station that the file does not name is called like the file."""
        if not self.into.station:
            self.into.station = clean(self.stem)[:80]
        return self.into.record()

    def _table(self, header: list[str], numbered: Iterator[tuple[int, str]]) -> Record | Problem:
        at = columns(header, self.into.file)
        if isinstance(at, Problem):
            return at
        self.into.archive = at.archive
        table = Table.of(self.into, at, self.unit)
        if isinstance(table, Problem):
            return table
        for number, line in numbered:
            table.read_line(number, _split(line))
        if problem := self.into.faults.problem() or table.finish():
            return problem
        return self._named()


def _split(line: str) -> list[str]:
    """The cells of one line; a quoted cell never runs on into the next line in these files."""
    if '"' not in line:
        return line.split(",")
    try:
        return next(csv.reader([line]))
    except (csv.Error, StopIteration):
        return [line]
