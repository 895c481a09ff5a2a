"""When a plant gives its stems: its cutting weeks shared out over flushes.

No published share of stems by week was found, so the shape is common practice: cut-and-come-again crops come
in flushes about two weeks apart, the first (the central stem, few side shoots) and the last (short stems)
half as large as those between. A crop of one stem, or of less than three weeks of cutting, comes in one
flush, few stems at its beginning and end and most in the middle.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

FLUSH_WEEKS = 2
ONE_FLUSH_BELOW_WEEKS = 3
EDGE_WEIGHT = 0.5
SOURCE = "flushes two weeks apart, first and last half as large: common practice"


@dataclass(frozen=True, slots=True)
class Flush:
    """One flush: days after the first cut from which (counted) to which (not counted), and its share of all
    stems, cut evenly over those days (where it is the only one, by a bell)."""

    number: int
    from_day: float
    to_day: float
    share: float


def flushes(stems_per_plant: float, weeks_of_cutting: float) -> tuple[Flush, ...]:
    """The flushes of a plant; their shares add up to 1. Weeks must be above 0."""
    days = weeks_of_cutting * 7
    if stems_per_plant <= 1 or weeks_of_cutting < ONE_FLUSH_BELOW_WEEKS:
        return (Flush(1, 0, days, 1.0),)
    count = max(2, round(weeks_of_cutting / FLUSH_WEEKS))
    weights = [EDGE_WEIGHT if i in (0, count - 1) else 1.0 for i in range(count)]
    total, width = sum(weights), days / count
    return tuple(Flush(i + 1, i * width, (i + 1) * width, weight / total) for i, weight in enumerate(weights))


def share_after(count: int, part: float) -> float:
    """The share of all stems cut in the first part (0 to 1) of the time of cutting, where it has `count` flushes."""
    if part <= 0 or part >= 1:
        return 0.0 if part <= 0 else 1.0
    if count == 1:
        return part * part * (3 - 2 * part)
    flushes_gone, total = part * count, count - 1
    if flushes_gone <= 1:
        return EDGE_WEIGHT * flushes_gone / total
    if flushes_gone >= count - 1:
        return 1 - EDGE_WEIGHT * (count - flushes_gone) / total
    return (flushes_gone - EDGE_WEIGHT) / total


def share_by(course: tuple[Flush, ...], days: float) -> float:
    """The share of all stems cut in the first `days` days of cutting."""
    return share_after(len(course), days / course[-1].to_day)


def share_between(course: tuple[Flush, ...], first_cut: date, start: date, end: date) -> float:
    """The share cut from `start` to `end`, both counted, where cutting begins on `first_cut`."""
    if end < start:
        return 0.0
    begun, done = (start - first_cut).days, (end - first_cut).days + 1
    return max(share_by(course, done) - share_by(course, begun), 0.0)
