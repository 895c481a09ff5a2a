"""Where the sun stands, by the method of the NOAA solar calculator (after Meeus, low precision).

Instants in UTC in, instants in UTC out; light to load, for the morning page asks it for one time of day.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from math import acos, asin, cos, degrees, radians, sin, tan

from core.clocks import zone_called

ZENITH = 90.833
"""Degrees between the sun's center and the zenith when it rises: its radius and the usual refraction are in it."""

ITERATIONS = 2


def clock_of_sunrise(day: date, latitude: float, longitude: float, zone: str) -> str:
    """ "05:08": when the sun rises on a day in the clock of a zone; "" where it does not, or the zone is unknown."""
    there = zone_called(zone)
    if there is UTC and zone != "UTC":
        return ""
    noon = solar_noon(datetime.combine(day, time(12), there).astimezone(UTC), longitude)
    rise = crossing(noon, latitude, longitude, -1)
    if rise is None:
        return ""
    local = (rise + timedelta(seconds=30)).astimezone(there)
    return f"{local:%H:%M}"


def solar_noon(civil_noon: datetime, longitude: float) -> datetime:
    """The solar noon nearest to a civil noon."""
    guess = civil_noon
    for _ in range(ITERATIONS):
        _, equation = _declination_and_equation(guess)
        midnight = guess.replace(hour=0, minute=0, second=0, microsecond=0)
        noon = midnight + timedelta(minutes=720 - 4 * longitude - equation)
        days = round((civil_noon - noon) / timedelta(days=1))
        guess = noon + timedelta(days=days)
    return guess


def crossing(noon: datetime, latitude: float, longitude: float, way: int) -> datetime | None:
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


def height_at_noon(noon: datetime, latitude: float) -> float:
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
    center = (
        sin(anomaly) * (1.914602 - t * (0.004817 + 0.000014 * t))
        + sin(2 * anomaly) * (0.019993 - 0.000101 * t)
        + sin(3 * anomaly) * 0.000289
    )
    node = radians(125.04 - 1934.136 * t)
    apparent = mean_longitude + radians(center - 0.00569 - 0.00478 * sin(node))
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
