"""Entries of a log that may hold what is sought, found in the bytes of its lines: the others are not even decoded."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple

from core.book.lines import ENTRY_ID, Flat, all_sound, with_right_sums
from core.book.reader import Reader
from core.patterns import pattern

BLOCK = 256 << 10
"""Bytes looked through at a time, in some thousandths of a second."""
LARGEST_BLOCK = 16 * BLOCK
"""More bytes than any writing has."""
ENDS_AT_ONCE = 32
"""Blocks of which the ends are looked for in one step."""
BEFORE_ALL = b"~"
"""Told in place of an id while no block was looked through: it comes after every id."""
_ENDS_WRITING = pattern(rb"[0-9a-f]{8} ")
"""How the last line of a writing begins: its sum, and no sign that more belongs to it."""
_CODES = pattern(rb'":"([a-z]\d+[a-z]{0,3})')


class Clue(NamedTuple):
    """What a line has that may be sought: one of these words somewhere, or a value that begins with one of these codes,
    all in small ASCII letters. A line with another letter in it, or an escaped one, may have anything."""

    words: tuple[bytes, ...] = ()
    codes: frozenset[bytes] = frozenset()


def entries_with(
    fd: int, clues: Sequence[Clue], ids: Collection[bytes]
) -> Iterator[tuple[bytes, list[Flat]]]:
    """The good entries of an open log that may have all the clues, or have one of these ids; others may be among them.

    They come block by block, what was written last before the rest, each with the id of a last line of its block; a
    block without any comes too. They count as they do for a `Reader`: not where a line that was written together with
    them is damaged.
    """
    places = [0]
    for end in _ends(fd):
        places.append(end)
        if not len(places) % ENDS_AT_ONCE:
            yield BEFORE_ALL, []
    for _, flats in Reader(fd, places[-1]).blocks():
        yield (flats[-1]["id"].encode() if flats else b""), flats
    for begin, end in zip(places[-2::-1], places[:0:-1], strict=True):
        block = os.pread(fd, end - begin, begin)
        last = block.rfind(b"\n", 0, len(block) - 1) + 1
        yield block[last:][ENTRY_ID], [*_of_block(fd, begin, block, clues, ids)]


def _ends(fd: int) -> Iterator[int]:
    """The byte after each block of an open log, as far as they end where a writing does."""
    begin, size = 0, BLOCK
    while block := os.pread(fd, size, begin):
        if end := _last_writing_ends(block):
            begin, size = begin + end, BLOCK
            yield begin
        elif len(block) < size or size >= LARGEST_BLOCK:
            return  # the end of the log, or nothing that a shedbook wrote
        else:
            size *= 4


def _last_writing_ends(block: bytes) -> int:
    """The byte after the last whole line with which a writing ends; 0 where there is none."""
    end = block.rfind(b"\n") + 1
    while end:
        line = block.rfind(b"\n", 0, end - 1) + 1
        if _ENDS_WRITING.match(block, line):
            return end
        end = line
    return 0


def _of_block(
    fd: int, begin: int, block: bytes, clues: Sequence[Clue], ids: Collection[bytes]
) -> Iterator[Flat]:
    lines = block[:-1].split(b"\n")
    picked = _picked(block, lines, clues, ids)
    if not picked:
        return
    sound = all_sound([lines[n] for n in picked]) if with_right_sums(lines) else None
    if sound:
        yield from sound[1]
        return
    for _, flats in Reader(fd, begin, begin + len(block)).blocks():
        yield from flats


def _picked(block: bytes, lines: list[bytes], clues: Sequence[Clue], ids: Collection[bytes]) -> list[int]:
    """The numbers of the lines to be decoded."""
    odd: set[int] = set()
    if not block.isascii() or b"\\" in block:
        odd = {n for n, line in enumerate(lines) if b"\\" in line or not line.isascii()}
    if ids:
        odd.update(n for n, line in enumerate(lines) if line[ENTRY_ID] in ids)
    low = block.lower()
    lows = low[:-1].split(b"\n")
    left: set[int] | None = None
    for clue in clues:
        among = range(len(lows)) if left is None else left
        has: set[int] = set()
        for word in clue.words:
            if word in low:
                has.update(n for n in among if word in lows[n])
        if clue.codes:
            left_over = [n for n in among if n not in has]
            has.update(n for n in left_over if not clue.codes.isdisjoint(_CODES.findall(lows[n])))
        left = has
    return sorted(odd.union(range(len(lines)) if left is None else left))
