"""A count for each of so many, by season: stems a plant.

Plants of one season fare alike: their rate goes up and down from season to season by a share c of itself. So e plants
of a season tell no more than e / (1 + e m c^2) of them, each by itself, where m is the usual count of a plant.
Gamma-Poisson: Gelman et al., Bayesian Data Analysis, ch. 2.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache, partial
from math import exp, lgamma, log, sqrt
from typing import NamedTuple

from core.reckon.learning.belief import (
    IN_THE_SHEET,
    WIDER,
    Belief,
    Estimate,
    Piece,
    Span,
    estimate,
    mixed,
    tilted,
    told_by,
)
from core.reckon.learning.special import NORMAL, gamma_upto, normal_upto, through

SWING = 0.25
"""The share of itself by which a season's rate goes up and down where her record does not say: a quarter, by which a
plan widens a single figure (ours)."""
SWING_WORTH = 2
MOST_SWING = 1.0
LEAST_COUNT = 0.05


class SeasonCount(NamedTuple):
    """`seen` in a season of so many plants (`of`); where `more` was to come, at least so many."""

    seen: float
    of: float
    more: bool = False


class Gamma(NamedTuple):
    """A rate as Gamma(shape, rate): rate, not scale."""

    shape: float
    rate: float

    @property
    def mean(self) -> float:
        return self.shape / self.rate

    def after(self, count: float, of: float) -> Gamma:
        """The rate once `count` was seen of `of` plants, each by itself."""
        return Gamma(self.shape + count, self.rate + of)


@lru_cache(maxsize=256)
def prior_count(span: Span) -> Gamma:
    """The count of which a sheet says "6 to 12": within the range nine times in ten; the ends must differ."""
    low, high = max(span[0], LEAST_COUNT), max(span[1], 2 * LEAST_COUNT)
    mean, sd = (low + high) / 2, (high - low) / 2 / 1.645
    return Gamma(*through(lambda x, a, b: gamma_upto(x, a, b), (low, high), (mean**2 / sd**2, mean / sd**2)))


def wider(prior: Gamma) -> Gamma:
    """The same middle with three times the spread, or as wide as a count can be without a peak at 0."""
    shape = min(max(prior.shape / WIDER**2, 1.0), prior.shape)
    return Gamma(shape, shape / prior.mean)


def worth_of(of: float, usual: float, swing: float) -> float:
    """How many plants, each by itself, tell as much as `of` plants of one season."""
    return of / (1 + of * usual * swing**2)


def swing_of(seasons: Sequence[SeasonCount]) -> float:
    """The share of itself by which a season's rate goes up and down, by the record and by what is usual."""
    told = [season for season in seasons if season.of > 0 and not season.more]
    groups, plants, count = len(told), sum(s.of for s in told), sum(s.seen for s in told)
    if groups < 2 or count <= 0:
        return SWING
    mean = count / plants
    between = sum(s.of * (s.seen / s.of - mean) ** 2 for s in told) / (groups - 1)
    size = (plants - sum(s.of**2 for s in told) / plants) / (groups - 1)
    found = max(between - mean, 0.0) / size / mean**2 if size > 0 else SWING**2
    squared = (SWING_WORTH * SWING**2 + (groups - 1) * found) / (SWING_WORTH + groups - 1)
    return min(sqrt(squared), MOST_SWING)


def count_after(prior: Gamma, seasons: Sequence[SeasonCount], usual: float, swing: float) -> Gamma:
    """The rate after these seasons, each counted for as many plants as it is worth; `usual` is the usual rate."""
    for seen, of, _ in seasons:
        if of > 0:
            worth = worth_of(of, usual, swing)
            prior = prior.after(seen * worth / of, worth)
    return prior


def learn_count(span: Span, seasons: Sequence[SeasonCount]) -> Estimate:
    """A count a plant on her ground, from the sheet's range of it and her seasons; what still stands or was taken out
    early gave so many at least."""
    before, swing = prior_count(span), swing_of(seasons)
    whole = [season for season in seasons if not season.more]
    priors = ((IN_THE_SHEET, before), (1 - IN_THE_SHEET, wider(before)))
    belief = _belief(
        [(share, prior, count_after(prior, whole, before.mean, swing)) for share, prior in priors],
        told_by(len(whole)),
    )
    for seen, of, more in seasons:
        if more and of > 0 and seen > 0:
            belief = tilted(belief, partial(_more_than, seen / of, swing))
    apart = sqrt(belief.variance + 2 * (swing * belief.mean) ** 2)  # as much again from plant to plant
    reach = NORMAL.inv_cdf(0.9) * apart
    season = max(belief.mean - reach, 0.0), belief.mean + reach
    return estimate(_belief([(share, prior, prior) for share, prior in priors]), belief, season)


def _more_than(seen: float, swing: float, usual: float) -> float:
    """The chance of a season with a rate above what was seen of it, where the rate is usually so."""
    return normal_upto((log(max(usual, 1e-9)) - log(seen)) / swing)


def _belief(updated: Sequence[tuple[float, Gamma, Gamma]], told: float = 1.0) -> Belief:
    foretold = [told * (_log_size(now) - _log_size(was)) for _, was, now in updated]
    best = max(foretold)
    most = max(now.mean + 12 * sqrt(now.shape) / now.rate for _, _, now in updated)
    pieces = [
        _piece(share * exp(log_odds - best), now)
        for (share, _, now), log_odds in zip(updated, foretold, strict=True)
    ]
    return Belief(mixed(pieces), 0.0, most)


def _piece(share: float, gamma: Gamma) -> Piece:
    return Piece(share, gamma.mean, gamma.shape / gamma.rate**2, lambda x: gamma_upto(x, *gamma))


def _log_size(gamma: Gamma) -> float:
    return lgamma(gamma.shape) - gamma.shape * log(gamma.rate)
