"""When the sun is up, and the cool hours to cut in: on the morning page and with the weather."""

from __future__ import annotations

import csv
from datetime import date, timedelta
from pathlib import Path

import pytest

from core.reckon.climate.sky import clock_of_sunrise
from core.reckon.climate.sun import Sun, sun
from core.session import Session
from tests.climate.made import DATA
from tests.farms import morning_of, write
from tests.farms import page_lines as morning_lines
from tests.weather.stations import farm
from tui.subjects.weather import page_lines, weather_of


def test_the_morning_page_says_when_the_sun_is_up(tmp_path: Path) -> None:
    session = farm(tmp_path / "farm")
    write(session, "low 51")
    title = morning_lines(session)[0].text
    assert title == "Tue 23 Jun   night 51 F   97 d to first frost   cool to 08:08   sun up 05:08"


@pytest.mark.parametrize("line", ["farm name easton", "farm latitude 89.9 longitude 0 zone UTC"])
def test_it_says_nothing_where_the_place_is_not_known_or_the_sun_does_not_rise(
    tmp_path: Path, line: str
) -> None:
    session = Session.create(tmp_path / "farm", by="ml", on=date(2026, 6, 23))
    write(session, line)
    assert morning_of(session).sun_up == ""
    assert morning_lines(session)[0].text.startswith("Tue 23 Jun")
    assert weather_of(session).daylight is None


def test_the_sunrise_of_the_page_is_that_of_the_naval_observatory() -> None:
    """Atlanta 2007, all days, to the minute or the one beside it (US Naval Observatory)."""
    with (DATA / "usno_atlanta_2007_sun.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    rise = next(name for name in rows[0] if "rise" in name)
    same = 0
    for i, row in enumerate(rows):
        day = date(2007, 1, 1) + timedelta(days=i)
        hour, minute = clock_of_sunrise(day, 33 + 46 / 60, -84 - 25 / 60, "Etc/GMT+5").split(":")
        digits = row[rise].replace(":", "")
        gap = int(hour) * 60 + int(minute) - (int(digits[:2]) * 60 + int(digits[2:]))
        assert abs(gap) <= 1
        same += gap == 0
    assert len(rows) == 365 and same > 300


def test_it_is_the_sunrise_of_the_whole_reckoning() -> None:
    for latitude, longitude, zone in ((44.1, -72.6, "America/New_York"), (-41.3, 174.8, "Pacific/Auckland")):
        for step in range(0, 365, 7):
            day = date(2026, 1, 1) + timedelta(days=step)
            whole = sun(day, latitude, longitude, zone)
            assert isinstance(whole, Sun) and whole.sunrise is not None
            clock = (whole.sunrise + timedelta(seconds=30)).strftime("%H:%M")
            assert clock_of_sunrise(day, latitude, longitude, zone) == clock
    assert clock_of_sunrise(date(2026, 6, 23), 44.1, -72.6, "Nowhere/At_All") == ""


def test_the_weather_says_the_cool_hours_of_both_ends_of_the_day(tmp_path: Path) -> None:
    session = farm(tmp_path / "farm")
    daylight = weather_of(session).daylight
    assert daylight is not None
    assert (daylight.sunrise, daylight.sunset) == ("05:08", "20:38")
    assert [(start, end) for start, end, _ in daylight.cutting] == [("04:38", "08:08"), ("19:08", "21:08")]
    first = next(iter(page_lines(weather_of(session))))
    assert first == "Sun 05:08 to 20:38; cool hours to cut in 04:38 to 08:08, 19:08 to 21:08"
