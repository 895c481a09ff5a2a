"""The line of a log: a checksum, a mark and one entry as compact JSON; written, read and doubted.

    5d41402a {"id":"0197...","on":"2026-06-23","at":"...","by":"ml","kind":"cut","stems":40}

Eight hex digits of the CRC-32 of the JSON bytes; then a space, or "+" where the next line belongs to the
same writing (entries written together count together or not at all); then the JSON; then a newline.
"""

from __future__ import annotations

import array
import binascii
import json
import os
import re
import sys
from collections.abc import Callable, Iterator
from itertools import accumulate
from operator import itemgetter
from typing import Any, NamedTuple, TypeAlias
from zlib import crc32

from core.book.entry import HEAD, Entry
from core.book.fit import read_all_fit, read_fit

LONGEST_LINE = 64_000
"""Bytes of one line: longer entries are refused when written and set aside when merged."""

SHORTEST_LINE = 88
"""Bytes of the shortest line an entry can have: all five head fields, those but its id empty."""

MOST_BAD = 20_000
"""Damaged lines of one log that are kept track of; a log with more of them is no log."""

MOST_TOGETHER = 4_000
"""Lines of one writing; one that goes on beyond that is none of ours, and holding it would take all memory."""

_TEXT_KEPT = 2_000

BLOCK = 256 * 1024
"""Bytes read at a time: the fastest size measured, and little memory beside the entries themselves."""

_HEAD_TEXTS = [itemgetter(name) for name in HEAD]

ALONE, MORE = 0x20, 0x2B

Flat: TypeAlias = dict[str, Any]
"""An entry as one flat JSON object, head fields included."""

_encode: Callable[[Any], str] = json.JSONEncoder(
    ensure_ascii=False, allow_nan=False, check_circular=False, separators=(",", ":")
).encode
_OPENING = b'{"id":"'
ENTRY_START = re.compile(rb'[0-9a-f]{8}[ +]\{"id":"')
"""How the line of an entry begins."""
BODY_ID = slice(7, 43)
"""Where the id stands in an entry's JSON bytes."""


class BadLine(NamedTuple):
    """Bytes of a log that are no entry: `length` from byte `offset` on; `text` is the first 2,000 of them."""

    offset: int
    length: int
    text: bytes
    reason: str


def body_of(flat: Flat) -> bytes:
    """The JSON bytes of a flat entry; raises TypeError or ValueError for what JSON cannot hold."""
    return _encode(flat).encode()


def line_of(body: bytes, *, more: bool = False) -> bytes:
    """The line of an entry's JSON bytes, newline included; `more` where the next belongs to it."""
    return b"%08x%c%b\n" % (crc32(body), MORE if more else ALONE, body)


def lines_of(bodies: list[bytes]) -> bytes:
    """The lines of one writing: all of them count, or none."""
    last = len(bodies) - 1
    return b"".join([line_of(body, more=i < last) for i, body in enumerate(bodies)])


def why_bad(line: bytes) -> str:
    """Why `line` (without its newline) is no entry, or "" where it is a good one."""
    if len(line) < 10 or not ENTRY_START.match(line):
        return "it does not begin like an entry"
    body = line[9:]
    if line[:8] != b"%08x" % crc32(body):
        return "its checksum does not fit: bytes were changed or lost"
    if len(line) > LONGEST_LINE:
        return _TOO_LONG
    try:
        entry = Entry.from_dict(read_fit(body))
    except (ValueError, KeyError, TypeError, RecursionError):
        return "it is no entry, though its checksum fits"
    if body[BODY_ID] != entry.id.encode():
        return "it is no entry, though its checksum fits"
    return ""


_TOO_LONG = "it is longer than any entry of a book"


def entries_from(flats: list[Flat]) -> list[Entry]:
    """The entries of flat objects, which are used up: their dicts become the entries' own fields."""
    entry_id, on, at, by, kind, fields = _SETTERS
    made: list[Entry] = []
    new = object.__new__
    for flat in flats:  # past the frozen constructor, which is half the time of loading a big book
        entry = new(Entry)
        pop = flat.pop
        entry_id(entry, pop("id"))
        on(entry, pop("on"))
        at(entry, pop("at"))
        by(entry, pop("by"))
        kind(entry, pop("kind"))
        fields(entry, flat)
        made.append(entry)
    return made


_SETTERS = tuple(getattr(Entry, name).__set__ for name in (*HEAD, "fields"))


