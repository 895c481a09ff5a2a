"""Sunrise, sunset and day length, by the method of the NOAA solar calculator (after Meeus, low precision).

Good to about a minute below 60 degrees of latitude. The sun rises when its center stands 90.833 degrees from
the zenith: its radius and the usual refraction are in that.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import Literal, NamedTuple
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from core.problems import Problem
from core.reckon.climate.sky import ZENITH, crossing, height_at_noon, solar_noon

FEW_HOURS = 10.0
"""Below ten hours of day growth is said to stand nearly still (E. Coleman, The Winter Harvest Handbook, 2009;
a growers' rule more than a measurement: warmth counts too)."""

Polar = Literal["sun up all day", "sun down all day"]


class Sun(NamedTuple):
    """One day's sun in the farm's zone; where it does not rise or set the times are None and `polar` says so.

    Near the edge of the zone's day a time may fall on the calendar day beside.
    """

    day: date
    noon: datetime
    sunrise: datetime | None
    sunset: datetime | None
    day_hours: float
    polar: Polar | None


class Window(NamedTuple):
    """A stretch of the day, and why."""

    start: datetime
    end: datetime
    because: str


def sun(day: date, latitude: float, longitude: float, zone: str = "UTC") -> Sun | Problem:
    """The sun of a day; `latitude` and `longitude` in degrees, north and east positive; IANA `zone`."""
    if not -90 <= latitude <= 90 or not -180 <= longitude <= 180:
        return Problem("Latitude runs from -90 to 90 and longitude from -180 to 180.", "impossible")
    if not 1800 <= day.year <= 2200:
        return Problem("The sun is reckoned for the years 1800 to 2200.", "impossible")
    try:
        there = ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return Problem("That time zone is not known: write it as America/New_York, or UTC.", "unknown")
    noon = solar_noon(datetime.combine(day, time(12), there).astimezone(UTC), longitude)
    rise, down = (crossing(noon, latitude, longitude, way) for way in (-1, 1))
    if rise is not None and down is not None:
        hours = (down - rise) / timedelta(hours=1)
        polar: Polar | None = None
    else:
        up = height_at_noon(noon, latitude) > 90 - ZENITH
        # One crossing without the other: the first or last day of the polar day or night.
        hours = 24.0 if up else 0.0
        polar = "sun up all day" if up else "sun down all day"
        rise = down = None
    local = [None if t is None else t.astimezone(there) for t in (rise, down)]
    return Sun(day, noon.astimezone(there), local[0], local[1], hours, polar)


def few_hours_span(
    latitude: float, year: int, hours: float = FEW_HOURS
) -> tuple[date, date] | Literal["never", "always"]:
    """First and last day with less than `hours` of day, in the winter that begins in `year`.

    In the south it is the winter of that year. "never" where no day is so short, "always" where all are.
    """
    if latitude >= 0:
        first, end = date(year, 7, 1), date(year + 1, 7, 1)
    else:
        first, end = date(year, 1, 1), date(year + 1, 1, 1)
    short = [day for day in _days(first, end) if _day_hours(day, latitude) < hours]
    if not short:
        return "never"
    return "always" if len(short) == (end - first).days else (short[0], short[-1])


def clock(moment: datetime) -> str:
    """ "HH:MM", to the nearest minute."""
    return (moment + timedelta(seconds=30)).strftime("%H:%M")


def cutting_windows(today: Sun) -> tuple[Window, ...]:
    """The cool ends of the day in which stems for fresh sale are cut (common practice; hours from memory).

    From half an hour before sunrise to three hours after it, and from an hour and a half before sunset to
    half an hour after. Stems for drying wait until the dew is off.
    """
    if today.sunrise is None or today.sunset is None:
        return ()
    half = timedelta(minutes=30)
    morning_end = min(today.sunrise + timedelta(hours=3), today.noon)
    evening = max(today.sunset - timedelta(minutes=90), today.noon)
    return (
        Window(today.sunrise - half, morning_end, "cool and full of water; for drying wait for the dew"),
        Window(evening, today.sunset + half, "cooling off, after the heat of the day"),
    )


def _days(first: date, end: date) -> list[date]:
    return [first + timedelta(days=i) for i in range((end - first).days)]


def _day_hours(day: date, latitude: float) -> float:
    found = sun(day, latitude, 0.0)
    assert isinstance(found, Sun)
    return found.day_hours
