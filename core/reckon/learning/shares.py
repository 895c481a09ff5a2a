"""A share of things that went one way or the other, by season: came up or not, culled or not, dried whole or not.

What happens to a tray or a lot happens to all of it alike, so a season of n things tells no more than
n / (1 + (n - 1) r) of them, each by itself, where r is how alike those of one season fare: never more than 1 / r,
however many were counted. Beta-binomial: Gelman et al., Bayesian Data Analysis, ch. 2 and 5.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import exp, lgamma, sqrt
from typing import NamedTuple

from core.reckon.learning.belief import (
    IN_THE_SHEET,
    ONE_SEASON_IN_TEN,
    WIDER,
    Belief,
    Estimate,
    Piece,
    Span,
    estimate,
    mixed,
    told_by,
)
from core.reckon.learning.special import NORMAL, beta_upto, spread_of_beta, through

ALIKE = 0.05
"""How alike the things of one season fare where her record does not say (ours)."""
SMALL_SWING = 0.4
"""Of itself, by which a small share at most goes up and down between seasons where her record does not say (ours):
a loss of one in ten is not often one in five."""
ALIKE_WORTH = 2
"""The seasons beyond the first that this counts for."""
MOST_ALIKE = 0.5
LEAST_SHARE, LEAST_WIDTH = 0.002, 0.02
"""No range of a share reaches nearer to 0 or 1, and none is narrower."""


class SeasonShare(NamedTuple):
    """Of `of` things of a season `part` went that way."""

    part: int
    of: int


class Beta(NamedTuple):
    """A share as Beta(a, b)."""

    a: float
    b: float

    @property
    def mean(self) -> float:
        return self.a / (self.a + self.b)

    def after(self, part: float, of: float) -> Beta:
        """The share once `part` of `of` things, each by itself, went that way."""
        return Beta(self.a + part, self.b + of - part)


@lru_cache(maxsize=256)
def prior_share(span: Span) -> Beta:
    """The share of which a sheet says "70 to 90 %": within the range (0 to 1) nine times in ten."""
    narrow = max(LEAST_WIDTH - (span[1] - span[0]), 0) / 2
    low, high = max(span[0] - narrow, LEAST_SHARE), min(span[1] + narrow, 1 - LEAST_SHARE)
    mean, sd = (low + high) / 2, (high - low) / 2 / 1.645
    worth = max(mean * (1 - mean) / sd**2 - 1, 2.0)
    return Beta(*through(beta_upto, (low, high), (mean * worth, (1 - mean) * worth)))


def wider(prior: Beta) -> Beta:
    """The same middle with three times the spread, or as wide as a share can be without a peak at 0 or 1."""
    worth = (prior.a + prior.b + 1) / WIDER**2 - 1
    worth = max(worth, 1 / min(prior.mean, 1 - prior.mean))
    worth = min(worth, prior.a + prior.b)
    return Beta(prior.mean * worth, (1 - prior.mean) * worth)


def worth_of(of: float, alike: float) -> float:
    """How many things, each by itself, tell as much as `of` things of one season that fare so alike."""
    return of / (1 + (of - 1) * alike) if of > 0 else 0.0


def usual_alike(share: float) -> float:
    """How alike the things of one season fare where a share is usually so (above 0, below 1)."""
    less = min(share, 1 - share)
    return min(ALIKE, SMALL_SWING**2 * less / (1 - less))


def alike_of(seasons: Sequence[SeasonShare], usual: float = ALIKE) -> float:
    """How alike the things of one season fare, by the record and by what is `usual`: from 0 to 0.5.

    By analysis of variance on shares (Fleiss, Levin & Paik 2003, ch. 15), weighed with the usual.
    """
    told = [season for season in seasons if season.of > 1]
    groups, total = len(told), sum(season.of for season in told)
    if groups < 2:
        return usual
    mean = sum(season.part for season in told) / total
    between = sum(s.of * (s.part / s.of - mean) ** 2 for s in told) / (groups - 1)
    within = sum(s.part * (1 - s.part / s.of) for s in told) / (total - groups)
    size = (total - sum(s.of**2 for s in told) / total) / (groups - 1)
    spread = between + (size - 1) * within
    found = (between - within) / spread if spread > 0 else usual
    found = min(max(found, 0.0), 1.0)
    return min((ALIKE_WORTH * usual + (groups - 1) * found) / (ALIKE_WORTH + groups - 1), MOST_ALIKE)


def share_after(prior: Beta, seasons: Sequence[SeasonShare], alike: float) -> Beta:
    """The share after these seasons, each counted for as many things as it is worth."""
    for part, of in seasons:
        if of > 0:
            worth = worth_of(of, alike)
            prior = prior.after(worth * part / of, worth)
    return prior


def learn_share(span: Span, seasons: Sequence[SeasonShare]) -> Estimate:
    """A share (0 to 1) of her ground, from the sheet's range of it and her seasons."""
    before = prior_share(span)
    alike = alike_of(seasons, usual_alike(before.mean))
    priors = ((IN_THE_SHEET, before), (1 - IN_THE_SHEET, wider(before)))
    told = told_by(sum(season.of > 0 for season in seasons))
    belief = _belief([(share, prior, share_after(prior, seasons, alike)) for share, prior in priors], told)
    spread = sqrt(belief.variance + belief.mean * (1 - belief.mean) * alike)
    reach = NORMAL.inv_cdf(1 - ONE_SEASON_IN_TEN) * spread
    season = max(belief.mean - reach, 0.0), min(belief.mean + reach, 1.0)
    return estimate(_belief([(share, prior, prior) for share, prior in priors]), belief, season)


def _belief(updated: Sequence[tuple[float, Beta, Beta]], told: float = 1.0) -> Belief:
    """The mixture of what each prior became, by how well it foretold the seasons."""
    foretold = [told * (_log_beta(now) - _log_beta(was)) for _, was, now in updated]
    best = max(foretold)
    pieces = [
        _piece(share * exp(log_odds - best), now)
        for (share, _, now), log_odds in zip(updated, foretold, strict=True)
    ]
    return Belief(mixed(pieces), 0.0, 1.0)


def _piece(share: float, beta: Beta) -> Piece:
    return Piece(share, beta.mean, spread_of_beta(*beta) ** 2, lambda x: beta_upto(x, *beta))


def _log_beta(beta: Beta) -> float:
    return lgamma(beta.a) + lgamma(beta.b) - lgamma(beta.a + beta.b)
