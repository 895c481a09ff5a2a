"""The station's file goes where the book goes: into the backups, out of them again, and over by a merge.

The backup's copy lies in `backup/weather`, whole and readable. A copy is taken only if its checksum is right, and
put down whole or not at all.
"""

from __future__ import annotations

import os
from pathlib import Path

from core.book import layout
from core.book.disk import make_folder, replace_file, trouble
from core.happened import Station
from core.reckon.climate.record import Record
from core.weather.station_file import FOLDER, file_of, path_of, read_copy, record_in


def back_up(folder: Path, station: Station) -> bool:
    """Copy the farm's file beside the backups where they lack it as it is; whether there was need.

    A damaged file is never copied. Raises ShedbookError where the disk refuses.
    """
    ours, kept = path_of(folder, station), path_of(folder / layout.BACKUPS, station)
    if _same_age(ours, kept):
        return False
    data = read_copy(folder, station)
    if not isinstance(data, bytes) or not isinstance(record_in(data, station), Record):
        return False
    _put(folder / layout.BACKUPS, station, data)
    try:
        age = ours.stat()
        os.utime(kept, ns=(age.st_atime_ns, age.st_mtime_ns))
    except OSError:
        pass  # copied once more than needed
    return True


def bring(folder: Path, source: Path, station: Station) -> str:
    """Take the station's file from `source`, the backups or another machine's farm folder, where it is wanted.

    It is wanted where the farm has none or a damaged one, and where the farm's is not the one the book speaks of
    and that of `source` is. Returns what was brought, "weather/STATION.csv", or "". Raises ShedbookError where the
    disk refuses.
    """
    ours = _read(folder, station)[1]
    if ours is not None and _is_meant(ours, station):
        return ""
    data, theirs = _read(source, station)
    if theirs is None or (ours is not None and not _is_meant(theirs, station)):
        return ""
    _put(folder, station, data)
    return f"{FOLDER}/{file_of(station)}"


def lacks(folder: Path, station: Station) -> bool:
    """Whether the farm's file is not there, damaged, or not the one the book speaks of."""
    ours = _read(folder, station)[1]
    return ours is None or not _is_meant(ours, station)


def sound_copy(folder: Path, station: Station) -> bytes:
    """The bytes of the farm's file where it is the one the book speaks of; none where it is not."""
    return b"" if lacks(folder, station) else _read(folder, station)[0]


def _read(folder: Path, station: Station) -> tuple[bytes, Record | None]:
    data = read_copy(folder, station)
    if not isinstance(data, bytes):
        return b"", None
    record = record_in(data, station)
    return data, record if isinstance(record, Record) else None


def _is_meant(record: Record, station: Station) -> bool:
    """Whether these are the days that the book tells of."""
    told = record.first_day.isoformat(), record.last_day.isoformat(), record.days
    return told == (station.first, station.last, station.days)


def _put(folder: Path, station: Station, data: bytes) -> None:
    path = path_of(folder, station)
    try:
        make_folder(folder)
        make_folder(path.parent)
        replace_file(path, [data])
    except OSError as error:
        raise trouble(error, "keep the weather", path) from error


def _same_age(one: Path, other: Path) -> bool:
    try:
        a, b = one.lstat(), other.lstat()
    except OSError:
        return False
    return (a.st_size, a.st_mtime_ns) == (b.st_size, b.st_mtime_ns)
