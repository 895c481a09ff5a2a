"""Stations made up for the tests, and real ones written in the layouts of the archives."""

from __future__ import annotations

import csv
import math
import random
from collections.abc import Callable, Iterable
from datetime import date, timedelta
from pathlib import Path

from core.reckon.climate.record import MISSING, Record, record_of, tenths_c
from core.reckon.climate.stations import read_station

DATA = Path(__file__).parent / "data"
TODAY = date(2026, 6, 23)


def rows(name: str) -> list[dict[str, str]]:
    """The lines of one of the published tables."""
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def clemson() -> Record:
    """The daily record of Clemson, South Carolina, 1981-2010 (NOAA, public domain)."""
    found = read_station(DATA / "USC00381770_1981-2010.csv", today=TODAY)
    assert isinstance(found, Record), found
    return found.at_latitude(34.66)


def days(first: date, last: date) -> Iterable[date]:
    """Every day from first to last."""
    return (first + timedelta(days=i) for i in range((last - first).days + 1))


def made(
    low_f: Callable[[date], float | None], first: date, last: date, *, latitude: float | None = 40.0
) -> Record:
    """A record whose low of each day is what `low_f` says, None for a day without a reading."""
    lows = {d.toordinal(): tenths_c(v) for d in days(first, last) if (v := low_f(d)) is not None}
    highs = {day: low + 100 for day, low in lows.items()}
    return record_of(lows, highs, station="MADE", latitude=latitude)


def climate(
    mean_f: float,
    swing_f: float,
    noise_f: float,
    *,
    years: int = 30,
    seed: int = 1,
    latitude: float = 40.0,
    first: date = date(1990, 8, 1),
) -> Record:
    """A made-up climate: a yearly wave of lows with noise, coldest in late January (July in the south)."""
    rng = random.Random(seed)
    coldest = 25 if latitude >= 0 else 25 + 182

    def low(day: date) -> float:
        wave = math.cos(2 * math.pi * (day.timetuple().tm_yday - coldest) / 365.25)
        return round(mean_f - swing_f * wave + rng.gauss(0, noise_f))

    return made(low, first, date(first.year + years, 12, 31), latitude=latitude)


def dly_lines(record: Record, flags: dict[tuple[int, str], str] | None = None) -> list[str]:
    """The record in the layout of a .dly file; `flags` are quality flags by (day number, element)."""
    flags = flags or {}
    lines = []
    months = sorted({(d.year, d.month) for d in days(record.first_day, record.last_day)})
    for year, month in months:
        for element, values in (("TMAX", record.highs), ("TMIN", record.lows)):
            text = f"{record.station:<11}{year:04d}{month:02d}{element}"
            for index in range(31):
                day = date(year, month, 1) + timedelta(days=index)
                at = day.toordinal() - record.start
                inside = day.month == month and 0 <= at < len(values) and values[at] != MISSING
                text += f"{values[at] if inside else -9999:5d} {flags.get((day.toordinal(), element), ' ')}7"
            lines.append(text)
    return lines


def by_station_lines(record: Record) -> list[str]:
    """The record as a by-station CSV, with rain between, as there is."""
    lines = []
    for day in range(record.start, record.end):
        text = date.fromordinal(day).strftime("%Y%m%d")
        for element, value in (("TMAX", record.high(day)), ("TMIN", record.low(day)), ("PRCP", 12)):
            if value is not None:
                lines.append(f"{record.station},{text},{element},{value},,,7,0700")
    return lines


def access_lines(record: Record) -> list[str]:
    """The record as an NCEI access CSV, all quoted, tenths of a degree C."""
    lines = [
        '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME",'
        '"PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"'
    ]
    for day in range(record.start, record.end):
        low, high = (" " if v is None else f"{v:5d}" for v in (record.low(day), record.high(day)))
        lines.append(
            f'"{record.station}","{date.fromordinal(day)}","{record.latitude}","-82.82","248.1",'
            f'"CLEMSON UNIV, SC US","    0",",,7,0700","{high}",",,7","{low}",",,7"'
        )
    return lines
