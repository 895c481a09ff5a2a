"""Sunrise and sunset: against the US Naval Observatory, another library, printed figures, and the poles."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import ephem
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.problems import Problem
from core.reckon.climate.sun import Sun, cutting_windows, few_hours_span, sun
from tests.cases import cases
from tests.climate.made import rows


def the_sun(day: date, latitude: float, longitude: float, zone: str = "UTC") -> Sun:
    found = sun(day, latitude, longitude, zone)
    assert isinstance(found, Sun), found
    return found


def clock(moment: datetime | None) -> str:
    assert moment is not None
    return moment.strftime("%H:%M:%S")


def test_atlanta_2007_of_the_naval_observatory() -> None:
    """All 730 printed minutes (33 46 N, 84 25 W, EST all year): none off by as much as a minute."""
    compared = 0
    for row in rows("usno_atlanta_2007_sun"):
        day = date.fromisoformat(row["date"])
        found = the_sun(day, 33 + 46 / 60, -(84 + 25 / 60), "Etc/GMT+5")
        for moment, column in ((found.sunrise, "sunrise_EST"), (found.sunset, "sunset_EST")):
            assert moment is not None
            printed = datetime.combine(day, time.fromisoformat(row[column]), moment.tzinfo)
            assert abs(moment - printed) < timedelta(seconds=60), row
            compared += 1
    assert compared == 730


def test_printed_single_days() -> None:
    """USNO, Bluffton OH, 12 September 2018 (UTC 11:13, 23:50); NREL SPA report, 17 October 2003: 06:12:43."""
    bluffton = the_sun(date(2018, 9, 12), 40.8939, -83.8917)
    assert (clock(bluffton.sunrise), clock(bluffton.sunset)) == ("11:13:13", "23:49:39")
    spa = the_sun(date(2003, 10, 17), 39.742476, -105.1786, "Etc/GMT+7")
    assert clock(spa.sunrise) == "06:12:43"


@cases(40)
@given(st.floats(-60, 60), st.floats(-180, 180), st.dates(date(1990, 1, 1), date(2060, 12, 31)))
def test_another_library_agrees_to_a_minute(latitude: float, longitude: float, day: date) -> None:
    """ephem with the same horizon (34' of refraction; it adds the sun's radius itself)."""
    found = the_sun(day, latitude, longitude)
    there = ephem.Observer()
    there.lat, there.lon = str(latitude), str(longitude)
    there.pressure, there.horizon = 0, "-0:34"
    there.date = found.noon.astimezone(UTC).replace(tzinfo=None)
    body = ephem.Sun()
    for ours, theirs in (
        (found.sunrise, there.previous_rising(body)),
        (found.sunset, there.next_setting(body)),
    ):
        assert ours is not None
        assert abs(ours - theirs.datetime().replace(tzinfo=UTC)) < timedelta(seconds=60)


@pytest.mark.parametrize(
    ("latitude", "longest", "shortest"),
    [
        (40, "15:01", "9:20"),
        (45, "15:37", "8:46"),
        (50, "16:22", "8:04"),
        (55, "17:23", "7:10"),
        (60, "18:52", "5:52"),
    ],
)
def test_solstice_days(latitude: float, longest: str, shortest: str) -> None:
    """Day lengths at the solstices, two independent libraries; within 2 minutes."""
    for day, text in ((date(2024, 6, 20), longest), (date(2024, 12, 21), shortest)):
        hours, minutes = (int(part) for part in text.split(":"))
        assert the_sun(day, latitude, 0).day_hours * 60 == pytest.approx(hours * 60 + minutes, abs=2)
    south = the_sun(date(2024, 12, 21), -latitude, 0).day_hours
    assert south == pytest.approx(the_sun(date(2024, 6, 20), latitude, 0).day_hours, abs=0.05)


@pytest.mark.parametrize(
    ("latitude", "printed"),
    [(-30, "5:02"), (-34, "4:52"), (-38, "4:41"), (-42, "4:28"), (-46, "4:13"), (-50, "3:55"), (-60, "2:43")],
)
def test_new_year_south_of_the_equator(latitude: float, printed: str) -> None:
    """Sunrise of 1 January 2002, Astronomy Answers, The Position of the Sun: Tables, table 1."""
    hours, minutes = map(int, printed.split(":"))
    found = the_sun(date(2002, 1, 1), latitude, 0).sunrise
    assert found is not None
    assert found.hour * 60 + found.minute + found.second / 60 == pytest.approx(hours * 60 + minutes, abs=1)


def test_where_the_sun_does_not_rise_or_set() -> None:
    for latitude, june, december in (
        (70.0, 24.0, 0.0),
        (90.0, 24.0, 0.0),
        (-70.0, 0.0, 24.0),
        (-90.0, 0.0, 24.0),
    ):
        for day, hours in ((date(2024, 6, 20), june), (date(2024, 12, 21), december)):
            found = the_sun(day, latitude, 25.0)
            assert (found.sunrise, found.sunset, found.day_hours) == (None, None, hours)
            assert found.polar == ("sun up all day" if hours else "sun down all day")
            assert cutting_windows(found) == ()


@pytest.mark.parametrize(
    ("latitude", "first", "last"),
    [
        (35, (11, 30), (1, 11)),
        (38, (11, 19), (1, 21)),
        (41, (11, 12), (1, 28)),
        (45, (11, 5), (2, 5)),
        (50, (10, 28), (2, 12)),
        (51.5, (10, 26), (2, 14)),
    ],
)
def test_days_under_ten_hours(latitude: float, first: tuple[int, int], last: tuple[int, int]) -> None:
    """Winter 2024-25, within a day; growers' pages give the same for 38 N and 41 N within two."""
    span = few_hours_span(latitude, 2024)
    assert not isinstance(span, str)
    assert abs((span[0] - date(2024, *first)).days) <= 1
    assert abs((span[1] - date(2025, *last)).days) <= 1


