"""Reading a log from one end to the other: what is an entry, what is damaged, what was never finished.

Whatever stands in it, reading takes time in proportion to its size and memory within bounds.
"""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate
from typing import NamedTuple, TypeAlias
from zlib import crc32

from core.book.fit import read_fit
from core.book.lines import (
    ALONE,
    LINE_END,
    OPENING,
    SHORTEST_LINE,
    TOO_LONG,
    Flat,
    all_sound,
    parts_of,
    why_bad,
)
from core.book.torn import MARK_BEGINS, unfinished_in
from core.patterns import pattern

MOST_BAD = 20_000
"""Damaged lines of one log that are kept track of; a log with more of them is no log."""

MOST_TOGETHER = 4_000
"""Lines of one writing; one that goes on beyond that is none of ours, and holding it would take all memory."""

TEXT_KEPT = 2_000
"""Bytes of a line that is no entry that are kept and recorded."""

BLOCK = 256 * 1024
"""Bytes read at a time: the fastest size measured, and little memory beside the entries themselves."""

_MOST_BLOCKS = 64
"""Blocks held of one line: a power cut may leave as many zeros of what was being written, a merge's 20,000 lines."""

_NOT_EMPTY = pattern(rb"[^\n]+")
_MAY_BE_ENTRY = pattern(re.escape(OPENING) + rb"[^\n]{%d}" % (SHORTEST_LINE - 9 - len(OPENING)))
"""What stands in any block that holds the whole line of an entry."""
_REST_CUT_OFF = "the rest of what was written with it was cut off"


class BadLine(NamedTuple):
    """Bytes of a log that are no entry: `length` from byte `offset` on; `text` is the first TEXT_KEPT of them."""

    offset: int
    length: int
    text: bytes
    reason: str


_Part: TypeAlias = tuple[int, bytes]
"""The line of an entry, and the byte it begins at."""


@dataclass(slots=True)
class _Begun:
    """A writing whose last line has not come yet: its `parts`, and the `lines` they stand in from byte `since` on."""

    parts: list[_Part]
    lines: list[bytes]
    since: int


