"""Dry-by dates against batches whose truth is known: within a day after four weighings, and silence before.

The bounds are what was measured over some hundred batches, a little slack left for another seed.
"""

from __future__ import annotations

import pytest

from core.reckon.drying.ratio import Prior
from tests.drying.made_up_batches import DAILY, SPREAD_OUT, UNEVEN, score


def right(good: int, of: int) -> float:
    return good / of if of else 1.0


def test_nothing_is_relied_on_before_the_fourth_weighing() -> None:
    assert score(11, 80, DAILY[:3], bent=0.5).relied == 0


def test_after_four_daily_weighings_of_quick_batches() -> None:
    """Plain drying in 4 to 8 days, real noise: a date for three in five, 19 of 20 within a day."""
    got = score(12, 160, DAILY[:4], days=(4, 8))
    assert got.said >= 0.55 * got.count
    assert right(got.said_right, got.said) >= 0.94
    assert got.relied >= 0.12 * got.count and right(got.relied_right, got.relied) >= 0.95


def test_after_four_daily_weighings_to_the_gram() -> None:
    got = score(13, 80, DAILY[:4], days=(4, 8), noisy=False)
    assert got.said >= 0.75 * got.count
    assert right(got.said_right, got.said) >= 0.98


@pytest.mark.parametrize("hours", [SPREAD_OUT, DAILY], ids=["four over five days", "six daily"])
def test_what_is_relied_on_is_right_even_where_half_dry_by_another_shape(hours: tuple[float, ...]) -> None:
    """4 to 21 days, half by Page's form with 0.8 to 1.3."""
    got = score(14, 120, hours, bent=0.5)
    assert got.relied >= 0.2 * got.count
    assert right(got.relied_right, got.relied) >= 0.93
    assert right(got.held, got.with_interval) >= 0.9


def test_a_day_of_weighings_does_not_know_an_end_two_weeks_away() -> None:
    got = score(15, 60, (0, 6, 12, 24), days=(12, 16), bent=0.5)
    assert got.relied == 0
    assert got.said <= 0.05 * got.count


HANDBOOK = Prior(days=(7, 14), left=(0.17, 0.21))


def test_a_handbook_that_is_right_dates_slow_batches_sooner() -> None:
    """7 to 14 days: four daily weighings alone know next to none of them, with the handbook three in ten."""
    alone = score(16, 80, DAILY[:4], days=(7, 14), left=(0.17, 0.21))
    helped = score(16, 80, DAILY[:4], days=(7, 14), left=(0.17, 0.21), prior=HANDBOOK)
    assert alone.relied <= 0.05 * alone.count
    assert helped.relied >= 0.2 * helped.count
    assert right(helped.relied_right, helped.relied) >= 0.95


def test_a_handbook_that_is_wrong_is_overruled() -> None:
    """The sheet says 7 to 14 days and a fifth of the weight left; these dry in 4 to 6 and keep a third."""
    got = score(17, 100, DAILY[:5], days=(4, 6), left=(0.25, 0.4), prior=HANDBOOK)
    assert got.relied >= 0.5 * got.count
    assert right(got.relied_right, got.relied) >= 0.95


@pytest.mark.long
@pytest.mark.parametrize(
    ("hours", "days", "bent", "relied", "relied_right", "said_right"),
    [
        (DAILY[:4], (4, 21), 0.0, 0.05, 0.97, 0.93),
        (UNEVEN, (4, 21), 0.0, 0.05, 0.97, 0.91),
        (DAILY[:5], (4, 21), 0.0, 0.17, 0.97, 0.92),
        (DAILY[:4], (4, 8), 0.0, 0.15, 0.95, 0.94),
        (UNEVEN, (4, 8), 0.0, 0.14, 0.95, 0.94),
        (DAILY[:4], (4, 21), 0.5, 0.06, 0.85, 0.71),
        (DAILY[:5], (4, 21), 0.5, 0.17, 0.90, 0.77),
        (DAILY, (4, 21), 0.5, 0.29, 0.93, 0.85),
        (SPREAD_OUT, (4, 21), 0.5, 0.24, 0.92, 0.82),
    ],
)
def test_a_thousand_batches(
    hours: tuple[float, ...],
    days: tuple[float, float],
    bent: float,
    relied: float,
    relied_right: float,
    said_right: float,
) -> None:
    got = score(21, 1000, hours, days=days, bent=bent)
    assert got.relied >= relied * got.count
    assert right(got.relied_right, got.relied) >= relied_right
    assert right(got.said_right, got.said) >= said_right
    assert right(got.held, got.with_interval) >= 0.9


@pytest.mark.long
def test_an_interval_holds_the_truth_where_the_date_is_off() -> None:
    """Four daily weighings, half of another shape: nine times in ten, also for what is relied on."""
    got = score(22, 1500, DAILY[:4], bent=0.5)
    assert right(got.held, got.with_interval) >= 0.94
    assert right(got.relied_held, got.relied) >= 0.9
