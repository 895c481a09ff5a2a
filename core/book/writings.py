"""What stands in one log, read from its end: the entries of one writing together, the newest first."""

from __future__ import annotations

import os
from collections.abc import Iterator

from core.book.entry import Entry
from core.book.ids import is_uuid7, ms_of
from core.book.lines import LONGEST_LINE, Flat, entries_from
from core.book.reader import Reader

_REACH = 16 * 1024
"""Bytes read at first; what is asked for stands nearly always among the last lines."""


def newest_first(fd: int) -> Iterator[list[Entry]]:
    """Each writing of an open log as its entries in order, the newest writing first; what is damaged is left out.

    Entries of one writing follow each other by a millisecond, those of two never do (`Book.append`).
    """
    size = os.fstat(fd).st_size
    reach, told = _REACH, 0
    while True:
        begin = _line_start(fd, size - reach) if reach < size else 0
        found = _writings(fd, begin, size)
        if begin:
            del found[:1]  # its first entries may stand before
        for writing in reversed(found[: len(found) - told]):
            yield entries_from(writing)
        told = len(found)
        if not begin:
            return
        reach *= 8


def _line_start(fd: int, place: int) -> int:
    """Where the first line after byte `place` begins."""
    return place + os.pread(fd, LONGEST_LINE, place).find(b"\n") + 1


def _writings(fd: int, begin: int, end: int) -> list[list[Flat]]:
    found: list[list[Flat]] = []
    last = 0
    for _, flats in Reader(fd, begin, end).blocks():
        for flat in flats:
            made = ms_of(flat["id"]) if is_uuid7(flat["id"]) else 0
            if found and made and made == last + 1:
                found[-1].append(flat)
            else:
                found.append([flat])
            last = made
    return found
