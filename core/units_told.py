"""Figures in the units of a farm: degrees C, meters and centimeters, millimeters of rain, twelve hours to the clock.

Text is written once, with degrees F ("34 F"), feet ("20 ft") and inches ("12 in apart"); for a farm that has it
otherwise `core.dialect.in_words` turns it by the tables here. A time of day, a wind and an area are turned where their
sentence is made (`told_time` and its like in core.dialect).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from core.measures import CM_AN_INCH, KM_A_MILE, METERS_A_FOOT, MM_AN_INCH
from core.patterns import pattern

Turned = Callable[[re.Match[str]], str]

_DEGREES = pattern(
    r"(?P<before>about |within |own ground )?(?<![\w.])(?P<low>[-+]?\d+(?:\.\d+)?)"
    r"(?:(?P<to> to |-)(?P<high>-?\d+(?:\.\d+)?))?(?P<space> ?)F\b"
    r"(?P<after> colder| milder| above outdoors| of each other| of this)?(?P<gap>  +)?"
)
_OF_FROST = pattern(
    r"(?: at)? \d+(?:\.\d+)? ?%| in \d+ of 100 seasons| in (?:spring|fall), |: too few|  +\d+ [A-Z][a-z]{2}\b|  +any\b"
)
"""What stands after the cold of a frost: its chance, or its dates."""
_FIGURE = pattern(r"(?P<label>, )F(?P<gap>: +| is )(?P<value>[^\[]*)")
"""A figure of a crop's sheet after its label: "germinates at, F:  70-75"."""
_LONG_FIGURE = pattern(r"(?P<label>, )in(?P<gap>: +| is )(?P<value>[^\[]*)")
"""And one that is a length: "height, in:  24 to 36"."""
_OF_FIGURE = pattern(r"(\d+(?:\.\d+)?)(?:(-)(\d+(?:\.\d+)?))?(?!\d|\.\d|-| ?(?:d\b|days|weeks|wk|h\b|\d))")
_BOTH_SCALES = pattern(r"(?<![\w.])-?\d+(?:\.\d+)? F \((?P<celsius>-?\d+(?:\.\d+)? C)\)")
"""Degrees that are told in F and in C."""
_DEGREE_DAYS = pattern(r"(?<![\w.])(?P<values>\d[\d.]*(?:(?: of | to |-)\d[\d.]*)*) degree days F\b")
_DEGREE_DAYS_FIGURE = pattern(r", degree days F(?P<gap>: +| is )(?P<values>\d[\d.]*(?:(?: to |-)\d[\d.]*)?)")

_NUMBER = r"(?<![\w.])(?P<low>-?\d+(?:\.\d+)?)(?:(?P<to> to |-)(?P<high>\d+(?:\.\d+)?))?"
_FEET = pattern(rf"{_NUMBER}(?P<space> ?)ft\b(?! ?oz)(?P<gap>  +)?")
_AFTER = "apart|wide|long|across|round|high|tall|deep|by|x|to|stub|heads|above|below|down|gives|both ways|for large"
_INCHES = pattern(
    rf"{_NUMBER}(?P<space> ?)(?:inches\b|in(?:(?<=\din)\b|(?= (?:{_AFTER})\b"
    r"|  ?[\[(]|[]),;:'\"]|\.(?!\.))))(?P<gap>  +)?"
)
"""Inches, and not the word "in", which stands before a place: also where a line is cut off or wrapped after it."""
_BY = pattern(r"(?<![\w.])(?P<value>\d+(?:\.\d+)?(?: to \d+(?:\.\d+)?)?)(?= by \d+(?:\.\d+)? in\b)")
"""The first of two measures that share their unit: "7 to 10 by 12 in"."""
_RAIN = pattern(
    r"(?P<head>\b(?:rain(?:ed)?|water(?:ed)?)\b(?: in all:)? (?:[a-z]+\d*(?:-[a-z]*\d+)?,? (?:and )?){0,40}?)"
    r"(?P<number>\d+(?:\.\d+)?)(?P<space> ?)in\b",
    re.IGNORECASE,
)
_OF_WATER = pattern(r"(?<![\w.])(?P<head>)(?P<number>\d+(?:\.\d+)?)(?P<space> )in(?= of (?:water|rain)\b)")
_BARE_RAIN = pattern(r"\b(?P<head>rain )(?P<number>0\.\d+)\b(?! ?(?:in|mm|cm)\b)(?P<space>)")
_A_FOOT = pattern(r"(?<![\w.])(?P<number>\d+(?:\.\d+)?)(?P<what> (?:[a-z]+ )?)a foot\b")
_BARE_WIND = pattern(r"\b(?P<head>wind )(?P<number>\d{1,2})\b(?! ?(?:mph|km/h|m/s)|[\d:.%-])")
"""The wind of a line given as an example, without its unit."""
_MILES = pattern(r"\b(?:mph|(?P<long>miles an hour))\b")
_HEAD = pattern(r"(?:(?<=, )|^)ft\b")
_WORD = pattern(r"\b(?P<word>feet|inches)\b", re.IGNORECASE)

HALF_METER, FIVE_CM = 0.5, 5.0


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
        return plain(inches * CM_AN_INCH, 1 if inches < FIVE_CM else 0)

    return re.sub(r"\d+(?:\.\d+)?", turned, value)


