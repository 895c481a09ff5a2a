"""Words of the command line read into values; a word that cannot be read is a usage error."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from datetime import date

from core.text import clean
from core.units import day_from_iso, is_farm_day

_LONGEST = 40


def day(text: str) -> date:
    """A day written 2026-06-23, of a year in which a farm may be."""
    found = day_from_iso(text)
    if found is None or not is_farm_day(text):
        raise argparse.ArgumentTypeError(f"'{_shown(text)}' is no day: write it as 2026-06-23")
    return found


def year(text: str) -> int:
    """A year written 2026."""
    if not (text.isascii() and text.isdigit() and len(text) == 4):
        raise argparse.ArgumentTypeError(f"'{_shown(text)}' is no year: write it as 2026")
    return int(text)


def season(text: str) -> int:
    """A year of the farm, by the year in which it begins: written 2026 or, as it is told in the south, 2026-27."""
    first, dash, last = text.partition("-")
    begins = year(first)
    if dash and last not in (str(begins + 1), f"{(begins + 1) % 100:02d}"):
        told = f"{begins}-{(begins + 1) % 100:02d}"
        raise argparse.ArgumentTypeError(f"'{_shown(text)}' is no season: write it as {begins} or {told}")
    return begins


def years(text: str) -> tuple[int, int]:
    """First and last year, written 1991-2020."""
    first, _, last = text.partition("-")
    if not (first.isdigit() and last.isdigit() and len(first) == len(last) == 4):
        raise argparse.ArgumentTypeError(f"'{_shown(text)}' is no span of years: write it as 1991-2020")
    return int(first), int(last)


def count_of(what: str, most: int) -> Callable[[str], int]:
    """Reads a whole number of `what`, from 1 to `most`."""

    def read(text: str) -> int:
        value = number(text)
        if value != int(value) or not 1 <= value <= most:
            raise argparse.ArgumentTypeError(f"'{_shown(text)}': {what} are counted from 1 to {most}")
        return int(value)

    return read


def fahrenheit(text: str) -> float:
    """A temperature in degrees F, written 70F, 70 or 21C."""
    unit = text[-1:].upper()
    value = number(text[:-1] if unit in ("C", "F") else text)
    return value * 1.8 + 32 if unit == "C" else value


def number(text: str) -> float:
    """A plain number; neither infinite nor 'nan'."""
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not -1e9 < value < 1e9:
        raise argparse.ArgumentTypeError(f"'{_shown(text)}' is no number, such as 32 or 70F")
    return value


def share_of(text: str) -> float:
    """A share from 0 to 1, written 0.9 or 90%."""
    value = number(text[:-1]) / 100 if text.endswith("%") else number(text)
    if not 0 <= value <= 1:
        raise argparse.ArgumentTypeError(f"'{_shown(text)}' is no share: write it as 0.9 or 90%")
    return value


def _shown(text: str) -> str:
    return clean(text)[:_LONGEST]


def initials(said: str) -> str:
    """What stands beside an entry for who wrote it: letters and digits, eight at the most."""
    return "".join(c for c in clean(said) if c.isalnum())[:8].lower()


SHOWN: Mapping[object, str] = {day: "YYYY-MM-DD", fahrenheit: "T"}
"""How a value is shown in the help of an option that takes one of that sort."""
