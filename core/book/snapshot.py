"""book.json: every entry in one plain TinyDB file, and the second memory of the logs.

    {"about":{"1":{"format":1,"entries":2,"logs":{...},"only_here":0,"entries_crc":"..","about_crc":".."}},
    "entries":{
    "1":{"id":...},
    "2":{"id":...}
    }}

`logs` says how far each log had been read (a `Mark`); `only_here` counts entries no log holds any more. Both
checksums are CRC-32 in hex: one of the entries' part, one of what "about" says before it. "about" comes
first, so that whether a new snapshot is due is known without reading the rest.
"""

from __future__ import annotations

import errno
import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple
from zlib import crc32

from core.book.disk import UnfitFileError, open_to_read, replace_file
from core.book.entry import Entry
from core.book.fit import is_fit
from core.book.lines import Flat, body_of
from core.book.reader import BLOCK

FORMAT = 1
_HEAD_BYTES = 64 * 1024
_LONGEST_HEAD = 16 << 20  # a farm may have thousands of logs, and each stands in it
_START, _MIDDLE, _END = b'{"about":{"1":', b'},\n"entries":{\n', b"\n}}\n"


class About(NamedTuple):
    """What a snapshot says of itself."""

    entries: int
    logs: dict[str, list[int]]
    only_here: int
    entries_crc: str


def read_about(path: Path) -> About | None:
    """What the snapshot at `path` says of itself, None where there is none or that part is damaged.

    Raises OSError where it cannot be read.
    """
    with _opened(path) as fd:
        return None if fd is None else _about(_head(fd))[0]


def read(path: Path) -> tuple[About, list[Flat]] | None:
    """What the snapshot says of itself and its entries, None where there is none or it is not as we write it.

    Raises OSError where it cannot be read.
    """
    checked = _checked(path)
    if checked is None:
        return None
    try:
        flats = list(json.loads(b"{" + checked[1] + b"}").values())
        for flat in flats:
            if not is_fit(flat):
                return None
            Entry.from_dict(flat)
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    return checked[0], flats


def bodies(path: Path) -> tuple[About, Iterator[bytes]] | None:
    """As `read`, the entries as JSON bytes one after another, so that a big snapshot need not be held.

    The bytes are those between the numbers and the commas, and need not be an entry's; raises OSError.
    """
    with _opened(path) as fd:
        if fd is None:
            return None
        about, begin = _about(_head(fd))
        end = os.fstat(fd).st_size - len(_END)
        if about is None or end < begin or os.pread(fd, len(_END), end) != _END:
            return None
        total = 0
        for block in _blocks(fd, begin, end):
            total = crc32(block, total)
    return (about, _lines(path, begin, end)) if f"{total:08x}" == about.entries_crc else None


def _lines(path: Path, begin: int, end: int) -> Iterator[bytes]:
    rest = b""
    with open_to_read(path) as fd:
        for block in _blocks(fd, begin, end):
            *lines, rest = (rest + block).split(b",\n")
            yield from (line.partition(b":")[2] for line in lines)
    if rest:
        yield rest.partition(b":")[2]


def write(path: Path, bodies: list[bytes], logs: dict[str, list[int]], only_here: int) -> None:
    """Makes `path` of the entries' JSON bytes, whole or not at all; one writer at a time. Raises OSError."""
    part = b",\n".join([b'"%d":%b' % numbered for numbered in enumerate(bodies, 1)])
    about: dict[str, Any] = {
        "format": FORMAT,
        "entries": len(bodies),
        "logs": logs,
        "only_here": only_here,
        "entries_crc": f"{crc32(part):08x}",
    }
    about["about_crc"] = f"{crc32(body_of(about)):08x}"
    if os.path.lexists(path) and _checked(path) is None:
        os.replace(path, path.with_name(path.name + ".set-aside"))  # damaged: kept, for whoever can read it
    replace_file(path, [_START, body_of(about), _MIDDLE, part, _END])


def _checked(path: Path) -> tuple[About, bytes] | None:
    """What a snapshot says of itself and the bytes of its entries, None where it is none or damaged."""
    with _opened(path) as fd:
        if fd is None:
            return None
        data = b"".join(_blocks(fd))
    about, begin = _about(data)
    part = data[begin : -len(_END)]
    if about is None or data[-len(_END) :] != _END or f"{crc32(part):08x}" != about.entries_crc:
        return None
    return about, part


@contextmanager
def _opened(path: Path) -> Iterator[int | None]:
    """The snapshot, open; None where there is none, or a pipe, a link, a giant in its place: the logs do without."""
    try:
        with open_to_read(path) as fd:
            yield fd
    except OSError as error:
        if isinstance(error, UnfitFileError) or error.errno in (errno.ENOENT, errno.ELOOP):
            yield None
        else:
            raise


def _head(fd: int) -> bytes:
    """What stands before the entries, and what comes with it as it is read."""
    data = os.pread(fd, _HEAD_BYTES, 0)
    while _MIDDLE not in data and len(data) < _LONGEST_HEAD and (more := os.pread(fd, len(data), len(data))):
        data += more
    return data


def _about(data: bytes) -> tuple[About | None, int]:
    """(what the beginning of a snapshot says of it, the byte its entries begin at)."""
    stop = data.find(_MIDDLE)
    if stop < 0 or not data.startswith(_START):
        return None, 0
    try:
        said = json.loads(data[len(_START) : stop])
        crc = said.pop("about_crc")
        if said["format"] != FORMAT or crc != f"{crc32(body_of(said)):08x}":
            return None, 0
        about = About(said["entries"], said["logs"], said["only_here"], said["entries_crc"])
    except (ValueError, KeyError, TypeError, AttributeError):
        return None, 0
    return about, stop + len(_MIDDLE)


def _blocks(fd: int, place: int = 0, end: int = sys.maxsize) -> Iterator[bytes]:
    while block := os.pread(fd, min(BLOCK, end - place), place):
        place += len(block)
        yield block
