"""How the estimates of a farm whose truths are known compare with its sheets, season by season.

"The estimates beat the sheet on nine figures of ten" is taken of kinds of figures (days to come up, culls, ...): over
many farms, crops and seasons the mean error of the estimate is below that of the sheet's middle. Of single figures it
cannot be asked: the truth lies near the middle of a range that is any good, and where two seasons do not tell on which
side of it, no estimate can know. How often they do tell (`right_side`) bounds the share of any estimate; it is printed
beside the share that was won.
"""

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
    """One figure of one farm after so many seasons: how far estimate and sheet are off, in widths of its range;
    whether the estimate lies on that side of the sheet's middle on which the truth lies; whether the interval held it.
    """

    figure: str
    seasons: int
    estimate_off: float
    sheet_off: float
    right_side: bool
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
            width, middle = high - low, (low + high) / 2
            yield Compared(
                key[1],
                n,
                abs(row.own - truth) / width,
                abs(middle - truth) / width,
                (row.own > middle) == (truth > middle),
                row.low <= truth <= row.high,
            )


def wins(some: Iterable[Compared], least: float = TOLD_APART) -> tuple[float, int]:
    """(the share of figures of which the estimate is nearer to the truth, how many they are), of those of which the
    sheet is off by `least` widths or more."""
    off = [one for one in some if one.sheet_off >= least]
    return sum(one.estimate_off < one.sheet_off for one in off) / len(off), len(off)


def error_of(some: Iterable[Compared]) -> float:
    """The mean error of the estimates beside that of the sheet's middle: below 1 they beat it."""
    every = list(some)
    return sum(one.estimate_off for one in every) / sum(one.sheet_off for one in every)


def error_by_kind(some: Iterable[Compared]) -> dict[str, float]:
    """The same for each kind of figure."""
    every = list(some)
    kinds = dict.fromkeys(one.figure for one in every)
    return {kind: error_of(one for one in every if one.figure == kind) for kind in kinds}
