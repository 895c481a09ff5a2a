"""The frost dates of a farm, and what they mean to a crop: which one it waits for, and which one ends its cutting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from core.crops.sheet import HardinessClass, Sheet
from core.dialect import told_degrees, told_frost
from core.units import short_day

Odds = Mapping[tuple[int, int], date]
"""(threshold in F, chance in a hundred) -> date: the chance of that cold after the date in spring, before it
in autumn. (32, 50) is the average last or first frost; (32, 10) in spring is safe nine years in ten.
"""


@dataclass(frozen=True, slots=True)
class Frost:
    """The frost dates a farm has for one season; any of them may be missing.

    `said` says by (season, threshold, risk) where a date comes from, for those that were not typed by hand.
    """

    spring: Odds = field(default_factory=dict)
    autumn: Odds = field(default_factory=dict)
    said: Mapping[tuple[str, int, int], str] = field(default_factory=dict)

    @classmethod
    def average(cls, last: date, first: date | None = None) -> Frost:
        """Only the average last (and perhaps first) 32 F frost is known."""
        return cls({(32, 50): last}, {(32, 50): first} if first is not None else {})

    @property
    def last_frost(self) -> date | None:
        """The average last frost: the 32 F date at 50 %; None where it has not been typed."""
        return self.spring.get((32, 50))

    @property
    def in_south(self) -> bool:
        """Whether they are those of a farm south of the equator: its frosts end in the second half of the year."""
        return any(day.month > 7 for day in self.spring.values())


SPRING_BOUNDS: dict[HardinessClass, tuple[tuple[int, int], ...]] = {
    "hardy": ((24, 50), (28, 50)),
    "half-hardy": ((28, 50), (28, 10)),
    "tender": ((32, 10), (36, 10)),
}
"""The spring dates before which a class is not set out: the first of them that is typed (common practice)."""

Bounds = Mapping[HardinessClass, tuple[tuple[int, int], ...]]
"""A farm's own (threshold F, risk %) for some classes, tried in their order before the usual ones."""

AUTUMN_BOUNDS: dict[HardinessClass, tuple[int, ...]] = {
    "hardy": (24, 28, 32, 36),
    "half-hardy": (28, 32, 36),
    "tender": (32, 36),
}
"""The autumn cold that ends cutting of a class; a warmer date stands in where it has not been typed."""


def spring_bound(
    kind: HardinessClass, frost: Frost, own: Sequence[tuple[int, int]] = ()
) -> tuple[int, int] | None:
    """The spring date a class waits for: (threshold F, risk %); None where none of them is known."""
    return next((odds for odds in (*own, *SPRING_BOUNDS[kind]) if odds in frost.spring), None)


def autumn_bound(kind: HardinessClass, frost: Frost) -> tuple[int, int] | None:
    """The autumn cold that ends cutting of a class: (threshold F, risk %), the risk nearest to one year in two."""
    for threshold in AUTUMN_BOUNDS[kind]:
        known = sorted((abs(risk - 50), risk) for at, risk in frost.autumn if at == threshold)
        if known:
            return threshold, known[0][1]
    return None


class FrostFor:
    """The frost dates as one crop has them; `own` are the farm's own spring dates to wait for, by its class."""

    def __init__(self, sheet: Sheet, frost: Frost, own: Sequence[tuple[int, int]] = ()) -> None:
        self.hardiness, self.frost, self.own = sheet.hardiness_class, frost, own

    def average(self) -> str:
        """The average last frost and where its date comes from."""
        day = self.frost.last_frost
        return f"{short_day(day)}{self.said('spring', (32, 50))}" if day is not None else ""

    def said(self, season: str, odds: tuple[int, int] | None) -> str:
        """Where a frost date comes from, in brackets; "" where it was typed by hand."""
        said = self.frost.said.get((season, *odds)) if odds is not None else None
        return f" ({said})" if said else ""

    def whose(self, threshold: int, risk: int) -> str:
        """Who says that the class waits for that date."""
        if (threshold, risk) in self.own:
            return "the farm's own choice"
        if self.own:
            wanted = " or ".join(f"{told_frost(at)} at {chance} %" for at, chance in self.own)
            return f"common practice; {wanted}, the farm's own choice, is not known"
        return "common practice"

    def spring(self) -> tuple[date, tuple[int, int]] | None:
        odds = spring_bound(self.hardiness, self.frost, self.own)
        return (self.frost.spring[odds], odds) if odds is not None else None

    def autumn(self) -> tuple[date, str] | None:
        """The day cutting ends, and what it is called."""
        odds = self.autumn_odds()
        if odds is None:
            return None
        threshold, risk = odds
        day = self.frost.autumn[odds]
        wanted = AUTUMN_BOUNDS[self.hardiness][0]
        instead = "" if threshold == wanted else f"; the {told_degrees(wanted)} date is not typed"
        return (
            day,
            f"the first {told_frost(threshold)} in fall, {short_day(day)} ({risk} years of 100{instead})",
        )

    def autumn_odds(self) -> tuple[int, int] | None:
        return autumn_bound(self.hardiness, self.frost)
