"""Heat units (degree days) of a day from its low and high, and their sum over days.

Any one unit of temperature will do, the result is in degree days of it. Sources stand at each method; check
values: Zalom et al. 1983 (UC), McMaster and Wilhelm 1997.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import asin, cos, isfinite, pi
from typing import Literal

from core.problems import Problem
from core.reckon.climate.record import Record
from core.units import plainly

Method = Literal["average", "clipped", "sine", "double sine", "triangle", "double triangle"]

METHODS: dict[Method, str] = {
    "average": "max(0, (high + low) / 2 - base), method 1 of McMaster and Wilhelm 1997",
    "clipped": (
        "high and low are first brought between base and upper, then (high + low) / 2 - base: method 2 of "
        "McMaster and Wilhelm 1997; with base {degrees:50} and upper {degrees:86} the 86/50 rule"
    ),
    "sine": "area under one sine wave a day above base, less that above upper (Baskerville and Emin 1969)",
    "double sine": "half a day's sine to this low, half to the next low (Zalom et al. 1983)",
    "triangle": "area under one triangle a day above base, less that above upper (Zalom et al. 1983)",
    "double triangle": "half a day's triangle to this low, half to the next low (Zalom et al. 1983)",
}
"""Every method and its formula. An upper threshold cuts off level: warmth above it adds nothing more."""

MOST_MISSING_SHARE = 0.2
"""With more of its days missing than this a sum is refused."""

_NEAR_DAYS = 3


def daily_units(
    low: float,
    high: float,
    *,
    base: float,
    upper: float | None = None,
    method: Method = "average",
    next_low: float | None = None,
) -> float | Problem:
    """The degree days of one day; the double methods also need the low of the next morning."""
    if not all(isfinite(v) for v in (low, high, base, upper or 0.0, next_low or 0.0)):
        return Problem("Temperatures must be plain numbers.", "impossible")
    if low > high:
        return Problem(
            f"A low of {plainly(low)} is above a high of {plainly(high)}: which is which?", "impossible"
        )
    if problem := wrong_thresholds(base, upper):
        return problem
    if method not in METHODS:
        return Problem(f"The methods are {', '.join(METHODS)}.", "unknown", tuple(METHODS))
    if not method.startswith("double"):
        return _BY_METHOD[method](low, high, base, upper)
    if next_low is None:
        return Problem(f"The {method} also needs the low of the next day.", "impossible")
    # The next low may be above this high: the day then falls and rises again from there.
    half = _sine if method == "double sine" else _triangle
    return (half(low, high, base, upper) + half(min(next_low, high), max(next_low, high), base, upper)) / 2


def wrong_thresholds(base: float, upper: float | None) -> Problem | None:
    """Why these thresholds cannot be, or None."""
    if upper is not None and upper <= base:
        return Problem("The upper threshold lies above the base: check the two.", "impossible")
    return None


def _average(low: float, high: float, base: float, upper: float | None) -> float:
    mean = (low + high) / 2
    return max(0.0, (mean if upper is None else min(mean, upper)) - base)


def _clipped(low: float, high: float, base: float, upper: float | None) -> float:
    def clip(value: float) -> float:
        return max(base, value if upper is None else min(value, upper))

    return (clip(low) + clip(high)) / 2 - base


def _sine(low: float, high: float, base: float, upper: float | None) -> float:
    above = _sine_above(low, high, base)
    return above if upper is None else above - _sine_above(low, high, upper)


def _sine_above(low: float, high: float, threshold: float) -> float:
    mean, swing = (low + high) / 2, (high - low) / 2
    if low >= threshold:
        return mean - threshold
    if high <= threshold:
        return 0.0
    t = asin((threshold - mean) / swing)
    return ((mean - threshold) * (pi / 2 - t) + swing * cos(t)) / pi


def _triangle(low: float, high: float, base: float, upper: float | None) -> float:
    above = _triangle_above(low, high, base)
    return above if upper is None else above - _triangle_above(low, high, upper)


def _triangle_above(low: float, high: float, threshold: float) -> float:
    if low >= threshold:
        return (low + high) / 2 - threshold
    if high <= threshold:
        return 0.0
    return (high - threshold) ** 2 / (2 * (high - low))


_BY_METHOD: dict[Method, Callable[[float, float, float, float | None], float]] = {
    "average": _average,
    "clipped": _clipped,
    "sine": _sine,
    "triangle": _triangle,
}


@dataclass(frozen=True, slots=True)
class Scale:
    """How warmth is counted for a crop, in degrees F: threshold, upper threshold and method."""

    base_f: float
    upper_f: float | None = None
    method: Method = "average"


@dataclass(frozen=True, slots=True)
class UnitSum:
    """Degree days F over `days`, of which `filled` had no reading and got the usual units of their date."""

    units: float
    days: int
    filled: int


def units_on(record: Record, day: int, scale: Scale) -> float | None:
    """Degree days F of the day numbered `day`; None where a reading it needs is missing."""
    low, high = record.low_f(day), record.high_f(day)
    if low is None or high is None:
        return None
    after = record.low_f(day + 1) if scale.method.startswith("double") else None
    units = daily_units(
        low, high, base=scale.base_f, upper=scale.upper_f, method=scale.method, next_low=after
    )
    return None if isinstance(units, Problem) else units


def usual_units(record: Record, day: int, scale: Scale) -> float | None:
    """The mean units of the same week of the year (three days either side) in all years of the record."""
    found = []
    for year in range(-_years_back(record, day), _years_on(record, day) + 1):
        middle = day + round(year * 365.2425)
        for near in range(middle - _NEAR_DAYS, middle + _NEAR_DAYS + 1):
            units = units_on(record, near, scale)
            if units is not None:
                found.append(units)
    return sum(found) / len(found) if found else None


def _years_back(record: Record, day: int) -> int:
    return max(0, (day - record.start) // 365 + 1)


def _years_on(record: Record, day: int) -> int:
    return max(0, (record.end - day) // 365 + 1)


def sum_units(record: Record, first: int, last: int, scale: Scale) -> UnitSum | Problem:
    """The units of the days numbered `first` to `last`, both counted.

    A Problem where more than a fifth of them, or any without a usual value, have no reading.
    """
    if last < first:
        return Problem("The first day comes before the last: check the two.", "impossible")
    if problem := wrong_thresholds(scale.base_f, scale.upper_f):
        return problem
    days = range(first, last + 1)
    values = {day: units_on(record, day, scale) for day in days}
    missing = [day for day, units in values.items() if units is None]
    if len(missing) > MOST_MISSING_SHARE * len(days):
        return Problem(
            f"{len(missing)} of {len(days)} days have no low and high in the record "
            f"({record.first_day} to {record.last_day}): choose other days or a fuller record.",
            "impossible",
        )
    total = sum(units for units in values.values() if units is not None)
    for day in missing:
        usual = usual_units(record, day, scale)
        if usual is None:
            return Problem("A missing day has no other year to be filled from.", "impossible")
        total += usual
    return UnitSum(total, len(days), len(missing))
