"""Adding to the day's backup what was written since it was made, however big the book is.

A gzip file may be made of members one after another (RFC 1952, section 2.2), so a few lines more are a small member at
its end. How far the logs are in it, and its checksum, stand beside it in `backup/reaches.json`; where these do not fit
the backup or the logs any more (a power cut in the middle, a byte changed, a log put back), the backup is made anew.
"""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from core.book import layout
from core.book.disk import add_whole, open_file, open_to_read, read_file, replace_file
from core.book.journal import print_of
from core.book.layout import NOWHERE, Mark
from core.book.lines import line_of
from core.book.reader import Reader

REACHES = "reaches.json"
"""{"backup": its name, "crc32": of its bytes, "logs": how far they are in it (a `Mark`)}."""

_LONGEST = 1 << 20
_GZIP = 16 + zlib.MAX_WBITS
_MEMBER = b"\x1f\x8b\x08"
"""How a member begins (RFC 1952, section 2.3)."""
_STEP = 64
"""Bytes unpacked at a time where something is damaged, so that all that stands before it is given."""


def note_reach(backup: Path, logs: Mark) -> None:
    """Notes how far the logs are in the backup just made or added to. Raises OSError."""
    # read, not reckoned on from what was there: another program may have added to it at the same time
    note = {"backup": backup.name, "crc32": checksum(backup), "logs": logs}
    replace_file(backup.with_name(REACHES), [json.dumps(note).encode()])


def top_up(backup: Path, sizes: dict[str, int]) -> bool:
    """Adds to `backup` what stands in the logs after what it has; whether it now has all of them.

    False where it has to be made anew. `sizes` of the logs were looked at under the lock, so that nothing is taken
    which a failed writing takes back. Raises OSError; what was begun is then taken away again.
    """
    noted = _noted(backup)
    if noted is None or not _are_in_logs(backup, noted.logs, sizes) or not _is_as_left(backup, noted):
        return False
    bodies: list[bytes] = []
    reach: Mark = {}
    for name, size in sizes.items():
        with open_to_read(_log(backup, name)) as fd:
            reader = Reader(fd, noted.logs.get(name, NOWHERE)[0], size)
            for found, _ in reader.blocks():
                bodies += found
            reach[name] = [reader.end, print_of(fd, reader.end)]
    if bodies:
        fd = open_file(backup, os.O_WRONLY | os.O_APPEND)
        try:
            add_whole(fd, b"".join(packed(bodies)))
        finally:
            os.close(fd)
    if reach != noted.logs:
        note_reach(backup, reach)
    return True


def is_in_logs(backup: Path, sizes: dict[str, int]) -> bool:
    """Whether the logs still hold all that went into `backup`, whatever became of its own bytes."""
    noted = _noted(backup)
    return noted is not None and _are_in_logs(backup, noted.logs, sizes)


def _are_in_logs(backup: Path, logs: Mark, sizes: dict[str, int]) -> bool:
    for name, (end, seen) in logs.items():
        if end > sizes.get(name, -1):
            return False
        with open_to_read(_log(backup, name)) as fd:
            if print_of(fd, end) != seen:
                return False
    return True


def _log(backup: Path, name: str) -> Path:
    return backup.parents[1] / layout.LOGS / name


def packed(bodies: list[bytes]) -> Iterator[bytes]:
    """One gzip member with the lines of these entries."""
    packer = zlib.compressobj(level=4, wbits=_GZIP)
    for begin in range(0, len(bodies), 2000):
        yield packer.compress(b"".join([line_of(body) for body in bodies[begin : begin + 2000]]))
    yield packer.flush()


def unpacked(parts: Iterable[bytes]) -> Iterator[bytes]:
    """What the members of a gzip file hold, piece by piece: of a damaged one what stands before the damage, and all
    that is whole after it. Then raises zlib.error where any was damaged, EOFError where the last is cut off.
    """
    unpacker = zlib.decompressobj(wbits=_GZIP)
    begun, damage, skipped = False, None, None
    for whole in parts:
        part, step = whole, len(whole)
        while part:
            if skipped is not None:  # in what cannot be read: on to where a member begins
                part = skipped + part
                at = part.find(_MEMBER)
                skipped, part = (part[-2:], b"") if at < 0 else (None, part[at:])
                continue
            now, rest = part[:step], part[step:]
            before = unpacker.copy() if step > _STEP else None
            try:
                told = unpacker.decompress(now)
            except zlib.error as error:
                if before is not None:  # once more in small steps, to where it is damaged
                    unpacker, step = before, _STEP
                    continue
                damage, skipped, part = error, b"", now[1:] + rest
                begun, unpacker = False, zlib.decompressobj(wbits=_GZIP)
                yield b"\n"  # what was torn is a line of its own
                continue
            part, begun = rest, True
            yield told
            if unpacker.eof:
                part = unpacker.unused_data + part
                unpacker, begun = zlib.decompressobj(wbits=_GZIP), False
    if damage is not None:
        raise damage
    if begun:
        raise EOFError


def _is_as_left(backup: Path, noted: _Noted) -> bool:
    try:
        return checksum(backup) == noted.crc32
    except OSError:  # it is gone, or cannot be read
        return False


def checksum(path: Path) -> int:
    """The CRC-32 of all bytes of a plain file. Raises OSError."""
    found = 0
    with open_to_read(path) as fd:
        while part := os.read(fd, _LONGEST):
            found = zlib.crc32(part, found)
    return found


class _Noted(NamedTuple):
    crc32: int
    logs: Mark


def _noted(backup: Path) -> _Noted | None:
    """What was noted of the backup last; None where nothing is noted of it, or it is no note."""
    try:
        note = json.loads(read_file(backup.with_name(REACHES), _LONGEST))
        if note["backup"] != backup.name:
            return None
        logs = {str(name): [int(end), int(seen)] for name, (end, seen) in note["logs"].items()}
        return _Noted(int(note["crc32"]), logs)
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None
