"""Weather files that would mislead: one clear sentence, or the right answer."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from math import cos, pi
from pathlib import Path

from core.problems import Problem
from core.reckon.climate.frost import frost_odds
from core.reckon.climate.record import record_of
from core.reckon.climate.stations import read_station
from tests.climate.made import TODAY, made
from tests.climate.test_frost import at, odds_of


def test_a_record_of_winters_only_says_that_it_cannot_tell() -> None:
    """November to March: it was read as southern, and its absent summers as endless frost."""
    days = made(
        lambda day: 25 if day.month in (11, 12, 1, 2, 3) else 40, date(1990, 11, 1), date(2010, 3, 31)
    )
    kept = {
        day: low
        for day, low in enumerate(days.lows, days.start)
        if date.fromordinal(day).month in (11, 12, 1, 2, 3)
    }
    for latitude in (None, 42.0):
        found = frost_odds(record_of(kept, latitude=latitude))
        assert isinstance(found, Problem)
        assert "no lows in Apr, May, Jun, Jul, Aug, Sep, Oct" in found.sentence


def _file(folder: Path, head: str, value: Callable[[date], str]) -> Path:
    first = date(1990, 1, 1).toordinal()
    lines = [
        f"{date.fromordinal(day)},{value(date.fromordinal(day))}" for day in range(first, first + 365 * 12)
    ]
    path = folder / "station.csv"
    path.write_text("\n".join([head, *lines]) + "\n", encoding="utf-8")
    return path


def test_celsius_under_a_heading_of_fahrenheit_is_not_believed(tmp_path: Path) -> None:
    def lows(day: date) -> str:
        return f"{8 - 12 * cos(2 * pi * day.timetuple().tm_yday / 365):.1f}"

    path = _file(tmp_path, "date,min_f", lows)
    refused = read_station(path, today=TODAY)
    assert isinstance(refused, Problem) and "look like degrees C" in refused.sentence
    assert not isinstance(read_station(path, today=TODAY, unit="f"), Problem)  # she says that it is so cold
    assert not isinstance(read_station(_file(tmp_path, "date,min_c", lows), today=TODAY), Problem)


def test_minus_99_is_no_frost(tmp_path: Path) -> None:
    """Of loggers that write so where there is no reading: it gave a last frost in July at every chance."""

    def low(day: date) -> str:
        return "-99" if day.day == 15 else "28" if day.month in (11, 12, 1, 2, 3) else "45"

    record = read_station(_file(tmp_path, "date,min_f", low), today=TODAY)
    assert not isinstance(record, Problem)
    assert record.low(date(1990, 7, 15).toordinal()) is None
    assert any("such as -99 left out" in remark for remark in record.remarks)
    odds = odds_of(record.at_latitude(42.0))
    assert at(odds, 32).last_spring[50] == "03-31"


def test_no_growing_season_is_longer_than_its_year() -> None:
    """A frost in January of one year and none until February of the next but one."""
    days = made(
        lambda day: 30 if (day.month, day.day) == ((1, 20) if day.year % 2 else (2, 10)) else 50,
        date(1980, 8, 1),
        date(2010, 7, 31),
    )
    lengths = at(odds_of(days), 32).frost_free_days
    assert all(isinstance(value, str) or value is None or value <= 365 for value in lengths.values())
    assert lengths[10] == 365
