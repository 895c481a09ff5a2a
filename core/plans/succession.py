"""Sowings one after another, so that cutting goes on evenly: by days, or by the warmth of the days to come.

Equal days at sowing bunch up at the cut, since a sowing of the cold spring is overtaken by the next. Counted
back in heat units from evenly spaced cuts, the gaps between sowings come out unequal, as they should.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from core.crops.sheet import Sheet
from core.problems import Problem
from core.units import plainly

DailyUnits = Callable[[date], float]
"""The heat units to be expected on a day (0 or more), as from years on record."""

LONGEST_DAYS = 366


@dataclass(frozen=True, slots=True)
class Warmth:
    """The warmth to be expected of every day of a year, and in words whose record says so."""

    daily: DailyUnits
    source: str
    """"heat units above 50 F, as in 30 years of EASTON"."""


WarmthOf = Callable[[Sheet], Warmth | None]
"""What the farm's weather record says of the warmth that a crop counts; None where it has too little."""


@dataclass(frozen=True, slots=True)
class Every:
    """Days from one sowing to the next, least and most, and who says so."""

    least: int
    most: int
    source: str


PUBLISHED: dict[str, Every] = {
    "sunflower": Every(7, 10, "S286"),
    "nigella": Every(21, 21, "one of S44 S49"),
    "globe amaranth": Every(28, 28, "one of S44 S49"),
    "stock": Every(7, 14, "S30"),
}


def every(sheet: Sheet) -> Every | Problem:
    """How often a crop is sown for a steady cut: as published, else as often as one sowing's weeks of
    cutting."""
    if sheet.crop in PUBLISHED:
        return PUBLISHED[sheet.crop]
    if sheet.cut_weeks is None:
        return Problem(f"The sheet of {sheet.crop} has no weeks of cutting: say the days between sowings.")
    least, most = (round(weeks * 7) for weeks in sheet.cut_weeks.value)
    return Every(least, most, "as long as one sowing is cut: common practice")


def usual_gap(sheet: Sheet) -> str:
    """ "usual: a sowing every 7 to 10 days (S286)"; "" where nothing is known of it."""
    found = every(sheet)
    if isinstance(found, Problem):
        return ""
    days = str(found.least) if found.least == found.most else f"{found.least} to {found.most}"
    return f"usual: a sowing every {days} days ({found.source})"


def units_between(start: date, end: date, daily: DailyUnits) -> float:
    """The heat units of the days from `start` (counted) to `end` (not counted)."""
    return sum(daily(start + timedelta(days=i)) for i in range((end - start).days))


def day_to_begin(cut: date, need: float, daily: DailyUnits) -> date | Problem:
    """The latest day to begin (sow, or set out) so that `need` heat units are had before `cut`."""
    return _day_by(cut, need, daily, forward=False)


def day_reached(start: date, need: float, daily: DailyUnits) -> date | Problem:
    """The first day before which `need` heat units have been had since `start` (counted)."""
    return _day_by(start, need, daily, forward=True)


def _day_by(first: date, need: float, daily: DailyUnits, *, forward: bool) -> date | Problem:
    """The end, or where not `forward` the beginning, of the days that come to `need` heat units beside `first`."""
    if need <= 0:
        return Problem("The warmth a crop needs is a number above 0.", "impossible")
    total, day = 0.0, first
    while total < need:
        if abs((day - first).days) >= LONGEST_DAYS:
            beside = "after" if forward else "before"
            return Problem(
                f"{plainly(need)} heat units are not had in the year {beside} {first.isoformat()}: check the base.",
                "impossible",
            )
        total += daily(day if forward else day - timedelta(days=1))
        day += timedelta(days=1 if forward else -1)
    return day


def sowings_for_cuts(cuts: Sequence[date], need: float, daily: DailyUnits) -> list[date] | Problem:
    """For every day on which a cut is to begin, the day to begin its sowing; two may fall on one day."""
    days = []
    for cut in cuts:
        day = day_to_begin(cut, need, daily)
        if isinstance(day, Problem):
            return day
        days.append(day)
    return days


def warmth_of(days: float, start: date, daily: DailyUnits) -> float:
    """The heat units that the sheet's days come to when they begin on `start`: the day it holds good for."""
    return units_between(start, start + timedelta(days=round(days)), daily)
