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
from operator import itemgetter
from typing import Any, NamedTuple, TypeAlias
from zlib import crc32

from core.book.entry import HEAD, Entry

LONGEST_LINE = 64_000
"""Bytes of one line: longer entries are refused when written and set aside when merged."""

MOST_BAD = 20_000
"""Damaged lines of one log that are kept track of; a log with more of them is no log."""

_TEXT_KEPT = 2_000

BLOCK = 256 * 1024
"""Bytes read at a time: the fastest size measured, and little memory beside the entries themselves."""

_HEAD_TEXTS = [itemgetter(name) for name in HEAD]

_ON_OF = itemgetter("on")

ALONE, MORE = 0x20, 0x2B

Flat: TypeAlias = dict[str, Any]
"""An entry as one flat JSON object, head fields included."""

_encode: Callable[[Any], str] = json.JSONEncoder(
    ensure_ascii=False, allow_nan=False, check_circular=False, separators=(",", ":")
).encode
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


def latest_day(flats: list[Flat]) -> str:
    """The latest day of entries, "" where there are none."""
    return max(map(_ON_OF, flats), default="")


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
    try:
        flat = json.loads(body.decode())
        entry = Entry.from_dict(flat)
    except (ValueError, KeyError, TypeError, RecursionError):
        return "it is no entry, though its checksum fits"
    if body[BODY_ID] != entry.id.encode():
        return "it is no entry, though its checksum fits"
    return ""


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
    the bytes that are no entry, by offset, and `more_bad` counts those beyond MOST_BAD.
    """

    def __init__(self, fd: int, start: int = 0, stop: int = sys.maxsize) -> None:
        self.end = start
        self._stop = stop
        self.bad: dict[int, BadLine] = {}
        self.more_bad = 0
        self.tail = b""
        self._fd = fd
        self._held: list[bytes] = []  # lines of a writing whose last line has not come yet, from `end` on

    def blocks(self) -> Iterator[tuple[list[bytes], list[Flat]]]:
        """The good entries in file order, some thousands at a time: (their JSON bytes, the same read)."""
        place = self.end
        unfinished: list[bytes] = []
        while block := os.pread(self._fd, min(BLOCK, self._stop - place), place):
            place += len(block)
            cut = block.rfind(b"\n")
            if cut < 0:
                unfinished.append(block)
                continue
            lines = b"".join((*unfinished, block[:cut])).split(b"\n")
            unfinished = [block[cut + 1 :]]
            yield self._take(lines)
        last = b"".join(unfinished)
        if last and last[8:9] == b" " and not why_bad(last):  # whole, and only its newline was lost
            yield self._take([last])
            self.end = place
        else:
            self.tail = b"".join([line + b"\n" for line in self._held]) + last

    def _take(self, new: list[bytes]) -> tuple[list[bytes], list[Flat]]:
        lines = [*self._held, *new]
        self._held = []
        sound = _all_sound(lines)
        if sound is None:
            return self._sift(lines)
        bodies, flats, marks = sound
        waiting = len(marks) - len(marks.rstrip(b"+"))
        if waiting:
            self._held = lines[-waiting:]
            del bodies[-waiting:], flats[-waiting:], lines[-waiting:]
        self.end += sum(map(len, lines)) + len(lines)
        return bodies, flats

    def _sift(self, lines: list[bytes]) -> tuple[list[bytes], list[Flat]]:
        """The slow way, line by line, for a block with damage in it."""
        good: list[bytes] = []
        writing: list[tuple[int, bytes]] = []  # whole lines whose writing is not finished yet
        since = 0  # the line that writing began in
        place = self.end
        starts: list[int] = []
        for number, line in enumerate(lines):
            starts.append(place)
            for offset, part, reason in parts_of(place, line):
                if not reason:
                    since = since if writing else number
                    writing.append((offset, part))
                    if part[8] == ALONE:
                        good += [whole[9:] for _, whole in writing]
                        writing = []
                    continue
                if reason != _LINE_END:
                    for begun, whole in writing:
                        self._set_aside(begun, whole, "the rest of what was written with it was cut off")
                    writing = []
                if part:
                    self._set_aside(offset, part, reason)
            place += len(line) + 1
        if writing:
            self._held = lines[since:]
            place = starts[since]
        self.end = place
        return good, [json.loads(body) for body in good]

    def _set_aside(self, offset: int, text: bytes, reason: str) -> None:
        if len(self.bad) < MOST_BAD:
            self.bad[offset] = BadLine(offset, len(text), text[:_TEXT_KEPT], reason)
        else:
            self.more_bad += 1


_LINE_END = "its line ending was damaged"


def parts_of(offset: int, line: bytes) -> Iterator[tuple[int, bytes, str]]:
    """`line` as (offset, bytes, reason): one good part, or what can be told apart where some ran together."""
    reason = why_bad(line) if line else "an empty line"
    starts = [found.start() for found in ENTRY_START.finditer(line)] if reason else []
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
        flats: list[Flat] = json.loads((b"[" + b",".join(bodies) + b"]").decode())
        ids, *_ = ["".join(map(text_of, flats)) for text_of in _HEAD_TEXTS]  # raises where one is no text
        if ids != b"".join([body[BODY_ID] for body in bodies]).decode() or len(ids) != 36 * len(bodies):
            return None
        if len(flats) != len(bodies) or {len(flat["id"]) for flat in flats} != {36}:
            return None
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    return bodies, flats, marks
