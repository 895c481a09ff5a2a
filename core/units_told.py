"""Numbers in other units than those in which they are kept: degrees C, meters and centimeters, millimeters of rain,
kilometers an hour, twelve hours to the clock. A sentence tells them by `core.dialect.told_degrees` and its like, which
know what the farm has.
"""

from __future__ import annotations

import re

from core.measures import CM_AN_INCH, KM_A_MILE, METERS_A_FOOT, MM_AN_INCH
from core.patterns import pattern

_OF_FIGURE = pattern(r"(\d+(?:\.\d+)?)(?:(-)(\d+(?:\.\d+)?))?(?!\d|\.\d|-| ?(?:d\b|days|weeks|wk|h\b|\d))")
"""A number of a figure of a sheet, or a range of one, and no count of days."""
_SMALL_IN = 5.0
"""Inches of a figure below which its centimeters are told to the millimeter."""


def meters(feet: float) -> str:
    """So many feet in meters, to the centimeter."""
    return plain(feet * METERS_A_FOOT, 2)


def meters_or_blank(feet: float | None) -> str:
    """The same, "" for a length that is not known."""
    return "" if feet is None else meters(feet)


def centimeters(inches: float) -> str:
    """So many inches in centimeters, to the millimeter."""
    return plain(inches * CM_AN_INCH, 1)


def millimeters(inches: float) -> str:
    """So many inches of rain in millimeters, to a tenth."""
    return plain(inches * MM_AN_INCH, 1)


def square_meters(square_feet: float) -> str:
    """So many square feet in square meters, to a tenth."""
    return plain(square_feet * METERS_A_FOOT**2, 1)


def kilometers_an_hour(mph: float) -> str:
    """So many miles an hour in whole kilometers an hour."""
    return plain(mph * KM_A_MILE, 0)


def twelve_hours(clock: str) -> str:
    """ "6:40pm" of "18:40"."""
    hour, minutes = int(clock[:2]), clock[3:]
    return f"{hour % 12 or 12}:{minutes}{'pm' if hour >= 12 else 'am'}"


def figure_in_cm(value: str) -> str:
    """A figure of a sheet, or a range of one, from inches to whole centimeters: "23-30" of "9-12"."""

    def turned(found: re.Match[str]) -> str:
        inches = float(found[0])
        return plain(inches * CM_AN_INCH, 1 if inches < _SMALL_IN else 0)

    return re.sub(r"\d+(?:\.\d+)?", turned, value)


MOST_TOLD = 10.0**15
"""A figure beyond that is told as being beyond it."""
THOUSANDS_FROM = 100_000


def plain(value: float, digits: int) -> str:
    """A number with so many decimals at the most, without those that say nothing; a huge one as being beyond."""
    if abs(value) > MOST_TOLD:
        return f"{'over ' if value > 0 else 'under -'}{MOST_TOLD:,.0f}"
    text = f"{round(value, digits) + 0.0:{',' if abs(value) >= THOUSANDS_FROM else ''}.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def celsius(degrees_f: float, *, whole: bool = False) -> str:
    """So many degrees F in C, to a tenth or to a whole one."""
    return to_a_tenth(round((degrees_f - 32) / 1.8, 0 if whole else 1))


def frost_in_f(degrees_c: float) -> float:
    """The cold of a frost in F: of a whole degree C the nearest whole one, as records and packets have it (-2 C for
    28 F), so that both find the same date."""
    degrees_f = degrees_c * 1.8 + 32
    return round(degrees_f) if degrees_c == round(degrees_c) else round(degrees_f, 2)


def figure_in_c(value: str) -> str:
    def turned(one: re.Match[str]) -> str:
        ends = [celsius(float(number), whole=True) for number in one.groups()[::2] if number]
        return (" to " if ends[0].startswith("-") else "-").join(ends)

    return _OF_FIGURE.sub(turned, value)


def degrees_in_c(degrees_f: float) -> str:
    """So many degrees F in C: whole where a whole number of them is far from freezing, where tenths say nothing."""
    return celsius(degrees_f, whole=degrees_f == round(degrees_f) and abs(degrees_f - 32) >= 18)


def frost_in_c(degrees_f: float) -> str:
    """The cold of a frost: the whole degree C for which it is kept in whole degrees F; "" where there is none."""
    whole_c = celsius(degrees_f, whole=True)
    return whole_c if frost_in_f(float(whole_c)) == degrees_f else ""


def degree_days_in_c(values: str) -> str:
    return re.sub(r"\d+(?:\.\d+)?", lambda one: to_a_tenth(round(float(one[0]) / 1.8)), values)


def to_a_tenth(value: float) -> str:
    """A number to a tenth, without a tenth that says nothing."""
    return plain(value, 1)
