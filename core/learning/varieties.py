"""What a variety's seasons say of it beside those of its crop as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import NamedTuple

from core.crops.sheet import Span
from core.learning.figures import Learnable
from core.learning.observed import Season, Seasons
from core.reckon.learning.belief import Estimate
from core.reckon.learning.varieties import SHARE_OF_WIDTH, Beside, beside, moved


class Mean(NamedTuple):
    """What a season showed of so many trays, plantings or lots: their mean, and the variance of counting it."""

    mean: float
    of: float
    counting: float = 0.0


def estimate_of_variety(
    one: Learnable, known: Span, whole: Estimate, crop: Seasons, variety: Seasons
) -> Estimate | None:
    """A variety's figure from the crop's and the seasons in which it stood beside others; None where in none it did."""
    spread = SHARE_OF_WIDTH * (known[1] - known[0])
    seasons = [*_beside(one, spread, crop, variety)]
    if not seasons:
        return None
    return moved(whole, seasons, spread, 0.0, 100.0 if one.how == "share" else inf)


def _beside(one: Learnable, spread: float, crop: Seasons, variety: Seasons) -> Iterator[Beside]:
    for year in variety.keys() & crop.keys():
        own, whole = _mean(one, variety[year]), _mean(one, crop[year])
        if own is None or whole is None or own.of >= whole.of:
            continue
        share = own.of / whole.of
        others = (whole.mean - share * own.mean) / (1 - share)
        counted = max(crop[year].seen - variety[year].seen, 1)
        yield beside(
            own.mean,
            spread**2 / max(variety[year].seen, 1) + own.counting,
            others,
            spread**2 / counted + whole.counting / (1 - share),
            share,
        )


def _mean(one: Learnable, season: Season) -> Mean | None:
    """The mean of a season, of what came to its end in it; None where nothing did."""
    if one.how == "days":
        return Mean(sum(season.days) / len(season.days), len(season.days)) if season.days else None
    if one.how == "share":
        if not season.of:
            return None
        share = min(max(season.part / season.of, 0.02), 0.98)
        return Mean(100 * season.part / season.of, season.of, 100**2 * share * (1 - share) / season.of)
    told = [(count, of) for count, of, more in season.given if not more]
    plants = sum(of for _, of in told)
    if plants <= 0:
        return None
    mean = sum(count for count, _ in told) / plants
    return Mean(mean, plants, max(mean, 0.1) / plants)
