"""Lengths told in meters and centimeters, rain in millimeters, times of day by twelve hours: text in, text out.

Text is written once, with feet ("20 ft"), inches ("12 in apart") and the time of 24 hours ("18:40"); for a farm that
has it otherwise `core.dialect.in_words` turns it by these tables.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from core.measures import CM_AN_INCH, KM_A_MILE, METERS_A_FOOT, MM_AN_INCH
from core.patterns import pattern

Turned = Callable[[re.Match[str]], str]

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
_AREA = pattern(r"(?<![\w.,])(?P<number>\d+(?:\.\d+)?) sq ft\b")
_WIND = pattern(rf"{_NUMBER}(?P<space> ?)mph\b(?P<gap>  +)?")
_BARE_WIND = pattern(r"\b(?P<head>wind )(?P<number>\d{1,2})\b(?! ?(?:mph|km/h|m/s)|[\d:.%-])")
"""The wind of a line given as an example, without its unit."""
_MILES = pattern(r"\b(?:mph|(?P<long>miles an hour))\b")
_HEAD = pattern(r"(?:(?<=, )|^)ft\b")
_WORD = pattern(r"\b(?P<word>feet|inches)\b", re.IGNORECASE)
_CLOCK = pattern(r"(?<![\w:.+-])([01]\d|2[0-3]):([0-5]\d)(?!:?\d| ?[ap]m\b)")

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


def _area(found: re.Match[str]) -> str:
    return f"{plain(float(found['number']) * METERS_A_FOOT**2, 1)} m2"


def _wind(found: re.Match[str]) -> str:
    return _turned(found, kilometers_an_hour, "km/h")


def _word(found: re.Match[str]) -> str:
    word = {"feet": "meters", "inches": "centimeters"}[found["word"].lower()]
    return word.capitalize() if found["word"][0].isupper() else word


METRIC: Mapping[re.Pattern[str], Turned] = {
    _RAIN: _rain,
    _OF_WATER: _rain,
    _BARE_RAIN: _rain,
    _A_FOOT: _a_foot,
    _BY: lambda found: f"{figure_in_cm(found['value'])} cm",
    _FEET: _feet,
    _INCHES: _inches,
    _AREA: _area,
    _WIND: _wind,
    _BARE_WIND: lambda found: f"{found['head']}{kilometers_an_hour(float(found['number']))} km/h",
    _MILES: lambda found: "kilometers an hour" if found["long"] else "km/h",
    _HEAD: lambda _: "m",
    _WORD: _word,
}
"""What is turned for a farm whose lengths are in meters."""
TWELVE_HOURS: Mapping[re.Pattern[str], Turned] = {_CLOCK: lambda found: twelve_hours(found[0])}
"""And for one that has its day in twice twelve hours."""
