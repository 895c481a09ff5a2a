"""The line of a log: a checksum, a mark and one entry as compact JSON; written and doubted.

    5d41402a {"id":"0197...","on":"2026-06-23","at":"...","by":"ml","kind":"cut","stems":40}

Eight hex digits of the CRC-32 of the JSON bytes; then a space, or "+" where the next line belongs to the
same writing (entries written together count together or not at all); then the JSON; then a newline.
"""

from __future__ import annotations

import array
import binascii
import json
import sys
from collections.abc import Callable, Iterator
from operator import itemgetter
from typing import Any, TypeAlias
from zlib import crc32

from core.book.entry import HEAD, Entry
from core.book.fit import read_all_fit, read_fit
from core.patterns import pattern

LONGEST_LINE = 64_000
"""Bytes of one line: longer entries are refused when written and set aside when merged."""

SHORTEST_LINE = 88
"""Bytes of the shortest line an entry can have: all five head fields, those but its id empty."""

_HEAD_TEXTS = [itemgetter(name) for name in HEAD]

_ON_OF = itemgetter("on")

ALONE, MORE = 0x20, 0x2B

Flat: TypeAlias = dict[str, Any]
"""An entry as one flat JSON object, head fields included."""

_encode: Callable[[Any], str] = json.JSONEncoder(
    ensure_ascii=False, allow_nan=False, check_circular=False, separators=(",", ":")
).encode
OPENING = b'{"id":"'
"""How the JSON bytes of an entry begin."""
ENTRY_START = pattern(rb'[0-9a-f]{8}[ +]\{"id":"')
"""How the line of an entry begins."""
BODY_ID = slice(7, 43)
"""Where the id stands in an entry's JSON bytes."""
ENTRY_ID = slice(9 + BODY_ID.start, 9 + BODY_ID.stop)
"""Where it stands in an entry's line."""


def order_key(flat: Flat) -> str:
    """Where an entry stands among others: its day, instant and id, as one text, which sorts faster than three."""
    return flat["on"] + flat["at"] + flat["id"]  # type: ignore[no-any-return]


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
    if len(line) > LONGEST_LINE:
        return TOO_LONG
    try:
        entry = Entry.from_dict(read_fit(body))
    except (ValueError, KeyError, TypeError, RecursionError):
        return "it is no entry, though its checksum fits"
    if body[BODY_ID] != entry.id.encode():
        return "it is no entry, though its checksum fits"
    return ""


TOO_LONG = "it is longer than any entry of a book"


def entries_from(flats: list[Flat]) -> list[Entry]:
    """The entries of flat objects; each object is changed, for it becomes the `fields` of its entry."""
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


LINE_END = "its line ending was damaged"
_DECODER = json.JSONDecoder()


def parts_of(offset: int, line: bytes) -> Iterator[tuple[int, bytes, str]]:
    """The entries that ran together in `line`, which begins at byte `offset`, and what stands between them.

    Each as (the byte it begins at, its bytes, "" where it is an entry, else why it is none); of most lines one part.
    """
    reason = why_bad(line) if line else "an empty line"
    if reason and line.endswith(b"\r") and not why_bad(line[:-1]):
        yield offset, line[:-1], ""  # it went through a program that ends lines in its own way
        return
    starts = []
    if reason and OPENING in line:  # found far quicker than the whole pattern
        starts = [found.start() for found in ENTRY_START.finditer(line)]
    if not starts:
        yield offset, line, reason
        return
    if starts[0]:
        yield offset, line[: starts[0]], reason
    for start, stop in zip(starts, [*starts[1:], len(line)], strict=True):
        part = line[start:stop]
        why = why_bad(part)
        end = _object_ends(part) if why and len(part) > SHORTEST_LINE else -1
        if 0 < end < len(part) and not why_bad(part[:end]):
            yield offset + start, part[:end], ""
            rest = part[end:]
            yield offset + start + end, rest, LINE_END if len(rest) == 1 else why_bad(rest)
        else:
            yield offset + start, part, why


def _object_ends(part: bytes) -> int:
    """The byte after the JSON object that begins with an entry's, -1 where there is none that is whole."""
    try:
        return _DECODER.raw_decode(part.decode("latin-1"), 9)[1]  # a letter a byte
    except (ValueError, RecursionError):
        return -1


def flats_of(data: bytes) -> list[Flat]:
    """The flat objects of whole lines that were found sound before: nothing is looked at again."""
    found: list[Flat] = json.loads(b"[%b]" % b",".join([line[9:] for line in data[:-1].split(b"\n")]))
    return found


def all_sound(lines: list[bytes]) -> tuple[list[bytes], list[Flat], bytes] | None:
    """(bodies, flat objects, marks) where every line is a good one, else None: the fast way, in bulk.

    One checksum comparison and one JSON reading for thousands of lines; whatever is the least out of place
    leaves the answer to `why_bad`, line by line.
    """
    summed = with_right_sums(lines)
    if summed is None:
        return None
    bodies, marks = summed
    try:
        flats = read_all_fit(bodies)
        ids, *_ = ["".join(map(text_of, flats)) for text_of in _HEAD_TEXTS]  # raises where one is no text
        if ids != b"".join([body[BODY_ID] for body in bodies]).decode() or len(ids) != 36 * len(bodies):
            return None
        if len(flats) != len(bodies) or {len(flat["id"]) for flat in flats} != {36}:
            return None
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    return bodies, flats, marks


def with_right_sums(lines: list[bytes]) -> tuple[list[bytes], bytes] | None:
    """(bodies, marks) where the checksum of every line is right, else None; nothing is decoded."""
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
    except ValueError:
        return None
    return bodies, marks
