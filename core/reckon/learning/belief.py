"""What is held of a figure after its seasons: a mixture of distributions, its mean, its interval, what a season brings.

A sheet's range is taken so: her own ground's usual figure lies within it nine times in ten. Single seasons lie about
that by a quarter of the range's width (one standard deviation): taken together a season's figure lies within the range
eight times in ten, which is what a range says of seasons everywhere else (core.reckon.spreads). One time in five, it is
held possible, her ground is not as the sheet has it: then the same middle, with three times the spread.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias

from core.reckon.learning.special import TAIL, at_chance

Span: TypeAlias = tuple[float, float]

IN_THE_SHEET = 0.8
"""How far a sheet is believed to speak of her ground (ours; by simulation enough for a ground outside of it)."""
WIDER = 3.0
"""How many times the spread is that is held possible where it does not."""
ONE_SEASON_IN_TEN = 0.1
_GRID = 600


class Estimate(NamedTuple):
    """A figure by her own record, weighed against the sheet's range.

    `own` is the usual figure of her ground, which lies from `low` to `high` nine times in ten; a single season lies
    from `season_low` to `season_high` eight times in ten. `weight` is the share of it that her record carries, 0 to 1.
    """

    own: float
    low: float
    high: float
    season_low: float
    season_high: float
    weight: float


class Piece(NamedTuple):
    """One distribution of a mixture: its share, its mean and variance, and the chance to be at most a value."""

    share: float
    mean: float
    variance: float
    upto: Callable[[float], float]


@dataclass(frozen=True, slots=True)
class Belief:
    """A mixture of distributions; shares sum to 1. `least` and `most` bound what can be."""

    pieces: tuple[Piece, ...]
    least: float
    most: float

    @property
    def mean(self) -> float:
        return sum(piece.share * piece.mean for piece in self.pieces)

    @property
    def variance(self) -> float:
        mean = self.mean
        return sum(p.share * (p.variance + (p.mean - mean) ** 2) for p in self.pieces)

    def upto(self, x: float) -> float:
        """The chance that the figure is at most x."""
        return sum(piece.share * piece.upto(x) for piece in self.pieces)

    def at(self, chance: float) -> float:
        """The value that is not passed with that chance."""
        return at_chance(self.upto, chance, self.least, self.most)

    @property
    def interval(self) -> Span:
        """From where to where it lies nine times in ten."""
        return self.at(TAIL), self.at(1 - TAIL)


def mixed(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """Pieces with their shares brought to a sum of 1; those that carry nothing are left out."""
    every = list(pieces)
    top = max(piece.share for piece in every)
    kept = [piece for piece in every if piece.share > 1e-5 * top]
    whole = sum(piece.share for piece in kept)
    return tuple(piece._replace(share=piece.share / whole) for piece in kept)


def told_by(seasons: int) -> float:
    """How far so many seasons may tell whether her ground is as the sheet has it: of one alone that was far off it
    cannot be known whether it was the season."""
    return (seasons - 1) / seasons if seasons else 0.0


def tilted(belief: Belief, likely: Callable[[float], float]) -> Belief:
    """The belief after something was seen that is `likely` (0 to 1) where the figure is x: on a grid of values."""
    low, high = belief.at(1e-5), belief.at(1 - 1e-5)
    step = (high - low) / _GRID
    values = [low + (n + 0.5) * step for n in range(_GRID)]
    edges = [belief.upto(low + n * step) for n in range(_GRID + 1)]
    odds = [(edges[n + 1] - edges[n]) * likely(x) for n, x in enumerate(values)]
    total = sum(odds)
    if total <= 0:
        return belief
    upto = [0.0]
    for one in odds:
        upto.append(upto[-1] + one / total)
    mean = sum(o * x for o, x in zip(odds, values, strict=True)) / total
    variance = sum(o * (x - mean) ** 2 for o, x in zip(odds, values, strict=True)) / total

    def cumulated(x: float) -> float:
        place = min(max((x - low) / step, 0.0), float(_GRID))
        n = min(int(place), _GRID - 1)
        return upto[n] + (place - n) * (upto[n + 1] - upto[n])

    return Belief((Piece(1.0, mean, variance, cumulated),), low, high)


def estimate(before: Belief, after: Belief, season: Span) -> Estimate:
    """What is told of a figure, from what was held before its seasons and after them."""
    (low, high), (was_low, was_high) = after.interval, before.interval
    weight = 1 - ((high - low) / (was_high - was_low)) ** 2
    return Estimate(after.mean, low, high, *season, min(max(weight, 0.0), 1.0))