def plain(value: float, digits: int) -> str:
    """A number with so many decimals at the most, without those that say nothing."""
    text = f"{round(value, digits) + 0.0:.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _turned(found: re.Match[str], one: Callable[[float], str], unit: str) -> str:
    """The number, or both, in the other unit, with the room of its column filled."""
    ends = [one(float(number)) for number in (found["low"], found["high"]) if number is not None]
    return _in_its_room(found, f"{(found['to'] or '').join(ends)}{found['space']}{unit}")


def _in_its_room(found: re.Match[str], text: str) -> str:
    """The text with as many blanks after it as leave what follows in its column."""
    return text + " " * max(len(found[0]) - len(text), 1) if found["gap"] else text


def _feet(found: re.Match[str]) -> str:
    if not found["space"] and "." not in found["low"] and float(found["low"]) > 1 and not found["high"]:
        return _in_its_room(found, f"{_step(float(found['low']) * METERS_A_FOOT, HALF_METER)}m")
    return _turned(found, meters, "m")


def _inches(found: re.Match[str]) -> str:
    if not found["space"] and "." not in found["low"] and float(found["low"]) > 1 and not found["high"]:
        return _in_its_room(found, f"{_step(float(found['low']) * CM_AN_INCH, FIVE_CM)}cm")
    return _turned(found, centimeters, "cm")


def _step(value: float, step: float) -> str:
    """What is typed without a space is an example: a round length, no longer than what was there."""
    return f"{max(value // step, 1) * step:g}"


def _rain(found: re.Match[str]) -> str:
    return f"{found['head']}{millimeters(float(found['number']))}{found['space']}mm"


def _a_foot(found: re.Match[str]) -> str:
    return f"{plain(float(found['number']) / METERS_A_FOOT, 2)}{found['what']}a meter"


def _word(found: re.Match[str]) -> str:
    word = {"feet": "meters", "inches": "centimeters"}[found["word"].lower()]
    return word.capitalize() if found["word"][0].isupper() else word


def celsius(degrees_f: float, *, whole: bool = False) -> str:
    """So many degrees F in C, to a tenth or to a whole one."""
    return _to_a_tenth(round((degrees_f - 32) / 1.8, 0 if whole else 1))


def _degrees(found: re.Match[str]) -> str:
    before, space, after = found["before"] or "", found["space"], found["after"] or ""
    differ = bool(after) or before in ("within ", "own ground ")
    numbers = [number for number in (found["low"], found["high"]) if number is not None]
    is_frost = not found["high"] and _OF_FROST.match(found.string, found.end() - len(found["gap"] or ""))
    turned = [
        _difference(number)
        if differ
        else (is_frost and _frost(number)) or _number_in_c(number, is_about=before == "about ")
        for number in numbers
    ]
    told = (found["to"] or "").join(turned)
    if found["to"] == "-" and turned[-1].startswith("-"):
        told = " to ".join(turned)
    text, gap = f"{before}{told}{space}C{after}", found["gap"]
    if not gap:
        return text
    room = len(found[0]) - len(gap)  # of a column of a table
    if not found.string[: found.start()].strip():
        text = text.rjust(room)
    return text + " " * max(len(gap) + room - len(text), 1)


def _number_in_c(number: str, *, is_about: bool) -> str:
    """Whole where it is an estimate, or a whole number far from freezing, where tenths say nothing."""
    degrees_f = float(number)
    return celsius(degrees_f, whole=is_about or ("." not in number and abs(degrees_f - 32) >= 18))


def _frost(number: str) -> str:
    """The cold of a frost: the whole degree C for which it is kept in whole degrees F; "" where there is none."""
    whole_c = celsius(float(number), whole=True)
    return whole_c if frost_in_f(float(whole_c)) == float(number) else ""


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


def degree_days_in_c(values: str) -> str:
    return re.sub(r"\d+(?:\.\d+)?", lambda one: _to_a_tenth(round(float(one[0]) / 1.8)), values)


def _figure(found: re.Match[str]) -> str:
    return f"{found['label']}C{found['gap']}{figure_in_c(found['value'])}"


def _long_figure(found: re.Match[str]) -> str:
    return f"{found['label']}cm{found['gap']}{figure_in_cm(found['value'])}"


def _difference(number: str) -> str:
    sign = "+" if number.startswith("+") else ""
    return sign + _to_a_tenth(round(float(number) / 1.8, 1))


def _to_a_tenth(value: float) -> str:
    return f"{value + 0.0 if value else 0.0:.1f}".removesuffix(".0")


CELSIUS: Mapping[re.Pattern[str], Turned] = {
    _FIGURE: _figure,
    _DEGREE_DAYS: lambda found: f"{degree_days_in_c(found['values'])} degree days C",
    _DEGREE_DAYS_FIGURE: lambda found: f", degree days C{found['gap']}{degree_days_in_c(found['values'])}",
    _BOTH_SCALES: lambda found: found["celsius"],
    _DEGREES: _degrees,
}
"""What is turned for a farm whose degrees are C."""
METRIC: Mapping[re.Pattern[str], Turned] = {
    _LONG_FIGURE: _long_figure,
    _RAIN: _rain,
    _OF_WATER: _rain,
    _BARE_RAIN: _rain,
    _A_FOOT: _a_foot,
    _BY: lambda found: f"{figure_in_cm(found['value'])} cm",
    _FEET: _feet,
    _INCHES: _inches,
    _BARE_WIND: lambda found: f"{found['head']}{kilometers_an_hour(float(found['number']))} km/h",
    _MILES: lambda found: "kilometers an hour" if found["long"] else "km/h",
    _HEAD: lambda _: "m",
    _WORD: _word,
}
"""What is turned for a farm whose lengths are in meters."""
