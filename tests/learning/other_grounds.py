"""Grounds whose true figures are known, made up by another hand than the estimates: no normal, beta or gamma
distribution of theirs is used where another will do.

A ground's usual figure is drawn with nine in ten of its chances within the sheet's range (a triangle, or a logistic
distribution). Seasons lie about it by a two-piece uniform or a logistic distribution, plants about their season by a
Weibull or a uniform one, seeds come up in clumps that live or die together.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from core.reckon.learning.belief import Estimate
from core.reckon.learning.counts import SeasonCount, learn_count
from core.reckon.learning.days import SeasonDays, Seen, learn_days, learn_from
from core.reckon.learning.shares import SeasonShare, learn_share

Rng = np.random.Generator
Span = tuple[float, float]


class Held(NamedTuple):
    """Of so many runs the share in which the interval held the truth, and how wide it was in the middle run."""

    share: float
    width: float


def truth_in(rng: Rng, span: Span) -> float:
    """A ground's usual figure, within the range nine times in ten."""
    middle, half = sum(span) / 2, (span[1] - span[0]) / 2
    if rng.random() < 0.5:
        reach = half / (1 - np.sqrt(0.1))  # of a triangle on (-1, 1) 90 % lie within 1 - sqrt(0.1)
        return float(rng.triangular(middle - reach, middle, middle + reach))
    scale = half / np.log(0.95 / 0.05)
    return float(rng.logistic(middle, scale))


def turn(rng: Rng, sd: float) -> float:
    """By how much a season differs from the usual, with that standard deviation."""
    if rng.random() < 0.5:
        return float(rng.uniform(-np.sqrt(3), np.sqrt(3)) * sd)
    return float(rng.logistic(0, sd * np.sqrt(3) / np.pi))


def days_of_a_season(rng: Rng, usual: float, plants: int, between: float, within: float) -> SeasonDays:
    """Whole days, plant by plant, skewed: some stragglers."""
    mean = usual + turn(rng, between)
    # Weibull with shape 2 has mean .8862 and standard deviation .4633
    days = mean + (rng.weibull(2, plants) - 0.8862) / 0.4633 * within
    return SeasonDays(tuple(np.round(days)))


def share_of_a_season(rng: Rng, usual: float, of: int, swing: float) -> SeasonShare:
    """Seeds that come up; the season moves the share on the scale of its odds."""
    odds = np.log(usual / (1 - usual)) + turn(rng, swing)
    share = 1 / (1 + np.exp(-odds))
    return SeasonShare(int((rng.random(of) < share).sum()), of)


def count_of_a_season(rng: Rng, usual: float, plants: int, swing: float) -> SeasonCount:
    """Whole stems of unlike plants."""
    season = usual * np.exp(turn(rng, swing) - swing**2 / 2)
    each = rng.uniform(0.4, 1.6, plants) * season
    return SeasonCount(float(np.floor(each + rng.random(plants)).sum()), plants)


Learn = Callable[[Rng, float], Estimate]


def held(learn: Learn, truth: Callable[[Rng], float], runs: int, seed: int = 1) -> Held:
    """How often the interval held the truth."""
    rng, inside, widths = np.random.default_rng(seed), 0, []
    for _ in range(runs):
        usual = truth(rng)
        found = learn(rng, usual)
        inside += found.low <= usual <= found.high
        widths.append(found.high - found.low)
    return Held(inside / runs, float(np.median(widths)))


DAYS: Span = (60.0, 75.0)
SHARE: Span = (0.70, 0.90)
LOSS: Span = (0.05, 0.10)
STEMS: Span = (6.0, 12.0)


def learning_days(seasons: int, between: float = 4.0, plants: int = 12, span: Span = DAYS) -> Learn:
    def learn(rng: Rng, usual: float) -> Estimate:
        return learn_days(span, [days_of_a_season(rng, usual, plants, between, 6.0) for _ in range(seasons)])

    return learn


def pooling_plants(seasons: int) -> Learn:
    """The wrong way: every plant by itself, seasons forgotten."""

    def learn(rng: Rng, usual: float) -> Estimate:
        every = [day for _ in range(seasons) for day in days_of_a_season(rng, usual, 40, 4.0, 6.0).days]
        mean, variance = float(np.mean(every)), float(np.var(every, ddof=1)) / len(every)
        return learn_from(DAYS, [Seen(mean, variance)], [(0.0, 1.0)])

    return learn


def learning_shares(seasons: int, swing: float = 0.5, of: int = 150, span: Span = SHARE) -> Learn:
    """`swing` of the log odds: at a share of 0.8 half a unit moves it by 0.08, at 0.07 by 0.04."""

    def learn(rng: Rng, usual: float) -> Estimate:
        return learn_share(span, [share_of_a_season(rng, usual, of, swing) for _ in range(seasons)])

    return learn


def learning_losses(seasons: int) -> Learn:
    """A small share: what is lost in drying."""
    return learning_shares(seasons, swing=0.4, of=300, span=LOSS)


def learning_counts(seasons: int, swing: float = 0.2, plants: int = 60) -> Learn:
    def learn(rng: Rng, usual: float) -> Estimate:
        return learn_count(STEMS, [count_of_a_season(rng, usual, plants, swing) for _ in range(seasons)])

    return learn


def in_sheet(span: Span, least: float = -np.inf, most: float = np.inf) -> Callable[[Rng], float]:
    return lambda rng: min(max(truth_in(rng, span), least), most)


def outside(rng: Rng) -> float:
    """Three to seven days later than the sheet's latest."""
    return float(rng.uniform(DAYS[1] + 3, DAYS[1] + 7))


WAYS: dict[str, tuple[Callable[[int], Learn], Callable[[Rng], float]]] = {
    "days": (learning_days, in_sheet(DAYS)),
    "shares": (learning_shares, in_sheet(SHARE, 0.3, 0.985)),
    "losses": (learning_losses, in_sheet(LOSS, 0.01, 0.3)),
    "counts": (learning_counts, in_sheet(STEMS, 1.0)),
}