class Reader:
    """Reads one open log from byte `start` to its end or to `stop`; then `end`, `bad` and `tail` tell more.

    `end` is the byte where the next reading begins. `tail` is what stands after it: a line or a writing
    that is not finished, because another process is in the middle of it or a crash cut it off. `bad` holds
    the bytes that are no entry, by offset, and `more_bad` counts those beyond MOST_BAD, the first of them at
    byte `more_from`.
    """

    def __init__(self, fd: int, start: int = 0, stop: int = sys.maxsize) -> None:
        self.end = start
        self._stop = stop
        self.bad: dict[int, BadLine] = {}
        self.more_bad = 0
        self.more_from = 0
        self.tail = b""
        self._fd = fd
        self._held: list[bytes] = []  # lines of a writing whose last line has not come yet, from `end` on
        self._places: list[int] | int = (
            0  # of the last block's entries; of the first, where they stand in a row
        )
        self._bodies: list[bytes] = []

    def blocks(self) -> Iterator[tuple[list[bytes], list[Flat]]]:
        """The good entries in file order, some thousands at a time: (their JSON bytes, the same read)."""
        place = self.end
        unfinished: list[bytes] = []
        while block := os.pread(self._fd, min(BLOCK, self._stop - place), place):
            place += len(block)
            cut = block.rfind(b"\n")
            if cut < 0:
                unfinished.append(block)
                if len(unfinished) > 2:
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

    def _taken(self, data: bytes) -> tuple[list[bytes], list[Flat]]:
        self._bodies, flats = self._take(data)
        return self._bodies, flats

    def _take(self, data: bytes) -> tuple[list[bytes], list[Flat]]:
        """The good entries of whole lines, each with its newline, that go on from those held."""
        if _OPENING not in data and not self._held and self._count_junk(data):
            return [], []
        if self._held:
            data = b"\n".join((*self._held, data))
            self._held = []
        if 2 * data.count(b"\n") > len(data):
            return self._sift(data)  # mostly empty lines, which are passed over quickest there
        lines = data[:-1].split(b"\n")
        sound = _all_sound(lines)
        if sound is None:
            return self._sift(data)
        bodies, flats, marks = sound
        waiting = len(marks) - len(marks.rstrip(b"+"))
        if waiting:
            self._held = lines[-waiting:]
            del bodies[-waiting:], flats[-waiting:], lines[-waiting:]
        self._places = self.end
        self.end += sum(map(len, lines)) + len(lines)
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
        self._set_aside(begin, begun, _TOO_LONG, length=place - begin)
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
        good: list[bytes] = []
        places: list[int] = []
        writing: list[tuple[int, bytes]] = []  # whole lines whose writing is not finished yet
        whole: list[bytes] = []  # the lines they stand in, from byte `since` on
        since = place = self.end

        def cut_off() -> None:
            for begun, part in writing:
                self._set_aside(begun, part, _REST_CUT_OFF)
            writing.clear()

        for found in _NOT_EMPTY.finditer(data):
            line, begin = found[0], self.end + found.start()
            if begin != place:
                cut_off()  # by an empty line
            place = begin + len(line) + 1
            if len(line) < SHORTEST_LINE:  # quick: there may be millions of them
                cut_off()
                self._set_aside(begin, line, "")
                continue
            if writing:
                whole.append(line)
            for offset, part, reason in parts_of(begin, line):
                if not reason:
                    if not writing:
                        since, whole = begin, [line]
                    writing.append((offset, part))
                    if part[8] == ALONE:
                        good += [one[9:] for _, one in writing]
                        places += [begun for begun, _ in writing]
                        writing.clear()
                    continue
                if reason != _LINE_END:
                    cut_off()
                self._set_aside(offset, part, reason)
        if place != self.end + len(data):
            cut_off()
        self.end += len(data)
        if writing:
            self._held, self.end = whole, since
        self._places = places
        self._give_up_endless()
        return good, [read_fit(body) for body in good]

    def _set_aside(self, offset: int, text: bytes, reason: str, *, length: int = 0) -> None:
        """Records bytes that are no entry; why is looked for only here where `reason` is ""."""
        if len(self.bad) < MOST_BAD:
            kept = text[:_TEXT_KEPT]
            self.bad[offset] = BadLine(offset, length or len(text), kept, reason or why_bad(text))
        else:
            self.more_from = self.more_from or offset
            self.more_bad += 1


_NOT_EMPTY = re.compile(rb"[^\n]+")
_REST_CUT_OFF = "the rest of what was written with it was cut off"
_LINE_END = "its line ending was damaged"


def parts_of(offset: int, line: bytes) -> Iterator[tuple[int, bytes, str]]:
    """`line` as (offset, bytes, reason): one good part, or what can be told apart where some ran together."""
    reason = why_bad(line) if line else "an empty line"
    if reason and line.endswith(b"\r") and not why_bad(line[:-1]):
        yield offset, line[:-1], ""  # it went through a program that ends lines in its own way
        return
    starts = []
    if reason and _OPENING in line:  # found far quicker than the whole pattern
        starts = [found.start() for found in ENTRY_START.finditer(line)]
    if not reason or starts in ([], [0]):
        yield offset, line, reason
        return
    if starts[0]:
        yield offset, line[: starts[0]], reason
    for start, stop in zip(starts, [*starts[1:], len(line)], strict=True):
        part = line[start:stop]
        why = why_bad(part)
        if why and stop < len(line) and not why_bad(part[:-1]):
            yield offset + start, part[:-1], ""
            yield offset + stop - 1, part[-1:], _LINE_END
        else:
            yield offset + start, part, why


def _all_sound(lines: list[bytes]) -> tuple[list[bytes], list[Flat], bytes] | None:
    """(bodies, flat objects, marks) where every line is a good one, else None: the fast way, in bulk.

    One checksum comparison and one JSON reading for thousands of lines; whatever is the least out of place
    leaves the answer to `why_bad`, line by line.
    """
    if max(map(len, lines)) > LONGEST_LINE:
        return None
    heads = bytearray().join([line[:9] for line in lines])
    if len(heads) != 9 * len(lines):
        return None
    marks = bytes(heads[8::9])
    del heads[8::9]
    bodies = [line[9:] for line in lines]
    if marks.strip(b" +") or heads != heads.lower():
        return None
    try:
        sums = array.array("I", binascii.unhexlify(heads))
        if sys.byteorder == "little":
            sums.byteswap()
        if sums != array.array("I", map(crc32, bodies)):
            return None
        flats = read_all_fit(bodies)
        ids, *_ = ["".join(map(text_of, flats)) for text_of in _HEAD_TEXTS]  # raises where one is no text
        if ids != b"".join([body[BODY_ID] for body in bodies]).decode() or len(ids) != 36 * len(bodies):
            return None
        if len(flats) != len(bodies) or {len(flat["id"]) for flat in flats} != {36}:
            return None
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    return bodies, flats, marks
