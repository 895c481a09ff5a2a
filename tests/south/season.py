"""One season of a farm south of the equator, and its twin: the same season half a year earlier, as far north.

What a page says of a season may hang on the frosts, on how long the days are and on what was written, and on nothing
else: on a farm in the other half of the year, with every day moved by 26 weeks, it says the same of the moved days.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, timedelta

HALF_A_YEAR = timedelta(weeks=26)

SOUTH: Mapping[str, tuple[str, ...]] = {
    "2026-07-05": (
        "farm name 'Southfold' zone Pacific/Auckland latitude -43.5 longitude 172.6",
        "last frost 10 october",
        "first frost 5 may",
        *(f"bed b{n} 15m by 90cm" for n in range(1, 8)),
        "line 1 is 12m",
        "line 2 is 12m",
        "packet strawflower apricot 400 seeds 2026",
        "packet statice blue 400 seeds 2026",
        "packet zinnia lime 300 seeds 2026",
        "plant lavender b4 10m 40 plants on 2024-03-20",
        "plant peony b5 6m 12 plants on 2024-04-05",
    ),
    "2026-07-06": ("plan 120 strawflower dry by 2027-03-01", "plan 80 zinnia fresh by 2027-01-15"),
    "2026-08-20": ("sow 128 strawflower apricot 128s", "sow 128 statice blue 128s"),
    "2026-09-01": ("up 110 S01", "up 104 S02"),
    "2026-09-20": ("sow 72 zinnia lime 72s",),
    "2026-09-27": ("up 66 S03",),
    "2026-10-15": ("set out S01 b1 8m anyway", "set out S02 b2 8m anyway"),
    "2026-10-28": ("set out S03 b3 6m anyway",),
    "2026-11-02": ("pinch b3",),
    "2026-11-20": ("24 peony b5 fresh", "sold 20 L001 to market at 2", "lost 4 mold L001"),
    "2026-12-20": ("30 strawflower b1 dry", "hang L002 line 1", "50 lavender b4 dry", "hang L003 line 2"),
    "2026-12-28": (
        "40 strawflower b1 dry",
        "hang L004 line 1",
        "30 zinnia b3 fresh",
        "sold 30 L005 to market at 0.8",
    ),
    "2027-01-06": (
        "60 statice b2 dry",
        "hang L006 line 2",
        "40 zinnia b3 fresh",
        "sold 40 L007 to market at 0.8",
        "snap L002",
        "30 lavender b4 dry",
        "hang L008 line 2",
    ),
    "2027-01-07": ("box L002 3x10 box 1",),
    "2027-01-12": ("50 strawflower b1 dry", "hang L009 line 1"),
    "2027-01-20": ("order Lane 4 bu strawflower dry by 2027-07-10 at 9", "snap L004", "box L004 4x10 box 1"),
    "2027-02-10": (
        "45 zinnia b3 fresh",
        "sold 45 L010 to market at 0.8",
        "snap L006",
        "box L006 6x10 box 2",
    ),
    "2027-02-20": ("sow 40 sweet william 72s",),
    "2027-03-05": ("40 strawflower b1 dry", "hang L011 line 1", "snap L009", "box L009 5x10 box 1"),
    "2027-03-20": ("plant sweet william b6 4m 40 plants",),
    "2027-03-28": (
        "20 zinnia b3 fresh",
        "sold 20 L012 to market at 0.8",
        "snap L011",
        "box L011 4x10 box 3",
    ),
    "2027-05-12": ("clear b1 strawflower", "clear b2 statice", "clear b3 zinnia"),
    "2027-07-02": ("pick O001", "handed over O001", "paid O001 36", "sold 20 L006 to Lane at 0.9"),
}
_ISO = re.compile(r"\b20\d\d-\d\d-\d\d\b")
_TWIN = {
    "latitude -43.5": "latitude 43.5",
    "last frost 10 october": "last frost 11 april",
    "first frost 5 may": "first frost 3 november",
}


def moved(text: str, by: timedelta) -> str:
    """The text with every day in it ("YYYY-MM-DD") moved."""
    return _ISO.sub(lambda day: (date.fromisoformat(day[0]) + by).isoformat(), text)


def to_north(text: str) -> str:
    """A line, a day or a command of the farm in the south as it is on its twin."""
    for south, north in _TWIN.items():
        text = text.replace(south, north)
    return moved(text, -HALF_A_YEAR)


def until(day: str, *, north: bool = False) -> dict[str, tuple[str, ...]]:
    """What is written on either farm up to a day of the farm in the south."""
    here = {on: lines for on, lines in SOUTH.items() if on <= day}
    return {to_north(on): tuple(map(to_north, lines)) for on, lines in here.items()} if north else here
