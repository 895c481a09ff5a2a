"""Single entries found in a log by the end of their ids, or by their kind, without reading all of it."""

from __future__ import annotations

import json
import mmap
import os
from collections.abc import Iterator

from core.book.lines import ENTRY_ID, OPENING, Flat
from core.book.reader import Reader

_ID_LONG = ENTRY_ID.stop - ENTRY_ID.start
_MARK = 8


def entries_ending(fd: int, stop: int, ending: str) -> Iterator[Flat]:
    """The good entries among the first `stop` bytes of an open log whose ids end with `ending`, in file order.

    They count as they do for a `Reader`: a line of a writing that was cut off does not.
    """
    wanted = ending.encode()
    if not 0 < len(wanted) <= _ID_LONG or not os.fstat(fd).st_size:
        return
    with mmap.mmap(fd, 0, access=mmap.ACCESS_READ) as log:
        place = 0
        while (place := log.find(wanted + b'"', place, stop)) >= 0:
            place += 1
            line = log.rfind(b"\n", 0, place) + 1
            ends = place - 1 + len(wanted)
            if ends != line + ENTRY_ID.stop:
                begins = ends - _ID_LONG - len(OPENING)
                if begins <= line + _MARK or log[begins : begins + len(OPENING)] != OPENING:
                    continue  # not where the id of an entry stands
            begin, end = _writing(log, line, stop)
            for _, flats in Reader(fd, begin, end).blocks():
                yield from (flat for flat in flats if flat["id"].endswith(ending))
            place = max(place, end)


def entries_of_kind(fd: int, stop: int, kind: str) -> Iterator[Flat]:
    """The good entries of a kind among the first `stop` bytes of an open log, in file order."""
    if not os.fstat(fd).st_size:
        return
    wanted = f'"kind":{json.dumps(kind)}'.encode()
    with mmap.mmap(fd, 0, access=mmap.ACCESS_READ) as log:
        place = 0
        while (place := log.find(wanted, place, stop)) >= 0:
            begin, end = _writing(log, log.rfind(b"\n", 0, place) + 1, stop)
            for _, flats in Reader(fd, begin, end).blocks():
                yield from (flat for flat in flats if flat["kind"] == kind)
            place = end


def _writing(log: mmap.mmap, line: int, stop: int) -> tuple[int, int]:
    """The bytes (from, to) of the writing that the line beginning at `line` belongs to."""
    begin, end = line, _after(log, line, stop)
    while begin and (before := log.rfind(b"\n", 0, begin - 1) + 1) + _MARK < begin:
        if log[before + _MARK : before + _MARK + 1] != b"+":
            break
        begin = before
    while end < stop and log[line + _MARK : line + _MARK + 1] == b"+":
        line, end = end, _after(log, end, stop)
    return begin, end


def _after(log: mmap.mmap, line: int, stop: int) -> int:
    found = log.find(b"\n", line, stop)
    return found + 1 if found >= 0 else stop
