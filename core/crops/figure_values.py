"""The value of a figure of a sheet, read from text."""

from __future__ import annotations

import re

from core.crops.sheet import FIGURES, HARDINESS_CLASSES, KINDS, MonthDay, Span
from core.patterns import pattern
from core.problems import Problem
from core.units import month_day

_NUMBER = r"-?\d+(?:\.\d+)?"
_SPAN = pattern(rf"({_NUMBER})\s*(?:(?:to|-|–)\s*({_NUMBER}))?")


def read_value(name: str, text: str) -> Span | float | MonthDay | str | Problem:
    """The value of figure `name` in `text`: "7 to 10" or "7-10" for a range, "28" for a number, "07-01" for a day of
    the year, or words."""
    kind, about = KINDS[name], FIGURES[name]
    text = text.strip()
    if kind == "Span":
        found = _SPAN.fullmatch(text)
        if not found:
            return Problem(f'"{text}" is not a range: write {about.told} as one number or as "7 to 10".')
        least, most = _plain(found[1]), _plain(found[2] or found[1])
        if least > most:
            return Problem(f'"{text}" runs backwards: write the smaller number first.')
        return about.problem(least, most) or (least, most)
    if kind == "float":
        if not re.fullmatch(_NUMBER, text):
            return Problem(f'"{text}" is not a number: write {about.told} as one number.')
        return about.problem(_plain(text)) or _plain(text)
    if kind == "MonthDay":
        day = month_day(text, 2000)
        if day is None:
            return Problem(f'"{text}" is no day of the year: write {about.told} as "07-01" or "1 july".')
        return MonthDay(day.month, day.day)
    if kind == "HardinessClass" and text not in HARDINESS_CLASSES:
        sentence = f'"{text}" is no hardiness: write hardy, half-hardy or tender.'
        return Problem(sentence, nearest=HARDINESS_CLASSES)
    if not text:
        return Problem(f"Nothing is written for {about.told}: write what it should say.")
    return text


def _plain(text: str) -> float:
    value = float(text)
    return int(value) if value.is_integer() else value
