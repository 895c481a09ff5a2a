"""A station's weather file brought in: the farm keeps a copy, and the book says which it is."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from core.book.entry import Draft
from core.problems import Problem
from core.reckon.climate.daily_csv import Unit
from core.reckon.climate.stations import Progress, read_station
from core.weather.station_file import draft_of, keep


def bring_in(
    folder: Path,
    file: Path,
    day: date,
    *,
    newest: date,
    unit: Unit | None = None,
    progress: Progress | None = None,
) -> tuple[Draft, tuple[str, ...]] | Problem:
    """Copy the record of `file` into the farm's folder: the entry of `day` that says so, and what is to be remarked.

    No day after `newest` is believed; `progress` is told (bytes read, bytes in all). Raises ShedbookError for disk
    trouble.
    """
    record = read_station(file, today=newest, unit=unit, progress=progress)
    if isinstance(record, Problem):
        return record
    return draft_of(record, keep(folder, record), day), tuple(record.remarks)