class Reader:
    """Reads one open log from byte `start` to its end or to `stop`; then `end`, `bad` and `tail` tell more.

    `end` is the byte where the next reading begins. `tail` is what stands after it: a line or a writing
    that is not finished, because another process is in the middle of it or a crash cut it off. `bad` holds
    the bytes that are no entry, by offset, and `more_bad` counts those beyond MOST_BAD, the first of them at
    byte `more_from`. `cut_off` holds, by offset, what a writer was stopped in and the next one marked so: nobody
    was told that it was written.
    """

    def __init__(self, fd: int, start: int = 0, stop: int = sys.maxsize) -> None:
        self.end = start
        self._stop = stop
        self.bad: dict[int, BadLine] = {}
        self.more_bad = 0
        self.more_from = 0
        self.cut_off: dict[int, BadLine] = {}
        self.tail = b""
        self._fd = fd
        self._held: list[bytes] = []  # lines of a writing whose last line has not come yet, from `end` on
        self._places: list[int] | int = (
            0  # of the last block's entries; of the first, where they stand in a row
        )
        self._bodies: list[bytes] = []
        self._whole: bytes | None = None

    def blocks(self) -> Iterator[tuple[list[bytes], list[Flat]]]:
        """The good entries in file order, some thousands at a time: (their JSON bytes, the same read)."""
        place = self.end
        unfinished: list[bytes] = []
        while block := os.pread(self._fd, min(BLOCK, self._stop - place), place):
            place += len(block)
            cut = block.rfind(b"\n")
            if cut < 0:
                unfinished.append(block)
                if len(unfinished) > _MOST_BLOCKS:
                    place = self._skip_line(place, sum(map(len, unfinished)), unfinished[0] + unfinished[1])
                    unfinished = []
                continue
            data = b"".join((*unfinished, block[: cut + 1]))
            unfinished = [block[cut + 1 :]]
            yield self._taken(data)
        last = b"".join(unfinished)
        if last and last[8:9] == b" " and not why_bad(last):  # whole, and only its newline was lost
            yield self._taken(last + b"\n")
            self.end = place
        else:
            self.tail = b"".join([line + b"\n" for line in self._held]) + last

    def places(self) -> list[int]:
        """The byte at which each entry of the block that came last begins."""
        if isinstance(self._places, list):
            return self._places
        return [*accumulate([len(body) + 10 for body in self._bodies[:-1]], initial=self._places)]

    def checksum(self) -> int | None:
        """The CRC-32 of all bytes of the block that came last, where they are lines of entries and nothing else."""
        return None if self._whole is None else crc32(self._whole)

    def _taken(self, data: bytes) -> tuple[list[bytes], list[Flat]]:
        self._bodies, flats = self._take(data)
        return self._bodies, flats

    def _take(self, data: bytes) -> tuple[list[bytes], list[Flat]]:
        """The good entries of whole lines, each with its newline, that go on from those held."""
        self._whole = None
        if not self._held and not _MAY_BE_ENTRY.search(data) and self._count_junk(data):
            return [], []
        if self._held:
            data = b"\n".join((*self._held, data))
            self._held = []
        if 2 * data.count(b"\n") > len(data):
            return self._sift(data)  # mostly empty lines, which are passed over quickest there
        lines = data[:-1].split(b"\n")
        sound = all_sound(lines)
        if sound is None:
            return self._sift(data)
        bodies, flats, marks = sound
        waiting = len(marks) - len(marks.rstrip(b"+"))
        if waiting:
            self._held = lines[-waiting:]
            del bodies[-waiting:], flats[-waiting:], lines[-waiting:]
        self._places = self.end
        taken = sum(map(len, lines)) + len(lines)
        self._whole = data[:taken]
        self.end += taken
        self._give_up_endless()
        return bodies, flats

    def _count_junk(self, data: bytes) -> bool:
        """Whether lines without any entry need no looking at: they are empty, or so many were bad already."""
        empty = len(data) == data.count(b"\n")
        if not empty and len(self.bad) < MOST_BAD:
            return False
        if not empty:
            lines = data[:-1].split(b"\n")
            self.more_from = self.more_from or self.end
            self.more_bad += len(lines) - lines.count(b"")
        self.end += len(data)
        return True

    def _skip_line(self, place: int, length: int, begun: bytes) -> int:
        """Sets aside a line without end of which `length` bytes stand before `place`; the byte after it."""
        self._give_up_held()
        begin = place - length
        while block := os.pread(self._fd, min(BLOCK, self._stop - place), place):
            cut = block.find(b"\n")
            place += len(block) if cut < 0 else cut
            if cut >= 0:
                break
        self._set_aside(begin, begun, TOO_LONG, length=place - begin)
        self.end = place + bool(block)
        return self.end

    def _give_up_endless(self) -> None:
        if len(self._held) > MOST_TOGETHER:
            self._give_up_held()

    def _give_up_held(self) -> None:
        """Sets aside the lines of a writing whose last line does not come."""
        for line in self._held:
            self._set_aside(self.end, line, _REST_CUT_OFF)
            self.end += len(line) + 1
        self._held = []

    def _sift(self, data: bytes) -> tuple[list[bytes], list[Flat]]:
        """The slow way, line by line, for a block with damage in it."""
        good: list[_Part] = []
        begun = _Begun([], [], self.end)
        place = self.end
        marked = MARK_BEGINS in data
        for found in _NOT_EMPTY.finditer(data):
            line, begin = found[0], self.end + found.start()
            if begin != place:
                self._give_up(begun)  # an empty line ends the writing it stands in
            place = begin + len(line) + 1
            left = self._before_cut(begun, begin, line) if marked else line
            if left:
                self._sift_line(begun, begin, left, good)
            if left is not line:
                self._give_up(begun)
        if place != self.end + len(data):
            self._give_up(begun)
        self.end += len(data)
        if begun.parts:
            self._held, self.end = begun.lines, begun.since
        self._places = [offset for offset, _ in good]
        self._give_up_endless()
        bodies = [part[9:] for _, part in good]
        return bodies, [read_fit(body) for body in bodies]

    def _sift_line(self, begun: _Begun, begin: int, line: bytes, good: list[_Part]) -> None:
        """Takes a line into the writing that is begun; into the `good` entries with the last of its lines."""
        if len(line) < SHORTEST_LINE:  # quick: there may be millions of them
            self._give_up(begun)
            self._set_aside(begin, line, "")
            return
        if begun.parts:
            begun.lines.append(line)
        for offset, part, reason in parts_of(begin, line):
            if not reason:
                if not begun.parts:
                    begun.since, begun.lines = begin, [line]
                begun.parts.append((offset, part))
                if part[8] == ALONE:
                    good += begun.parts
                    begun.parts = []
                continue
            if reason != LINE_END:
                self._give_up(begun)
            self._set_aside(offset, part, reason)

    def _before_cut(self, begun: _Begun, begin: int, line: bytes) -> bytes:
        """What of a line stands before the unfinished writing that a mark covers; the line itself without a mark."""
        unfinished = unfinished_in(begun.lines if begun.parts else [], line)
        if not unfinished:
            return line
        cut, mark = unfinished
        offset = begin + mark - len(cut)
        self._note_cut_off(offset, cut)
        if offset < begin:
            begun.parts = []  # its lines are among what was cut off
        return line[: max(0, offset - begin)]

    def _give_up(self, begun: _Begun) -> None:
        """Sets aside what was begun of a writing that does not go on."""
        for offset, part in begun.parts:
            self._set_aside(offset, part, _REST_CUT_OFF)
        begun.parts = []

    def _note_cut_off(self, offset: int, text: bytes) -> None:
        if len(self.cut_off) < MOST_BAD:
            why = "it was cut off before it was written"
            self.cut_off[offset] = BadLine(offset, len(text), text[:TEXT_KEPT], why)

    def _set_aside(self, offset: int, text: bytes, reason: str, *, length: int = 0) -> None:
        """Records bytes that are no entry; why is looked for only here where `reason` is ""."""
        if len(self.bad) < MOST_BAD:
            kept = text[:TEXT_KEPT]
            self.bad[offset] = BadLine(offset, length or len(text), kept, reason or why_bad(text))
        else:
            self.more_from = self.more_from or offset
            self.more_bad += 1
