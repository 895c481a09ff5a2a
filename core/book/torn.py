"""What a stopped writer left at the end of a log: told from damage, and marked so that every reader can tell it.

    5d41402a {"id":"0197...","on":"20~cut off 36 1a2b3c4d

The next writer ends such a line with a mark: how many bytes before it were never finished (lines of the same
writing that came before included), and their CRC-32. With the mark on one line with what it speaks of, a writer
that is stopped in the middle of marking leaves only more of the same. A reader that knows no such mark sees a line
whose checksum does not fit, and leaves it out.
"""

from __future__ import annotations

import codecs
import re
from zlib import crc32

from core.book.lines import LONGEST_LINE, MORE, why_bad
from core.patterns import pattern

_HEAD = b'00000000 {"id":"00000000-0000-0000-0000-000000000000'
_HEX = frozenset(b"0123456789abcdef")
MARK_BEGINS = b"~cut off "
_MARK = pattern(rb"~cut off ([0-9]{1,12}) ([0-9a-f]{8})\Z")
_MARK_LONGEST = 32
_MOST_MARKS = 8
_TOKEN = pattern(rb'"(?:[^"\\]+|\\.)*"?|[{}\[\]]', re.DOTALL)
_CONTROL = pattern(rb"[\x00-\x1f]")


def mark_of(unfinished: bytes) -> bytes:
    """The mark that ends `unfinished`, without the newline after it."""
    return MARK_BEGINS + b"%d %08x" % (len(unfinished), crc32(unfinished))


def unfinished_in(held: list[bytes], line: bytes) -> tuple[bytes, int] | None:
    """(the bytes of the `held` lines and of `line` that a mark says were never finished, where the mark begins).

    None where there is no mark, or where it does not fit what stands before it.
    """
    found = _MARK.search(line, max(0, len(line) - _MARK_LONGEST))
    if found is None:
        return None
    mark, length = found.start(), int(found[1])
    unfinished = line[max(0, mark - length) : mark]
    if length > mark:  # it reaches back over all of them
        unfinished = b"\n".join([*held, unfinished])
    if not length or len(unfinished) != length or found[2] != b"%08x" % crc32(unfinished):
        return None
    return unfinished, mark


def bytes_unfinished(tail: bytes, *, marks: int = _MOST_MARKS) -> int:
    """How many of the last bytes of `tail`, what stands after a log's last whole writing, were never finished.

    0 where `tail` is not the beginning of a writing, with the zeros of a power cut or up to so many `marks` that
    were cut off themselves: it is damage.
    """
    written = tail.rstrip(b"\0")
    begun, sign, rest = written.rpartition(b"~")
    inner = bytes_unfinished(begun, marks=marks - 1) if sign and marks else 0
    if inner and mark_of(begun[-inner:]).startswith(sign + rest):
        return inner + len(tail) - len(begun)
    *before, last = written.split(b"\n")
    if not all(map(_is_open, before)):
        return 0
    if not why_bad(last) and not _is_open(last):
        return len(tail) - len(written)  # a whole writing, of which only the last newline became a zero
    return len(tail) if _is_open(last) or _begins_a_line(last) else 0


def _is_open(line: bytes) -> bool:
    """Whether a good line says that the next one belongs to the same writing."""
    return line[8:9] == b"%c" % MORE and not why_bad(line)


def _begins_a_line(text: bytes) -> bool:
    """Whether `text` is what a writer had written of an entry's line when it stopped."""
    like = all(
        byte in _HEX if wanted == _HEAD[0] else byte == wanted or (at == 8 and byte == MORE)
        for at, (byte, wanted) in enumerate(zip(text, _HEAD, strict=False))
    )
    return like and len(text) < LONGEST_LINE and _closes_at(text, 9) < 0 and _is_text(text)


def _closes_at(line: bytes, begin: int) -> int:
    """The byte after the JSON object that begins at `begin`, -1 where `line` stops before it is closed."""
    depth = 0
    for found in _TOKEN.finditer(line, begin):
        depth += {b"{": 1, b"[": 1, b"}": -1, b"]": -1}.get(found[0], 0)
        if not depth:
            return found.end()
    return -1


def _is_text(begun: bytes) -> bool:
    """Whether the bytes are text as a log holds it; its last letter may be cut in two."""
    try:
        codecs.getincrementaldecoder("utf-8")().decode(begun)
    except UnicodeDecodeError:
        return False
    return not _CONTROL.search(begun)
