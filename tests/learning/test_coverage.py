"""How often the intervals of nine in ten hold the truth, on grounds of another hand; in little, and at length."""

from __future__ import annotations

import pytest

from tests.learning.other_grounds import (
    DAYS,
    WAYS,
    held,
    in_sheet,
    learning_counts,
    learning_days,
    learning_shares,
    outside,
    pooling_plants,
)

FEW, MANY = 250, 1500


@pytest.mark.parametrize("way", WAYS)
def test_two_seasons_hold_the_truth_nine_times_in_ten(way: str) -> None:
    learning, truth = WAYS[way]
    found = held(learning(2), truth, FEW)
    assert 0.84 <= found.share <= 0.965  # the standard error of 250 runs is 1.9 points


def test_pooling_plants_and_forgetting_seasons_does_not() -> None:
    assert held(pooling_plants(2), in_sheet(DAYS), FEW).share < 0.45


def test_a_ground_a_week_outside_the_sheet_is_found() -> None:
    assert held(learning_days(2), outside, FEW).share >= 0.70


@pytest.mark.long
@pytest.mark.parametrize("seasons", [1, 2, 3, 5])
@pytest.mark.parametrize("way", WAYS)
def test_a_truth_from_the_sheet_is_held(way: str, seasons: int) -> None:
    learning, truth = WAYS[way]
    assert 0.85 <= held(learning(seasons), truth, MANY).share <= 0.95 + 0.012


@pytest.mark.long
@pytest.mark.parametrize(("seasons", "least"), [(1, 0.65), (2, 0.70), (3, 0.75), (5, 0.78)])
def test_a_truth_outside_the_sheet_is_held(seasons: int, least: float) -> None:
    assert held(learning_days(seasons), outside, MANY).share >= least


@pytest.mark.long
@pytest.mark.parametrize("seasons", [1, 2, 3])
def test_the_wrong_way_is_far_too_sure(seasons: int) -> None:
    assert held(pooling_plants(seasons), in_sheet(DAYS), MANY).share < 0.45


@pytest.mark.long
@pytest.mark.parametrize("seasons", [3, 5])
def test_seasons_unlike_each_other_twice_as_much_cost_little(seasons: int) -> None:
    ways = (
        (learning_days(seasons, between=8.0), WAYS["days"][1], 0.81),
        (learning_shares(seasons, swing=0.9), WAYS["shares"][1], 0.76),
        (learning_counts(seasons, swing=0.4), WAYS["counts"][1], 0.74),
    )
    for learn, truth, least in ways:
        assert held(learn, truth, MANY).share >= least
