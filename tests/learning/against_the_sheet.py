"""How the estimates of a farm whose truths are known compare with its sheets, season by season."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import NamedTuple

from core.learning.rows import learned
from tests.learning.five_seasons import FIRST_YEAR, write_farm

TOLD_APART = 0.15
"""Of its width, by which the middle of a sheet's range must miss the truth for an estimate to be able to beat it: where
the truth lies at the middle none can."""


class Compared(NamedTuple):
    """One figure of one farm after so many seasons: how far estimate and sheet are off, in widths of its range."""

    figure: str
    seasons: int
    estimate_off: float
    sheet_off: float
    held: bool


def compared(seed: int, years: int) -> Iterator[Compared]:
    """Every figure of a farm after each of its seasons."""
    farm = write_farm(seed, years)
    for n, after in enumerate(farm.after, 1):
        rows = {
            (row.crop, row.figure): row
            for row in learned(after, date(FIRST_YEAR + n - 1, 12, 20))
            if row.variety is None
        }
        for key, truth in farm.truths.items():
            (low, high), row = farm.sheets[key], rows[key]
            width = high - low
            yield Compared(
                key[1],
                n,
                abs(row.own - truth) / width,
                abs((low + high) / 2 - truth) / width,
                row.low <= truth <= row.high,
            )


def wins(some: Iterable[Compared], least: float = TOLD_APART) -> tuple[float, int]:
    """(the share of figures of which the estimate is nearer to the truth, how many they are), of those of which the
    sheet is off by `least` widths or more."""
    off = [one for one in some if one.sheet_off >= least]
    return sum(one.estimate_off < one.sheet_off for one in off) / len(off), len(off)
