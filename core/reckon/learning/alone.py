"""A figure of which no sheet says anything, by the means of its seasons: a price, the minutes a stem takes.

A normal distribution of which neither mean nor spread is known (Hoff 2009, A First Course in Bayesian Statistical
Methods, ch. 5). Numbers that cannot be below 0 are taken by their logarithms.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log, sqrt
from typing import NamedTuple

from core.reckon.learning.belief import ONE_SEASON_IN_TEN, Estimate, Span
from core.reckon.learning.special import TAIL, at_chance, t_upto

USUAL_TURN = 0.15
"""Of itself, what a season's mean differs from the usual where her record does not say (ours)."""
TURN_WORTH = 2.0
_REACH = 200.0


class Guess(NamedTuple):
    """What is held beforehand: the `mean`, worth so many seasons; the `spread` between seasons, worth so many."""

    mean: float = 0.0
    mean_worth: float = 0.0
    spread: float = USUAL_TURN
    spread_worth: float = TURN_WORTH


class Usual(NamedTuple):
    """The usual figure: Student's t with `freedom` degrees about `mean`; `spread` is that between seasons."""

    mean: float
    scale: float
    spread: float
    freedom: float

    def at(self, chance: float) -> float:
        """The value of the usual figure that is not passed with that chance."""
        return self.mean + self.scale * self._t(chance)

    def season_at(self, chance: float) -> float:
        """The value of a single season that is not passed with that chance."""
        return self.mean + sqrt(self.scale**2 + self.spread**2) * self._t(chance)

    def _t(self, chance: float) -> float:
        return at_chance(lambda x: t_upto(x, self.freedom), chance, -_REACH, _REACH)


def usual_of(guess: Guess, seasons: Sequence[float]) -> Usual:
    """The usual figure after the means of these seasons, one at least."""
    n = len(seasons)
    mean = sum(seasons) / n
    worth = guess.mean_worth + n
    now = (guess.mean_worth * guess.mean + n * mean) / worth
    freedom = guess.spread_worth + n - (0 if guess.mean_worth else 1)  # a flat mean costs one season
    square = (
        guess.spread_worth * guess.spread**2
        + sum((season - mean) ** 2 for season in seasons)
        + guess.mean_worth * n / worth * (mean - guess.mean) ** 2
    )
    spread = sqrt(square / freedom)
    return Usual(now, spread / sqrt(worth), spread, freedom)


def learn_alone(seasons: Sequence[float]) -> Estimate:
    """A figure above 0 by its seasons alone: all that is told of it is hers."""
    usual = usual_of(Guess(), [log(season) for season in seasons])
    ends: Span = exp(usual.at(TAIL)), exp(usual.at(1 - TAIL))
    return Estimate(
        exp(usual.mean),
        *ends,
        exp(usual.season_at(ONE_SEASON_IN_TEN)),
        exp(usual.season_at(1 - ONE_SEASON_IN_TEN)),
        1.0,
    )
