"""A variety beside its crop: what is known of the ground helps one that is new, and hurts none that is not."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest

from core.learning.figures import LEARNABLE
from core.learning.observed import Season, Seasons
from core.learning.rows import estimate_of
from core.learning.varieties import estimate_of_variety
from core.reckon.learning.belief import Estimate
from core.reckon.learning.varieties import Beside, beside, moved
from tests.learning.other_grounds import truth_in, turn

SPANS = {"days_to_first_cut": (60.0, 75.0), "comes_up_pct": (70.0, 90.0), "stems_per_plant": (6.0, 12.0)}
WHOLE = Estimate(80.0, 76.0, 84.0, 74.0, 86.0, 0.5)


class Came(NamedTuple):
    """How far estimates that lean on the crop are off beside those of the variety alone, and how often they hold."""

    error: float
    held: float


def _grow(figure: str, rng: np.random.Generator, mean: float, width: float, into: list[Season]) -> None:
    """One planting or tray of a season, in each of the tallies: skewed, and counted where it can be."""
    seen = mean + (rng.weibull(2) - 0.8862) / 0.4633 * 0.2 * width
    came_up = int(rng.binomial(72, min(max(seen / 100, 0.01), 0.99)))
    for season in into:
        season.seen += 1
        if LEARNABLE[figure].how == "days":
            season.days.append(float(max(round(seen), 1)))
        elif LEARNABLE[figure].how == "share":
            season.part, season.of = season.part + came_up, season.of + 72
        else:
            season.given.append((float(max(round(40 * seen), 0)), 40.0, False))


def came(figure: str, seasons: int, new: int, runs: int, seed: int = 1) -> Came:
    """Of a variety that stood in the last `new` seasons beside two others that stood in all of them. Their grounds and
    differences are drawn by another hand: triangles, logistic and uniform distributions."""
    one, span, rng = LEARNABLE[figure], SPANS[figure], np.random.default_rng(seed)
    width, off, alone, held = span[1] - span[0], 0.0, 0.0, 0
    for _ in range(runs):
        usual, differs = truth_in(rng, span), rng.uniform(-0.35, 0.35, 3) * width
        crop: Seasons = {}
        mine: Seasons = {}
        for year in range(seasons):
            crop[year], weather = Season(), turn(rng, 0.22 * width)
            for n, differ in enumerate(differs):
                if n == 0 and year < seasons - new:
                    continue
                tallies = [crop[year], *([mine.setdefault(year, Season())] if n == 0 else [])]
                for _ in range(int(rng.integers(1, 3))):
                    _grow(figure, rng, usual + differ + weather, width, tallies)
        truth = usual + differs[0]
        by_itself, whole = estimate_of(one, span, mine), estimate_of(one, span, crop)
        assert by_itself is not None and whole is not None
        leaning = estimate_of_variety(one, span, whole, crop, mine)
        assert leaning is not None
        off, alone = off + abs(leaning.own - truth), alone + abs(by_itself.own - truth)
        held += leaning.low <= truth <= leaning.high
    return Came(off / alone, held / runs)


@pytest.mark.parametrize("figure", SPANS)
def test_a_new_variety_is_known_better_by_what_the_ground_is_known_for(figure: str) -> None:
    found = came(figure, seasons=5, new=1, runs=80)
    assert found.error < 0.95
    assert found.held >= 0.8


@pytest.mark.parametrize("figure", SPANS)
def test_one_that_stood_beside_the_others_all_along_loses_nothing(figure: str) -> None:
    assert came(figure, seasons=3, new=3, runs=80).error < 1.08


@pytest.mark.long
@pytest.mark.parametrize("figure", SPANS)
def test_both_over_many_grounds(figure: str) -> None:
    new, old = came(figure, 5, 1, 600), came(figure, 3, 3, 600)
    assert new.error < 0.9 and old.error < 1.04
    assert 0.85 <= new.held <= 0.98 and 0.85 <= old.held <= 0.98


def test_a_variety_that_was_later_by_six_days_in_two_seasons_is_later_by_most_of_them() -> None:
    """By hand: differences of 6 with a variance of 4 each, a spread between varieties of 4: 1/16 and 2/4 are weighed,
    so 3 / (9/16) = 5.333 days; and 1.645 times the root of 1/(9/16), 2.193, widens what reaches 4 days."""
    found = moved(WHOLE, [Beside(6.0, 4.0), Beside(6.0, 4.0)], 4.0, 0.0, 200.0)
    assert found.own == pytest.approx(85.3333, abs=1e-3)
    assert (found.low, found.high) == pytest.approx((80.7716, 89.8951), abs=1e-3)


def test_beside_a_crop_that_is_nearly_all_of_it_a_difference_is_small() -> None:
    assert beside(90, 4.0, 80, 4.0, 0.75) == Beside(2.5, 0.5)


def test_alone_in_all_its_seasons_it_says_nothing_beside_its_crop() -> None:
    crop: Seasons = {2025: Season(days=[70.0, 72.0], seen=2)}
    mine: Seasons = {2025: Season(days=[70.0, 72.0], seen=2)}
    assert (
        estimate_of_variety(LEARNABLE["days_to_first_cut"], SPANS["days_to_first_cut"], WHOLE, crop, mine)
        is None
    )
