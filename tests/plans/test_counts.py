"""Seeds for plants, against the distribution's own tables and exact arithmetic."""

from __future__ import annotations

import csv
from fractions import Fraction
from math import comb
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special

from core.problems import Problem
from core.reckon.counts import Seeds, chance_of_enough, seeds_for

TABLE = Path(__file__).parent / "sowing_binomial.csv"


def needed(plants: int, germination: float, sure: float = 0.95, **more: float) -> Seeds:
    found = seeds_for(plants, germination=germination, sure=sure, **more)
    assert isinstance(found, Seeds), found
    return found


def test_every_line_of_the_binomial_table() -> None:
    # Computed with scipy.stats.binom (survival function) and, to the same integers, scipy.stats.nbinom.
    with TABLE.open(newline="") as table:
        rows = list(csv.DictReader(table))
    assert len(rows) == 72
    for row in rows:
        plants, germination = int(row["needed_n"]), float(row["germination"])
        found = [needed(plants, germination, p / 100).seeds for p in (90, 95, 99)]
        assert found == [int(row[f"seeds_P{p}"]) for p in (90, 95, 99)], row
        assert needed(plants, germination).naive == int(row["naive_ceil_n_over_g"])


def test_72_plants_of_80_percent_seed() -> None:
    # scipy.stats.binom: 98 seeds; scipy.stats.betabinom with rho 0.02: 106.
    seeds = needed(72, 0.8)
    assert (seeds.seeds, seeds.naive) == (98, 90)
    assert "98 seeds" in seeds.because[-1]
    assert needed(72, 0.8, rho=0.02).seeds == 106


def test_what_a_plain_division_says() -> None:
    # Worked in the trade notes: 300 / (0.80 x 0.90) = 416.7. One that comes out whole (72 / 0.72) gains no seed.
    assert needed(300, 0.80, survival=0.90).naive == 417
    assert needed(72, 0.8, survival=0.9).naive == 100


def test_the_chance_of_fifty_of_sixty() -> None:
    # scipy.stats.binom.sf(49, 60, 0.9) and (49, 59, 0.9)
    assert chance_of_enough(60, 50, 0.9) == pytest.approx(0.96579, abs=5e-6)
    assert chance_of_enough(59, 50, 0.9) == pytest.approx(0.93341, abs=5e-6)
    assert chance_of_enough(49, 50, 0.9) == 0


def test_stock_is_sown_for_doubles_and_not_for_plants() -> None:
    # Only 50-60 % of stock seedlings are double, the saleable kind [S98].
    stock = needed(50, 1.0, wanted_share=0.5)
    assert stock.seeds == 117  # the table's line for 50 plants at 0.5
    assert "50 % of those are worth planting" in stock.because[0]


def test_a_chance_that_is_met_exactly_is_met() -> None:
    assert needed(1, 0.9, 0.9).seeds == 1
    assert needed(1, 0.9, 0.99).seeds == 2
    assert needed(300, 1.0).seeds == 300


@given(st.integers(1, 60), st.integers(5, 99), st.integers(50, 99))
def test_the_fewest_seeds_by_exact_fractions(plants: int, percent: int, sure: int) -> None:
    found = needed(plants, percent / 100, sure / 100).seeds
    p = Fraction(percent, 100)

    def enough(seeds: int) -> Fraction:
        short = sum(comb(seeds, up) * p**up * (1 - p) ** (seeds - up) for up in range(plants))
        return 1 - short

    assert enough(found) >= Fraction(sure, 100)
    assert found == plants or enough(found - 1) < Fraction(sure, 100)


@settings(deadline=None)  # the oracle alone takes a while to load
@given(st.integers(1, 2000), st.floats(0.3, 1), st.floats(0.5, 0.99))
def test_against_scipy(plants: int, germination: float, sure: float) -> None:
    seeds = needed(plants, germination, sure).seeds
    assert special.bdtrc(plants - 1, seeds, germination) >= sure - 1e-9
    assert seeds == plants or special.bdtrc(plants - 1, seeds - 1, germination) < sure + 1e-9


def betabinom_sf(up: int, of: int, good: float, bad: float) -> float:
    """The chance that more than `up` of so many come up, each with a share that is drawn from a beta distribution."""
    k = np.arange(up + 1, of + 1)
    ways = -special.betaln(of - k + 1, k + 1) - np.log1p(of)
    return float(np.exp(ways + special.betaln(k + good, of - k + bad) - special.betaln(good, bad)).sum())


@settings(deadline=None)
@given(st.integers(1, 200), st.floats(0.4, 0.98), st.floats(0.001, 0.05))
def test_spread_against_scipy(plants: int, germination: float, rho: float) -> None:
    good, bad = germination * (1 - rho) / rho, (1 - germination) * (1 - rho) / rho
    seeds = needed(plants, germination, 0.9, rho=rho).seeds
    assert betabinom_sf(plants - 1, seeds, good, bad) >= 0.9 - 1e-9
    assert seeds == plants or betabinom_sf(plants - 1, seeds - 1, good, bad) < 0.9 + 1e-9


RHOS = st.sampled_from([0.0, 1e-9, 0.001, 0.02, 0.05])


@given(st.integers(1, 400), st.floats(0.2, 0.99), st.floats(0.5, 0.99), RHOS)
def test_more_plants_surer_or_poorer_seed_never_needs_less(
    plants: int, germination: float, sure: float, rho: float
) -> None:
    seeds = needed(plants, germination, sure, rho=rho)
    # of a few plants one seed each may be sure enough, where the mean asks for another
    by_the_mean = seeds.naive if sure > 0.9 and rho == 0 and plants >= 20 else plants
    assert seeds.seeds >= max(plants, by_the_mean)
    assert seeds.chance >= sure - 1e-9
    assert needed(plants + 1, germination, sure, rho=rho).seeds > seeds.seeds
    assert needed(plants, germination, (sure + 1) / 2, rho=rho).seeds >= seeds.seeds
    assert needed(plants, germination * 0.9, sure, rho=rho).seeds >= seeds.seeds
    if sure > 0.9:
        assert needed(plants, germination, sure, rho=rho + 0.01).seeds >= seeds.seeds


@pytest.mark.parametrize(
    ("plants", "germination", "more"),
    [
        (0, 0.8, {}),
        (72, 80, {}),
        (72, 0.0, {}),
        (72, 0.8, {"sure": 1.0}),
        (72, 0.8, {"rho": 1.0}),
        (72, 0.8, {"survival": 90}),
        (150_000, 0.1, {}),
    ],
)
def test_numbers_that_cannot_be(plants: int, germination: float, more: dict[str, float]) -> None:
    assert isinstance(seeds_for(plants, germination=germination, **more), Problem)
