"""When a crop will have had its warmth: the days seen so far, then the same weeks of the years on record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import inf, isinf

from core.dialect import told_degrees
from core.problems import Problem
from core.reckon.climate.heat_units import Scale, UnitSum, sum_units, units_on, usual_units, wrong_thresholds
from core.reckon.climate.quantiles import weibull
from core.reckon.climate.record import Record
from core.units import number

FEWEST_YEARS = 10
LONGEST_DAYS = 366
"""A crop that needs more than a year of warmth is not reckoned."""

SHARES = (0.1, 0.5, 0.9)


@dataclass(frozen=True, slots=True)
class Expected:
    """The days by which one, five and nine years in ten reach the sum; None: not within a year.

    `seen` degree days F have been had by the day before `from_day`; `years` are those behind the range.
    """

    early: date | None
    middle: date | None
    late: date | None
    seen: float
    from_day: date
    years: int
    because: str


def expected_day(
    need: float,
    start: date,
    scale: Scale,
    climate: Record,
    *,
    seen: Record | None = None,
    today: date | None = None,
) -> Expected | Problem:
    """The day by which `need` degree days F have been had since `start` (counted), as a range.

    `seen` holds the days of this season up to `today` (not counted: it is not over); without it the whole
    course is reckoned from `climate`. A day of `climate` without readings gets the usual units of its date.
    """
    if need <= 0:
        return Problem("The warmth a crop needs is a number above 0.", "impossible")
    if problem := wrong_thresholds(scale.base_f, scale.upper_f):
        return problem
    begin = start.toordinal()
    so_far = UnitSum(0.0, 0, 0)
    if seen is not None and today is not None and today > start:
        last = min(today.toordinal() - 1, seen.end - 1)
        if last >= begin:
            summed = sum_units(seen, begin, last, scale)
            if isinstance(summed, Problem):
                return summed
            so_far = summed
    ahead = begin + so_far.days
    if so_far.units >= need:
        day = _reached(seen, begin, need, scale)
        because = f"{number(need)} degree days were reached on {day}, in the days seen."
        return Expected(day, day, day, so_far.units, date.fromordinal(ahead), 0, because)
    waits = _waits(climate, ahead, need - so_far.units, scale)
    if len(waits) < FEWEST_YEARS:
        return Problem(
            f"Not yet: the record has only {len(waits)} years to reckon the days to come from, "
            f"{FEWEST_YEARS} are needed.",
            "impossible",
        )
    early, middle, late = (_day(ahead, weibull(waits, share)) for share in SHARES)
    because = (
        f"{number(so_far.units)} of {number(need)} degree days "
        f"(base {told_degrees(scale.base_f)}, {scale.method}) in {so_far.days} days seen; "
        f"the rest as in {len(waits)} years on record: one, five and nine years in ten."
    )
    return Expected(early, middle, late, so_far.units, date.fromordinal(ahead), len(waits), because)


def _day(ahead: int, wait: float) -> date | None:
    return None if isinf(wait) else date.fromordinal(ahead) + timedelta(days=round(wait))


def _reached(seen: Record | None, begin: int, need: float, scale: Scale) -> date:
    """The day in the past on which the sum was reached."""
    assert seen is not None
    total, day = 0.0, begin
    while True:
        units = units_on(seen, day, scale)
        total += (usual_units(seen, day, scale) or 0.0) if units is None else units
        if total >= need:
            return date.fromordinal(day)
        day += 1


def _waits(climate: Record, ahead: int, need: float, scale: Scale) -> list[float]:
    """For every year on record, the days from `ahead` (0: that day) until `need` is had; inf: not in a year.

    A year in which the record ends before the slowest year was done is left out, or only quick ones would be
    taken from it.
    """
    month_day = date.fromordinal(ahead)
    usual: dict[tuple[int, int], float | None] = {}
    found: list[tuple[float, int]] = []
    for year in range(climate.first_day.year, climate.last_day.year + 1):
        try:
            begin = month_day.replace(year=year).toordinal()
        except ValueError:  # 29 February
            begin = date(year, 3, 1).toordinal()
        wait = _wait(climate, begin, need, scale, usual)
        if wait is not None:
            found.append((wait, climate.end - begin))
    slowest = max((min(wait, LONGEST_DAYS) for wait, _ in found), default=0)
    return [wait for wait, left in found if left >= slowest]


def _wait(
    climate: Record, begin: int, need: float, scale: Scale, usual: dict[tuple[int, int], float | None]
) -> float | None:
    """Days until `need` is had, inf where a year is not enough, None where the record says too little."""
    total, filled = 0.0, 0
    for passed in range(LONGEST_DAYS):
        day = begin + passed
        if not climate.start <= day < climate.end:
            return None
        units = units_on(climate, day, scale)
        if units is None:
            filled += 1
            when = date.fromordinal(day)
            key = when.month, when.day
            if key not in usual:
                usual[key] = usual_units(climate, day, scale)
            units = usual[key] or 0.0
        total += units
        if total >= need:
            # A few days filled in do no harm; a year that is mostly filled in is no year of its own.
            return None if filled > max(3, 0.2 * (passed + 1)) else float(passed)
    return inf
