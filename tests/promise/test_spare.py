"""How many to have so that enough are left, against exact binomial and joint tails (scipy 1.17.1)."""

from __future__ import annotations

import pytest

from core.problems import Problem
from core.reckon.promise.spare import Heap, Setback, Spare, chance_with, joint_chance, spare_for

FEWEST = [
    (12, 0.95, 0.98, 15, 0.99453, 0.96995),
    (40, 0.80, 0.98, 58, 0.98468, 0.97386),
    (120, 0.90, 0.95, 140, 0.96081, 0.93791),
    (120, 0.90, 0.98, 142, 0.98585, 0.97607),
    (400, 0.85, 0.98, 490, 0.98226, 0.97741),
    (100, 0.85, 0.95, 125, 0.95009, 0.92711),
]
"""good, share left, how sure, the fewest to have, the chance with so many and with one fewer (scipy.stats.binom.sf)."""


@pytest.mark.parametrize(("good", "share", "sure", "have", "chance", "with_one_fewer"), FEWEST)
def test_the_fewest_that_leave_enough(
    good: int, share: float, sure: float, have: int, chance: float, with_one_fewer: float
) -> None:
    found = spare_for(good, share, sure)
    assert isinstance(found, Spare)
    assert (found.have, found.spare) == (have, have - good)
    assert found.chance == pytest.approx(chance, abs=5e-6)
    assert chance_with(have - 1, good, share) == pytest.approx(with_one_fewer, abs=5e-6)


def test_a_tenth_to_spare_is_no_promise() -> None:
    assert chance_with(132, 120, 0.9) == pytest.approx(0.43439, abs=5e-6)


@pytest.mark.parametrize(
    ("sold", "seats", "show", "chance"),
    [
        # overbooking, as worked in R on imathworks and by scipy: at most so many come
        (125, 120, 0.9, 0.9961414),
        (125, 119, 0.9, 0.9885678),
        (22, 20, 0.9, 1 - 0.3391988663),
        (324, 300, 0.9, 1 - 0.044734),
    ],
)
def test_binomial_tails_in_print(sold: int, seats: int, show: float, chance: float) -> None:
    assert joint_chance(seats + 1, [Heap(sold, show)]) == pytest.approx(1 - chance, abs=5e-7)


TWO_HEAPS = [Heap(60, 0.9), Heap(40, 0.8)]


@pytest.mark.parametrize(
    ("good", "on_their_own", "with_a_setback"),
    [(80, 0.96583, 0.87009), (84, 0.77151, 0.69440), (88, 0.34141, 0.30727)],
)
def test_a_setback_that_hits_all_is_most_of_the_doubt(
    good: int, on_their_own: float, with_a_setback: float
) -> None:
    assert joint_chance(good, TWO_HEAPS) == pytest.approx(on_their_own, abs=5e-6)
    assert joint_chance(good, TWO_HEAPS, Setback(0.1, 0.2)) == pytest.approx(with_a_setback, abs=5e-6)


def test_what_cannot_be_is_refused_in_a_sentence() -> None:
    for refused in (spare_for(0, 0.9, 0.95), spare_for(10, 0.0, 0.95), spare_for(10, 0.9, 1.0)):
        assert isinstance(refused, Problem)
        assert refused.sentence.endswith(".")
