"""A variety beside the others of its crop that stood in the same seasons.

Weather is the same for all that stands in a season: how a variety differs from its crop is seen best within seasons,
and what a season does to all of them is seen on the crop as a whole. So a variety's figure is the crop's, moved by the
difference: normal, with its prior about none (Gelman & Hill 2007, Data Analysis Using Regression and
Multilevel/Hierarchical Models, ch. 12: partial pooling).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple

from core.reckon.learning.belief import Estimate
from core.reckon.learning.special import NORMAL, TAIL

SHARE_OF_WIDTH = 0.25
"""Of the sheet's width: how varieties of a crop differ, as one standard deviation, and what is sown or set out of one
in the same season (ours)."""
_END = NORMAL.inv_cdf(1 - TAIL)


class Beside(NamedTuple):
    """By how much a variety was above its crop as a whole in one season, and the variance of that."""

    difference: float
    variance: float


def beside(own: float, own_variance: float, others: float, others_variance: float, share: float) -> Beside:
    """A variety that was `own` beside others that were `others`, where its `share` of the whole is from 0 to 1."""
    left = 1 - share
    return Beside(left * (own - others), left**2 * (own_variance + others_variance))


def moved(whole: Estimate, seasons: Sequence[Beside], spread: float, least: float, most: float) -> Estimate:
    """The variety's figure from the crop's and from the seasons in which both stood; `spread` (above 0) is that between
    varieties, `least` and `most` what the figure can be."""
    worth = 1 / spread**2 + sum(1 / one.variance for one in seasons)
    by = sum(one.difference / one.variance for one in seasons) / worth
    more = _END**2 / worth

    def held(value: float) -> float:
        return min(max(value, least), most)

    return Estimate(
        held(whole.own + by),
        held(whole.own + by - sqrt((whole.own - whole.low) ** 2 + more)),
        held(whole.own + by + sqrt((whole.high - whole.own) ** 2 + more)),
        held(whole.season_low + by),
        held(whole.season_high + by),
        whole.weight,
    )
