"""Days or weeks, by season: to come up, to the first cut, of cutting, to dry.

A season has one weather for all that stands in it: plants of one season are no more than one season. Each season's
mean lies about her ground's by a spread between seasons, which is itself hardly known from few seasons (half-Cauchy,
its scale a quarter of the sheet's width: Gelman 2006, Bayesian Analysis 1:515); the plants of a season lie about its
mean by a spread within, which is pooled over all of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log, pi, sqrt, tan
from typing import NamedTuple, TypeAlias

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
)
from core.reckon.learning.special import NORMAL, normal_upto

SHARE_OF_WIDTH = 0.25
"""Of the sheet's width: the spread between seasons, and that between the plants of one, that is usual (ours)."""
WITHIN_WORTH = 4
"""Plants beyond the first of a season that this counts for, of the spread within."""
_SPREADS = 16
_END = NORMAL.inv_cdf(0.95)


class SeasonDays(NamedTuple):
    """What a season showed: the `days` of each that came to its end, and of the others how long they had waited."""

    days: tuple[float, ...] = ()
    waited: tuple[float, ...] = ()


class Normal(NamedTuple):
    """A normal distribution."""

    mean: float
    sd: float


class Seen(NamedTuple):
    """A season's mean as far as it was seen: with that variance; `beyond`: it is known only that it is later."""

    mean: float
    variance: float
    beyond: bool = False


Spreads: TypeAlias = Sequence[tuple[float, float]]
"""Standard deviations between seasons that may be, each with its share."""


def prior_days(span: Span) -> Normal:
    """The days of which a sheet says "60 to 75": within the range nine times in ten; the ends must differ."""
    return Normal((span[0] + span[1]) / 2, (span[1] - span[0]) / 2 / _END)


def usual_spreads(span: Span) -> Spreads:
    """The spreads between seasons that may be: equal shares of a half-Cauchy distribution."""
    scale = SHARE_OF_WIDTH * (span[1] - span[0])
    return [(scale * tan(pi / 2 * (n + 0.5) / _SPREADS), 1 / _SPREADS) for n in range(_SPREADS)]


def spread_within(seasons: Sequence[SeasonDays], usual: float) -> float:
    """The standard deviation among the plants of one season, by the record and by what is usual."""
    freedom = sum(max(len(season.days) - 1, 0) for season in seasons)
    square = sum(
        sum((day - sum(season.days) / len(season.days)) ** 2 for day in season.days)
        for season in seasons
        if season.days
    )
    return sqrt((WITHIN_WORTH * usual**2 + square) / (WITHIN_WORTH + freedom))


def seen_of(season: SeasonDays, within: float) -> Seen | None:
    """What a season tells of its own mean; None where it tells nothing."""
    if season.days:
        mean, variance = sum(season.days) / len(season.days), within**2 / len(season.days)
        for waited in season.waited:
            mean, variance = _later_than(mean, variance, waited, within**2)[:2]
        return Seen(mean, variance)
    if season.waited:
        return Seen(max(season.waited), within**2, beyond=True)
    return None


def _later_than(mean: float, variance: float, waited: float, spread2: float) -> tuple[float, float, float]:
    """(mean, variance, chance beforehand) of a normal number once something about it, with that variance, was seen to
    be later: the normal distribution with the same mean and variance as what is then held."""
    total = sqrt(variance + spread2)
    z = (mean - waited) / total
    chance = max(normal_upto(z), 1e-300)
    lift = NORMAL.pdf(z) / chance if z > -30 else -z
    shift = variance / total * lift
    return mean + shift, max(variance - variance**2 / total**2 * lift * (z + lift), 1e-9), chance


def days_after(prior: Normal, seasons: Sequence[Seen], between: float) -> tuple[Normal, float]:
    """(the usual days of her ground after these seasons, the log of the chance of them), where the spread between
    seasons is known."""
    mean, variance, log_odds = prior.mean, prior.sd**2, 0.0
    for seen in seasons:
        spread2 = between**2 + seen.variance
        if seen.beyond:
            mean, variance, chance = _later_than(mean, variance, seen.mean, spread2)
            log_odds += log(chance)
            continue
        total = variance + spread2
        log_odds -= log(total) / 2 + (seen.mean - mean) ** 2 / total / 2
        mean, variance = mean + variance / total * (seen.mean - mean), variance * spread2 / total
    return Normal(mean, sqrt(variance)), log_odds


def learn_days(span: Span, seasons: Sequence[SeasonDays]) -> Estimate:
    """The usual days (or weeks) of her ground, from the sheet's range of them, the ends unlike, and her seasons."""
    within = spread_within(seasons, SHARE_OF_WIDTH * (span[1] - span[0]))
    seen = [one for season in seasons if (one := seen_of(season, within)) is not None]
    return learn_from(span, seen, usual_spreads(span))


def learn_from(span: Span, seen: Sequence[Seen], spreads: Spreads) -> Estimate:
    """The same from seasons' means, each as well as it was seen."""
    sheet = prior_days(span)
    priors = (
        (IN_THE_SHEET, sheet),
        (1 - IN_THE_SHEET, Normal(sheet.mean, WIDER * sheet.sd)),
    )
    found = [
        (share * chance, *days_after(prior, seen, between), between)
        for share, prior in priors
        for between, chance in spreads
    ]
    best = max(log_odds for _, _, log_odds, _ in found)
    shares = [(share * exp(log_odds - best), now, between) for share, now, log_odds, between in found]
    after = _belief([(share, now) for share, now, _ in shares])
    season = _belief([(share, Normal(now.mean, sqrt(now.sd**2 + b**2))) for share, now, b in shares])
    ends = season.at(ONE_SEASON_IN_TEN), season.at(1 - ONE_SEASON_IN_TEN)
    return estimate(_belief(priors), after, ends)


def _belief(normals: Sequence[tuple[float, Normal]]) -> Belief:
    pieces = mixed(_piece(share, now) for share, now in normals)
    reach = 10 * max(sqrt(piece.variance) for piece in pieces)
    return Belief(
        pieces, min(piece.mean for piece in pieces) - reach, max(piece.mean for piece in pieces) + reach
    )


def _piece(share: float, now: Normal) -> Piece:
    return Piece(share, now.mean, now.sd**2, lambda x: normal_upto(x, *now))
