"""The farm's copy of its station's record: `weather/STATION.csv`, plain to read, with a checksum in its first line."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from stat import S_ISREG
from zlib import crc32

from core.book.disk import make_folder, open_to_read, replace_file, trouble
from core.book.entry import Draft
from core.field_words import CODE_LONGEST
from core.happened import Station
from core.problems import Problem
from core.reckon.climate.record import MISSING, Record, record_of
from core.text import LONGEST, clean

FOLDER = "weather"
END = ".csv"
LARGEST_BYTES = 8 * 1024 * 1024
"""300 years of days take less than 7 MB in this layout."""

NONE_YET = Problem(
    "No weather record yet: 'shedbook weather import FILE' brings in a station's daily lows and highs.",
    "unknown",
)

_HEAD = "# daily lows and highs in degrees C; crc32 of what follows: "
_COLUMNS = "date,min_c,max_c"


def safe_name(station: str) -> str:
    """A file name of a station: letters, numbers and hyphens only, never empty."""
    plain = re.sub(r"[^A-Za-z0-9]+", "-", station)[: CODE_LONGEST - len(END)].strip("-")
    return f"{plain or 'station'}{END}"


def keep(folder: Path, record: Record) -> str:
    """Write the farm's copy of a record, in place of an older one; its file name. Raises ShedbookError."""
    name = safe_name(record.station)
    body = _text(record).encode()
    home = folder / FOLDER
    try:
        make_folder(home)
        replace_file(home / name, [f"{_HEAD}{crc32(body):08x}\n".encode(), body])
    except OSError as error:
        raise trouble(error, "keep the weather", home) from error
    return name


def draft_of(record: Record, file: str, day: date) -> Draft:
    """The entry that tells the book of a record brought in."""
    fields = {
        "station": clean(record.station)[:LONGEST] or "station",
        "name": clean(record.name)[:LONGEST] or None,
        "file": file,
        "first": record.first_day.isoformat(),
        "last": record.last_day.isoformat(),
        "days": record.days,
        "latitude": record.latitude,
    }
    return Draft("station", day.isoformat(), {k: v for k, v in fields.items() if v is not None})


def load(folder: Path, station: Station, latitude: float | None = None) -> Record | Problem:
    """The record that the book speaks of, at the farm's `latitude` where the file gave none.

    A Problem where this machine has no copy (logs may be carried without it), or a damaged one.
    """
    data = read_copy(folder, station)
    return data if isinstance(data, Problem) else record_in(data, station, latitude)


def read_copy(folder: Path, station: Station) -> bytes | Problem:
    """The bytes of the copy in `folder`, not looked into; never through a link, never of a pipe."""
    path = path_of(folder, station)
    try:
        if not S_ISREG(path.lstat().st_mode):
            return Problem(f"{clean(str(path))} is no plain file: {_again(station)}.", "damaged")
        with open_to_read(path) as fd, open(fd, "rb", closefd=False) as file:
            return file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        who = clean(station.station)
        return Problem(f"The weather of {who} is not on this machine: {_again(station)}.", "unknown")
    except OSError as error:
        return trouble(error, "read the weather", path).problem


def record_in(data: bytes, station: Station, latitude: float | None = None) -> Record | Problem:
    """The record in the bytes of a copy, or that it is damaged."""
    head, _, body = data.partition(b"\n")
    damaged = Problem(f"{FOLDER}/{file_of(station)} is damaged: {_again(station)}.", "damaged")
    if len(data) > LARGEST_BYTES or head != f"{_HEAD}{crc32(body):08x}".encode():
        return damaged
    try:
        lows, highs = _days(body.decode())
        return record_of(
            lows,
            highs,
            station=clean(station.station),
            name=clean(station.name),
            latitude=latitude if station.latitude is None else station.latitude,
        )
    except (ValueError, OverflowError):  # the checksum is right, yet no program of ours wrote it
        return damaged


def _again(station: Station) -> str:
    return (
        "run 'shedbook weather import' with its file, meet the other machine or merge its farm folder, or copy "
        f"{FOLDER}/{file_of(station)} from there"
    )


def stamp(folder: Path, station: Station) -> int:
    """What changes when the copy is written anew, here or by another process; 0 where there is none."""
    try:
        return path_of(folder, station).stat().st_mtime_ns
    except OSError:
        return 0


def path_of(folder: Path, station: Station) -> Path:
    """Where the copy lies in a farm folder, or in its backups."""
    return folder / FOLDER / file_of(station)


def file_of(station: Station) -> str:
    """The file name of the station that the book speaks of; made safe again, for the entry may be a stranger's."""
    return safe_name(station.file.removesuffix(END))


def _text(record: Record) -> str:
    lines = [_COLUMNS]
    for day, (low, high) in enumerate(zip(record.lows, record.highs, strict=True), record.start):
        if low != MISSING or high != MISSING:
            lines.append(f"{date.fromordinal(day)},{_degrees(low)},{_degrees(high)}")
    return "\n".join(lines) + "\n"


def _degrees(tenths: int) -> str:
    return "" if tenths == MISSING else f"{tenths / 10:.1f}"


def _days(text: str) -> tuple[dict[int, int], dict[int, int]]:
    """Tenths of a degree C by day number: lows and highs."""
    lows: dict[int, int] = {}
    highs: dict[int, int] = {}
    for line in text.splitlines()[1:]:
        day, low, high = line.split(",")
        number = date.fromisoformat(day).toordinal()
        if low:
            lows[number] = round(float(low) * 10)
        if high:
            highs[number] = round(float(high) * 10)
    return lows, highs
