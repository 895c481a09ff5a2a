"""The shapes in which a hanging bunch may dry, each with the share of the odds it has before anything is weighed.

    plain       exp(-k t)                                      Lewis
    bent        exp(-(k t)^n)                                  Page
    two parts   quick exp(-m k t) + (1 - quick) exp(-k t)      stems and leaves m times as fast as the heads

Lewis, Page and the two-term form are among those compared in Omolola, Kapila and Silungwe (Information Processing in
Agriculture, 2018: two-term best for Jew's mallow leaves), Chenarbon et al. (Afr. J. Food Sci. Technol. 3:149, 2012:
Page best for lavender) and Raol et al. (J. Agricultural Engineering 50(1), 2013: Page best for whole roses in shade).
No constants of any flower in the air of a shed were found published: the spread of n and of the two parts, and their
shares, are our own and weak.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log
from typing import NamedTuple

DRY_RATIO = 0.05
"""The share of the water still to lose at which a bunch counts as dry: moisture ratio 0.05."""
SPENT = -log(DRY_RATIO)


class Shape(NamedTuple):
    """One shape, by its ratio of times: 0 at the hanging, 1 when the moisture ratio is 0.05.

    `bend`: Page's n. `quick`, `times`: the share of the water in the quick part and how many times faster it goes.
    `pace`: -log of the ratio left of the slow part at time 1.
    """

    bend: float = 1.0
    quick: float = 0.0
    times: float = 1.0
    pace: float = SPENT

    @property
    def form(self) -> str:
        """ "lewis", "page" or "two parts"."""
        return "two parts" if self.quick else "lewis" if self.bend == 1 else "page"

    def ratio(self, time: float) -> float:
        """The share of the water still to be lost at a time, 1 at the hanging."""
        try:
            return self.ratios((max(time, 0.0),))[0]
        except OverflowError:  # dry so long before that the power has no number
            return 0.0

    def ratios(self, times: Sequence[float]) -> list[float]:
        """The same at each of some times from 0 on."""
        pace, quick = -self.pace, self.quick
        if quick:
            fast, slow = pace * self.times, 1 - quick
            return [quick * exp(fast * t) + slow * exp(pace * t) for t in times]
        if self.bend == 1:
            return [exp(pace * t) for t in times]
        bend = self.bend
        return [exp(pace * t**bend) for t in times]

    def time_of(self, ratio: float) -> float:
        """When it is down to a ratio between 0 and 1."""
        if not self.quick:
            return float((-log(ratio) / self.pace) ** (1 / self.bend))
        return _pace(self.quick, self.times, ratio) / self.pace


PLAIN = Shape()


def page(bend: float) -> Shape:
    """Page's shape: below 1 quick at first and slow to end, above 1 slow to begin."""
    return Shape(bend)


def two_parts(quick: float, times: float) -> Shape:
    """Two parts side by side, `quick` of the water going `times` as fast as the rest."""
    return Shape(1.0, quick, times, _pace(quick, times, DRY_RATIO))


def _pace(quick: float, times: float, ratio: float) -> float:
    """x with quick exp(-times x) + (1 - quick) exp(-x) = ratio, by halving."""
    low, high = 0.0, -log(ratio)
    for _ in range(60):
        middle = (low + high) / 2
        if quick * exp(-times * middle) + (1 - quick) * exp(-middle) > ratio:
            low = middle
        else:
            high = middle
    return (low + high) / 2


_PLAIN_SHARE, _PAGE_SHARE, _PARTS_SHARE = 0.2, 0.3, 0.5
_PAGES = (0.7, 0.85, 1.13, 1.3, 1.5)
_PARTS = ((0.5, 2.5), (0.5, 3.5), (0.5, 5.0), (0.65, 3.0), (0.65, 5.0), (0.8, 1.8), (0.8, 3.5), (0.9, 2.2))

SHAPES: tuple[tuple[Shape, float], ...] = (
    (PLAIN, _PLAIN_SHARE),
    *((page(bend), _PAGE_SHARE / len(_PAGES)) for bend in _PAGES),
    *((two_parts(*parts), _PARTS_SHARE / len(_PARTS)) for parts in _PARTS),
)
"""(shape, share of the odds beforehand)."""