def test_ten_hours_at_the_edges() -> None:
    assert few_hours_span(32, 2024) == "never"
    assert few_hours_span(0, 2024) == "never"
    south = few_hours_span(-41, 2024)
    assert not isinstance(south, str)
    assert south[0].month == 5 and south[1].month in (7, 8)
    assert few_hours_span(40, 2024, hours=24.5) == "always"


def test_times_are_those_of_the_farms_zone_over_a_change_of_clocks() -> None:
    """Clocks go on an hour on 8 March 2026 in New York: the sun rises an hour later by them."""
    before, after = (the_sun(date(2026, 3, d), 42.4, -72.5, "America/New_York") for d in (7, 8))
    assert before.sunrise is not None and after.sunrise is not None
    assert before.sunrise.hour == 6 and after.sunrise.hour == 7
    # In real time it is under a day: the days grow longer.
    assert after.sunrise.astimezone(UTC) - before.sunrise.astimezone(UTC) < timedelta(hours=24)
    assert before.sunrise.date() == date(2026, 3, 7)


@given(st.floats(-50, 50), st.floats(-180, 180), st.dates(date(2020, 1, 1), date(2030, 12, 31)))
def test_the_day_is_the_one_asked_for(latitude: float, longitude: float, day: date) -> None:
    """In UTC at any longitude: solar noon within half a day of civil noon, sunrise before, sunset after."""
    found = the_sun(day, latitude, longitude)
    assert abs(found.noon - datetime.combine(day, time(12), UTC)) <= timedelta(hours=12, minutes=20)
    assert found.sunrise is not None and found.sunset is not None
    assert found.sunrise < found.noon < found.sunset
    assert (found.sunset - found.sunrise).total_seconds() / 3600 == pytest.approx(found.day_hours)


def test_the_cool_hours_lie_at_both_ends_of_the_day() -> None:
    day = the_sun(date(2026, 6, 23), 42.4, -72.5, "America/New_York")
    morning, evening = cutting_windows(day)
    assert day.sunrise is not None and day.sunset is not None
    assert morning.start < day.sunrise < morning.end < day.noon < evening.start < day.sunset < evening.end


@pytest.mark.parametrize(
    ("args", "says"),
    [
        ((date(2026, 1, 1), 91.0, 0.0, "UTC"), "Latitude runs"),
        ((date(2026, 1, 1), 40.0, 181.0, "UTC"), "longitude from"),
        ((date(2026, 1, 1), 40.0, 0.0, "Mars/Base"), "time zone"),
        ((date(2026, 1, 1), 40.0, 0.0, "../etc/passwd"), "time zone"),
        ((date(1, 1, 1), 40.0, 0.0, "UTC"), "years 1800"),
    ],
)
def test_a_place_that_cannot_be_is_refused(args: tuple[date, float, float, str], says: str) -> None:
    found = sun(*args)
    assert isinstance(found, Problem)
    assert says in found.sentence
