"""What may stand where another machine's log should be: every sort that came to mind, made on the disk.

The lines are written by this module's own hand, from what the docs say of a log, not by the program.
"""

from __future__ import annotations

import gzip
import json
import os
import random
import socket
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

MB = 1 << 20
OURS = "019f0000-0000-7000-8000-000000000001"
"""The id of an entry that stands in the farm the sorts are merged into."""


class Sort(NamedTuple):
    """One sort: `make` puts it into an empty folder and gives what is to be merged.

    `added` entries of it are good ones, and none else may come in. `says` stands in what is told.
    """

    name: str
    make: Callable[[Path], Path]
    added: int = 0
    says: str = ""
    big: bool = False


def entry(number: int, **more: Any) -> dict[str, Any]:
    """A good entry: a bed, told apart by its number."""
    return {
        "id": f"019f0000-0000-7000-8000-{number:012x}",
        "on": "2026-06-01",
        "at": "2026-06-01T06:00:00.000Z",
        "by": "kk",
        "kind": "bed",
        "bed": f"x{number}",
        "feet": 50,
        "width_in": 30,
        **more,
    }


def text(flat: dict[str, Any]) -> bytes:
    return json.dumps(flat, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass")


def line(body: bytes, mark: bytes = b" ") -> bytes:
    return b"%08x" % zlib.crc32(body) + mark + body + b"\n"


def good(first: int = 2, count: int = 3) -> bytes:
    return b"".join(line(text(entry(n))) for n in range(first, first + count))


def twisted(*tails: bytes) -> bytes:
    """Lines with a right checksum whose entry goes on with each tail."""
    return b"".join(line(text(entry(100 + n))[:-1] + b"," + tail + b"}") for n, tail in enumerate(tails))


def _file(data: bytes | Callable[[], bytes]) -> Callable[[Path], Path]:
    def make(folder: Path) -> Path:
        path = folder / "carried"
        path.write_bytes(data if isinstance(data, bytes) else data())
        return path

    return make


def _sparse(size: int) -> Callable[[Path], Path]:
    def make(folder: Path) -> Path:
        path = folder / "carried"
        with path.open("wb") as file:
            file.truncate(size)
        return path

    return make


def _link(target: str) -> Callable[[Path], Path]:
    def make(folder: Path) -> Path:
        path = folder / "carried"
        path.symlink_to(target)
        return path

    return make


def _fifo(folder: Path) -> Path:
    os.mkfifo(folder / "carried")
    return folder / "carried"


def _socket(folder: Path) -> Path:
    here = Path.cwd()
    os.chdir(folder)  # the name of a socket may not be long
    try:
        with socket.socket(socket.AF_UNIX) as made:
            made.bind("carried")
    finally:
        os.chdir(here)
    return folder / "carried"


def _farm(about: bytes | None = b'{"format":1,"device":"net"}', **logs: bytes) -> Callable[[Path], Path]:
    def make(folder: Path) -> Path:
        farm = folder / "farm"
        (farm / "log").mkdir(parents=True)
        if about is not None:
            (farm / "farm.json").write_bytes(about)
        for name, data in ({"net": good()} | logs).items():
            (farm / "log" / f"{name}.log").write_bytes(data)
        return farm

    return make


def _farm_with(change: Callable[[Path], object]) -> Callable[[Path], Path]:
    def make(folder: Path) -> Path:
        farm = _farm()(folder)
        change(farm)
        return farm

    return make


def _put_in_place(name: str, put: Callable[[Path], object]) -> Callable[[Path], Path]:
    """A farm with something else where the file or folder `name` should be."""

    def change(farm: Path) -> None:
        (farm / name).rename(farm / "away")
        put(farm / name)

    return _farm_with(change)


def _wrong_types() -> bytes:
    values: tuple[Any, ...] = (None, True, [], ["x"], {"a": 1}, 1.5, -1, 10**9, "", "x" * 5000, "\u202e")
    names = ("bed", "feet", "width_in", "on", "at", "by", "kind", "id")
    flats = (entry(1000 + n) for n in range(10_000))
    keeps = {("bed", "x" * 30), ("feet", 1.5), ("by", "")}
    return b"".join(
        line(text(next(flats) | {name: value}))
        for name in names
        for value in values
        if (name, value if not isinstance(value, list | dict) else "") not in keeps
        and not (name == "by" and isinstance(value, str))
        and not (name == "kind" and value == "x" * 5000)
        and not (name == "width_in" and value == 1.5)
    )


def _strange_names(folder: Path) -> Path:
    farm = _farm()(folder)
    for number, name in enumerate(
        ("a\nb", "\x1b[2J\x07", "..up", "...", "-rf", "x" * 200, "shed", "\u202egol")
    ):
        (farm / "log" / f"{name}.log").write_bytes(good(50 + number, 1) + b"\x1b]0;junk\x07\n")
    (farm / "log" / os.fsdecode(b"\xff\xfe.log")).write_bytes(good(60, 1))
    return farm


def _noise(size: int) -> bytes:
    return random.Random(7).randbytes(size)


_HEADS = [text(entry(n)) for n in range(2, 5)]

SORTS = [
    Sort("a pipe", _fifo, says="no plain file"),
    Sort("a device", lambda _: Path("/dev/zero"), says="no plain file"),
    Sort("a link to a device", _link("/dev/zero"), says="is a link"),
    Sort("a link to nowhere", _link("nowhere"), says="is a link"),
    Sort("a link to itself", _link("carried"), says="is a link"),
    Sort("a socket", _socket, says="no plain file"),
    Sort("a file that gives an error", lambda _: Path("/proc/self/mem"), says="would not read"),
    Sort("nothing", lambda folder: folder / "carried", says="There is no"),
    Sort("a name with an escape in it", lambda folder: folder / "a\x1b[2J\nb", says="There is no"),
    Sort("an empty file", _file(b"")),
    Sort("an empty folder", lambda folder: folder, says="no book"),
    Sort("farm.json is a pipe", _put_in_place("farm.json", os.mkfifo), says="no plain file"),
    Sort("farm.json is a device", _put_in_place("farm.json", lambda p: p.symlink_to("/dev/zero")), says="is a link"),
    Sort("farm.json is a folder", _put_in_place("farm.json", Path.mkdir), says="no plain file"),
    Sort("farm.json is a giant", _put_in_place("farm.json", lambda p: os.truncate(_new(p), 8 << 30)),
         says="larger than"),
    Sort("farm.json of a newer book", _farm(b'{"format":9}'), says="install the newer"),
    Sort("farm.json says a number without end", _farm(b'{"format":1' + b"0" * 4000 + b"}"), says="install the newer"),
    Sort("farm.json goes too deep", _farm(b"[" * 50_000), says="cannot be read"),
    Sort("farm.json is missing", _farm(None), added=3),
    Sort("the log folder is a file", _put_in_place("log", Path.touch), says="no book"),
    Sort("the log folder is a link", _put_in_place("log", lambda p: p.symlink_to("away")), says="no book"),
    Sort("a log is a pipe", _farm_with(lambda farm: os.mkfifo(farm / "log" / "a.log")), added=3),
    Sort("a log is a folder", _farm_with(lambda farm: (farm / "log" / "a.log").mkdir()), added=3),
    Sort("a log is a device", _farm_with(lambda farm: (farm / "log" / "a.log").symlink_to("/dev/zero")), added=3),
    Sort("logs with names that are none", _strange_names, added=10, says="set aside"),
    Sort("a giant", _sparse(8 << 30), says="larger than"),
    Sort("a file of nothing but NUL", _sparse(200 * MB), says="set aside", big=True),
    Sort("empty lines", _file(lambda: b"\n" * (50 * MB)), big=True),
    Sort("empty lines about good ones", _file(lambda: good() + b"\n" * (25 * MB) + good(9, 1) + b"\n" * 25 * MB),
         added=4, big=True),
    Sort("empty lines and a little junk", _file(lambda: (b"\n" * 250_000 + b"x\n") * 200), says="set aside", big=True),
    Sort("one line without end", _file(lambda: b"x" * (50 * MB)), says="set aside", big=True),
    Sort("one entry without end", _file(lambda: good() + line(text(entry(9, bed="x" * (50 * MB))))),
         added=3, says="set aside", big=True),
    Sort("a million tiny lines", _file(lambda: b"x\n" * 1_000_000 + good()), added=3, says="set aside", big=True),
    Sort("tiny lines, 50 MB of them", _file(lambda: b"x\n" * (25 * MB)), says="set aside", big=True),
    Sort("lines that look like entries", _file(lambda: b'00000000 {"id":"\n' * (3 * MB)), says="set aside", big=True),
    Sort("a writing that never ends", _file(lambda: line(_HEADS[0], b"+") * 150_000), says="set aside", big=True),
    Sort("noise", _file(lambda: _noise(30 * MB)), says="set aside", big=True),
    Sort("a little noise", _file(lambda: _noise(100_000)), says="set aside"),
    Sort("a packed log", _file(lambda: gzip.compress(good(count=500))), says="set aside"),
    Sort("Latin-1", _file(line(text(entry(2, bed="Beet")).replace(b"Beet", b"Be\xfct")) + good(3)), 3, "set aside"),
    Sort("UTF-16", _file(good().decode().encode("utf-16")), says="set aside"),
    Sort("a byte order mark", _file(b"\xef\xbb\xbf" + good()), added=3),
    Sort("carriage returns", _file(good().replace(b"\n", b"\r\n")), added=3),
    Sort("NUL bytes", _file(good() + b"\0" * 4096 + b"\n" + good(9, 1)), added=4, says="set aside"),
    Sort("escaped NUL, escape and half a pair", _file(good() + twisted(
        rb'"bed":"\ud800"', rb'"bed":"a\u0000b"', rb'"bed":"\u001b[2J"', rb'"by":"\udfff"', rb'"more\ud800":1',
        rb'"kind":"\ud83d"')), added=3, says="set aside"),
    Sort("half pairs in raw bytes", _file(good() + line(text(entry(9, bed="\ud800")))), added=3, says="set aside"),
    Sort("longer than their letter needs", _file(good() + twisted(b'"bed":"\xc0\xaf"', b'"bed":"\xf5\x80\x80\x80"')),
         added=3, says="set aside"),
    Sort("too deep", _file(good() + twisted(*(b'"bed":' + o * n + c * n for o, c in ((b"[", b"]"), (b'{"a":', b"}"))
                                              for n in (50, 900, 5000)))), added=3, says="set aside"),
    Sort("numbers without end", _file(good() + twisted(
        b'"feet":' + b"9" * 30, b'"feet":' + b"9" * 4000, b'"feet":' + b"9" * 5000, b'"feet":1e999', b'"feet":NaN',
        b'"feet":-Infinity', b'"more":1e400')), added=3, says="set aside"),
    Sort("a field twice", _file(good() + twisted(b'"feet":60', b'"id":"x"', b'"kind":"cut"')), 3, "set aside"),
    Sort("wrong in every field", _file(lambda: good() + _wrong_types()), added=3, says="set aside"),
    Sort("a kind of a newer shedbook", _file(good() + line(text(entry(9, kind="grafted"))) * 2), 4, "newer"),
    Sort("a field of a newer shedbook", _file(good() + twisted(b'"slope":7', b'"soil":["loam",1.5]')), 5, "newer"),
    Sort("the same line again and again", _file(good() * 50), added=3),
    Sort("an id of ours for something else", _file(good() + line(text(entry(1, feet=7)))), 3, "under the same id"),
    Sort("an id twice for two things", _file(good() + line(text(entry(2, feet=7)))), 3, "under the same id"),
    Sort("days of no calendar", _file(good() + twisted(
        b'"on":"2026-02-30"', b'"on":"0001-01-01"') + b"".join(line(text(entry(80 + n, **odd))) for n, odd in enumerate(
            ({"on": "2026-02-30"}, {"on": "0001-01-01"}, {"on": "9999-12-31"}, {"on": ""}, {"at": "soon"},
             {"at": "2026-13-01T06:00:00.000Z"}, {"at": "2026-06-01T06:00:00Z"})))), 3, "set aside"),
    Sort("a wrong checksum", _file(good().replace(b'"feet":50', b'"feet":51', 1)), added=2, says="set aside"),
    Sort("a cut-off end", _file(good()[:-40]), added=2, says="set aside"),
    Sort("no entry at all", _file(b"[]\n{}\nnull\n" + b"".join(map(line, (b"[]", b"{}", b"1", b'"a"', b"null")))),
         says="set aside"),
    Sort("thousands of cuts of one code", _file(lambda: _many(
        6000, kind="cut", lot="L500", **_ZINNIA)), 6000, big=True),
    Sort("thousands sold of nothing, as many counts", _file(lambda: (
        _many(6000, kind="sold", lot="L9", source="bucket", stems=1) + _many(1, 9000, kind="cut", lot="L700", **_ZINNIA)
        + _many(6000, 10_000, kind="counted", lot="L700", source="bucket", stems=1, expected=1))), 12_001, big=True),
    Sort("thousands of figures of no crop", _file(lambda: b"".join(
        _many(1, n, kind="sheet", crop=f"crop {n}", figure="days_to_first_cut", value="x") for n in range(9, 8009))),
        8000, big=True),
    Sort("a recipe without end", _file(lambda: _many(
        1, kind="recipe", recipe="r0", sort="wreath", size_in=12, minutes=9) + b"".join(
            _many(1, n, kind="part", recipe="r0", what=f"x{n}", count=5, form="dry") for n in range(9, 8009))),
        8001, big=True),
    Sort("a lot moved to and fro", _file(lambda: _many(1, kind="cut", lot="L800", **_ZINNIA)
        + _many(1, 3, kind="hung", lot="L800", source="bucket", line="line 1", stems=1, per=1)
        + _many(1, 4, kind="tested", lot="L800", result="bends", place="line 1") + b"".join(_many(
            1, n, kind="moved", lot="L800", stems=1, source=f"line {1 + n % 2}", place=f"line {2 - n % 2}")
            for n in range(10, 70))), 63),
    Sort("five hundred unfit lines", _file(good() + b"".join(
        line(text(entry(100 + n, feet=-1))) for n in range(500))), added=3, says="set aside"),
]  # fmt: skip


def _new(path: Path) -> Path:
    path.touch()
    return path


def _many(count: int, first: int = 2, /, **fields: object) -> bytes:
    """Entries that are good ones each by itself, all of one sort."""
    head = ("id", "on", "at", "by")
    flats = ({name: entry(n)[name] for name in head} | fields for n in range(first, first + count))
    return b"".join(line(text(flat)) for flat in flats)


_ZINNIA = {"crop": "zinnia", "bed": "b3", "use": "fresh", "stems": 1}
