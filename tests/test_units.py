"""Dates, instants and numbers as they are read and printed."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pendulum
from hypothesis import given
from hypothesis import strategies as st

from core.text import clean, is_clean
from core.units import (
    dated_text,
    day_from_iso,
    day_text,
    hours_text,
    local_clock,
    local_day,
    month_day,
    number,
    weeks,
)

ZONES = [
    "America/New_York",
    "Europe/Dublin",
    "Australia/Lord_Howe",
    "America/St_Johns",
    "Pacific/Apia",
    "UTC",
]


@given(
    st.datetimes(datetime(2024, 1, 1), datetime(2030, 1, 1)).map(lambda d: d.replace(tzinfo=UTC)),
    st.sampled_from(ZONES),
)
def test_the_farm_day_agrees_with_the_tz_database_across_daylight_saving(moment: datetime, zone: str) -> None:
    """Reference: the IANA time zone database as pendulum goes by it."""
    there = pendulum.instance(moment).in_timezone(zone)
    assert local_day(moment, zone) == there.date()
    assert local_clock(moment, zone) == there.strftime("%H:%M")


def test_the_two_nights_the_clock_changes() -> None:
    """US rule since 2007: forward on the second Sunday of March, back on the first of November, at 02:00."""
    assert local_clock(datetime(2026, 3, 8, 6, 59, tzinfo=UTC), "America/New_York") == "01:59"
    assert local_clock(datetime(2026, 3, 8, 7, 0, tzinfo=UTC), "America/New_York") == "03:00"
    assert local_clock(datetime(2026, 11, 1, 5, 30, tzinfo=UTC), "America/New_York") == "01:30"
    assert local_clock(datetime(2026, 11, 1, 6, 30, tzinfo=UTC), "America/New_York") == "01:30"


def test_an_unknown_zone_counts_as_utc() -> None:
    assert local_day(datetime(2026, 6, 23, 12, tzinfo=UTC), "Nowhere/Barn") == date(2026, 6, 23)


def test_days_are_read_strictly() -> None:
    assert day_from_iso("2026-06-23") == date(2026, 6, 23)
    assert [day_from_iso(t) for t in ("2026-6-23", "2026-02-30", "", "yesterday")] == [None] * 4
    assert month_day("02-29", 2026) == date(2026, 2, 28)
    assert month_day("13-01", 2026) is None


def test_weeks_are_whole_days() -> None:
    assert weeks(1.5) == timedelta(days=10)
    assert weeks(-2) == timedelta(days=-14)


def test_numbers_lose_needless_decimals() -> None:
    assert [number(v) for v in (5.0, 5.333, 12, 0.5)] == ["5", "5.33", "12", "0.5"]


def test_a_day_is_written_with_its_year_only_where_it_may_be_another() -> None:
    assert (day_text("2026-06-23"), dated_text("2026-06-23")) == ("23 Jun", "23 Jun 2026")
    assert [day_text(None), day_text("soon"), dated_text(None), dated_text("soon")] == [""] * 4


def test_hours_are_told_in_days_once_there_are_two() -> None:
    assert [hours_text(h) for h in (4.4, 24, 47.4, 48, 168)] == ["4 h", "24 h", "47 h", "2 days", "7 days"]


@given(st.text())
def test_clean_text_is_harmless_and_clean(text: str) -> None:
    safe = clean(text)
    assert is_clean(safe)
    assert not any(ord(c) < 32 or 127 <= ord(c) < 160 for c in safe)
    assert "\u202e" not in safe  # the right-to-left override


def test_escape_sequences_lose_their_bite() -> None:
    assert clean("\x1b[31mred\x1b[0m\x07") == "[31mred[0m"
    assert clean("two\tlines\nhere") == "two lines here"
