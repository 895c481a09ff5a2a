"""Sunrise, sunset and day length, by the method of the NOAA solar calculator (after Meeus, low precision).

Good to about a minute below 60 degrees of latitude. The sun rises when its centre stands 90.833 degrees from
the zenith: its radius and the usual refraction are in that.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from math import acos, asin, cos, degrees, radians, sin, tan
from typing import Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from core.problems import Problem

ZENITH = 90.833
ITERATIONS = 2
FEW_HOURS = 10.0
"""Below ten hours of day growth is said to stand nearly still (E. Coleman, The Winter Harvest Handbook, 2009;
a growers' rule more than a measurement: warmth counts too)."""

Polar = Literal["sun up all day", "sun down all day"]


@dataclass(frozen=True, slots=True)
class Sun:
    """One day's sun in the farm's zone; where it does not rise or set the times are None and `polar` says so.

    Near the edge of the zone's day a time may fall on the calendar day beside.
    """

    day: date
    noon: datetime
    sunrise: datetime | None
    sunset: datetime | None
    day_hours: float
    polar: Polar | None


@dataclass(frozen=True, slots=True)
class Window:
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
    noon = _solar_noon(datetime.combine(day, time(12), there).astimezone(UTC), longitude)
    rise, down = (_crossing(noon, latitude, longitude, way) for way in (-1, 1))
    if rise is not None and down is not None:
        hours = (down - rise) / timedelta(hours=1)
        polar: Polar | None = None
    else:
        up = _height_at_noon(noon, latitude) > 90 - ZENITH
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


def _solar_noon(civil_noon: datetime, longitude: float) -> datetime:
    """The solar noon nearest to a civil noon."""
    guess = civil_noon
    for _ in range(ITERATIONS):
        _, equation = _declination_and_equation(guess)
        midnight = guess.replace(hour=0, minute=0, second=0, microsecond=0)
        noon = midnight + timedelta(minutes=720 - 4 * longitude - equation)
        days = round((civil_noon - noon) / timedelta(days=1))
        guess = noon + timedelta(days=days)
    return guess


def _crossing(noon: datetime, latitude: float, longitude: float, way: int) -> datetime | None:
    """Sunrise (`way` -1) or sunset (1) around a solar noon, evaluated at the time of the event itself."""
    moment = noon
    for _ in range(ITERATIONS):
        declination, equation = _declination_and_equation(moment)
        lat = radians(latitude)
        cosine = (cos(radians(ZENITH)) - sin(lat) * sin(declination)) / (cos(lat) * cos(declination))
        if not -1 <= cosine <= 1:
            return None
        midnight = noon.replace(hour=0, minute=0, second=0, microsecond=0)
        own_noon = midnight + timedelta(minutes=720 - 4 * longitude - equation)
        own_noon += timedelta(days=round((noon - own_noon) / timedelta(days=1)))
        moment = own_noon + timedelta(minutes=way * 4 * degrees(acos(cosine)))
    return moment


def _height_at_noon(noon: datetime, latitude: float) -> float:
    """Degrees above the horizon."""
    declination, _ = _declination_and_equation(noon)
    return 90 - abs(latitude - degrees(declination))


def _declination_and_equation(moment: datetime) -> tuple[float, float]:
    """The sun's declination (radians) and the equation of time (minutes) at an instant in UTC."""
    days = (moment - datetime(2000, 1, 1, 12, tzinfo=UTC)) / timedelta(days=1)
    t = days / 36525
    mean_longitude = radians((280.46646 + t * (36000.76983 + t * 0.0003032)) % 360)
    anomaly = radians(357.52911 + t * (35999.05029 - 0.0001537 * t))
    eccentricity = 0.016708634 - t * (0.000042037 + 0.0000001267 * t)
    centre = (
        sin(anomaly) * (1.914602 - t * (0.004817 + 0.000014 * t))
        + sin(2 * anomaly) * (0.019993 - 0.000101 * t)
        + sin(3 * anomaly) * 0.000289
    )
    node = radians(125.04 - 1934.136 * t)
    apparent = mean_longitude + radians(centre - 0.00569 - 0.00478 * sin(node))
    seconds = 21.448 - t * (46.815 + t * (0.00059 - t * 0.001813))
    obliquity = radians(23 + (26 + seconds / 60) / 60 + 0.00256 * cos(node))
    declination = asin(sin(obliquity) * sin(apparent))
    y = tan(obliquity / 2) ** 2
    equation = 4 * degrees(
        y * sin(2 * mean_longitude)
        - 2 * eccentricity * sin(anomaly)
        + 4 * eccentricity * y * sin(anomaly) * cos(2 * mean_longitude)
        - 0.5 * y * y * sin(4 * mean_longitude)
        - 1.25 * eccentricity * eccentricity * sin(2 * anomaly)
    )
    return declination, equation
