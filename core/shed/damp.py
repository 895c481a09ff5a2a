"""How long air was damp, from readings and from what a max-min thermometer reached: hours at or above a limit."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from core.units import hours_text

NEAR_HOURS = 6.0
"""Between readings no farther apart the air is taken to have gone straight from one to the other (ours)."""
WELL_KNOWN = 0.75
"""From this share of a window known, its hours are told as "about" so many; below half, as not known (ours)."""
BARELY_KNOWN = 0.5


class Damp(NamedTuple):
    """Hours at or above a limit of humidity, of the last `hours`: at least and at most so many; of `known` hours the
    book can tell."""

    limit: float
    hours: float
    least: float
    most: float
    known: float

    @property
    def says(self) -> str:
        """ "about 5 h of the last 24 h", "not known ..."."""
        of = f"of the last {hours_text(self.hours)}"
        if self.known >= WELL_KNOWN * self.hours:
            return f"about {self.least:.0f} h {of}"
        if self.least >= 1:
            return f"at least {self.least:.0f} h {of} (readings tell {self.known:.0f} h)"
        if self.known >= BARELY_KNOWN * self.hours:
            return f"none {of} that readings tell ({self.known:.0f} h)"
        return f"not known: readings tell {self.known:.0f} h of the last {hours_text(self.hours)}"


def damp_hours(
    readings: list[tuple[float, float]],
    ranges: list[tuple[float, float, float, float]],
    limit: float,
    hours: float,
) -> Damp:
    """Hours at or above `limit` in the last `hours`.

    `readings` are (hours ago, RH), oldest first: between two that are near each other the air went straight from one
    to the other. `ranges` are (hours ago of its reset, hours ago of its reading, least, most RH): where one lies all
    below the limit, or all at or above it, it tells of the hours between readings as well.
    """
    seen = [
        (began, end, _share_over(first, after, limit) * (began - end))
        for (start, before), (end, after) in pairwise(readings)
        if start - end <= NEAR_HOURS and end < (began := min(start, hours))
        for first in [before + (after - before) * (start - began) / (start - end)]
    ]
    edges = [hours, *(edge for began, end, _ in seen for edge in (began, end)), 0.0]
    over, known = sum(one[2] for one in seen), sum(began - end for began, end, _ in seen)
    least, most = over, over
    for began, end in zip(edges[::2], edges[1::2], strict=True):
        wet = dry = 0.0
        for reset, read, low, high in ranges:
            shared = max(0.0, min(began, reset) - max(end, read))
            wet += shared * (low >= limit)
            dry += shared * (high < limit)
        least, most, known = least + wet, most + began - end - dry, known + wet + dry
    return Damp(limit, hours, least, most, known)


def _share_over(first: float, last: float, limit: float) -> float:
    """Share of a straight way from `first` to `last` that lies at `limit` or over."""
    low, high = min(first, last), max(first, last)
    if low >= limit:
        return 1.0
    return 0.0 if high < limit else (high - limit) / (high - low)


def standing(readings: list[tuple[float, float]], limit: float, freshest: float) -> float | None:
    """Hours up to the last reading for which humidity is known to have stood at `limit` or over.

    None where that reading is below it, or more than `freshest` hours old.
    """
    if not readings or readings[-1][0] > freshest or readings[-1][1] < limit:
        return None
    newest = began = readings[-1][0]
    for (start, before), (end, after) in pairwise(reversed(readings)):
        # backwards: `start` is the later of the two
        if end - start > NEAR_HOURS:
            break
        began = start + _share_over(before, after, limit) * (end - start)
        if after < limit:
            break
    return began - newest
