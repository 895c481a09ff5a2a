"""Plotting positions and the normal curve: against numpy, and against printed freeze tables."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta
from math import inf, isfinite, sqrt
from statistics import NormalDist, fmean

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.reckon.climate.quantiles import normal, weibull
from tests.climate.made import rows

VALUES = st.lists(st.floats(-400, 400), min_size=1, max_size=60)
SHARE = st.floats(0.01, 0.99)


@given(VALUES, SHARE)
def test_weibull_is_numpys(values: list[float], share: float) -> None:
    assert weibull(values, share) == pytest.approx(
        float(np.quantile(values, share, method="weibull")), abs=1e-6
    )


def test_a_rank_among_the_seasons_without_a_freeze_has_no_date() -> None:
    nine = [-inf] * 4 + [10.0, 20.0, 30.0, 40.0, 50.0]
    assert weibull(nine, 0.5) == 10
    assert weibull(nine, 0.4) == -inf
    # Halfway between a season without and one with a freeze there is no date either.
    assert weibull(nine, 0.45) == -inf
    assert weibull([-v for v in nine], 0.5) == -10
    assert weibull([-v for v in nine], 0.55) == inf
    assert weibull([-inf, inf], 0.5) in (-inf, inf)


def test_the_normal_curve_is_mixed_with_the_seasons_that_do_not_freeze() -> None:
    """P(last >= d) = q (1 - Phi((d - mean) / sd)), NOAA CLIM20-01: turned round and put in again."""
    freezing = [60.0, 70, 75, 80, 95]
    values = [-inf] * 3 + freezing
    spread = sqrt(sum((v - fmean(freezing)) ** 2 for v in freezing) / 4)
    for percent in (10, 30, 50, 60):
        day = normal(values, 1 - percent / 100)
        chance = 5 / 8 * (1 - NormalDist(fmean(freezing), spread).cdf(day))
        assert chance == pytest.approx(percent / 100)
    assert normal(values, 1 - 0.7) == -inf  # only 62 seasons of 100 freeze
    assert normal([-v for v in values], 0.7) == inf
    assert normal([inf, inf, 5.0], 0.1) == weibull([inf, inf, 5.0], 0.1) == 5.0


@given(VALUES, st.integers(0, 10), SHARE, SHARE)
def test_a_greater_share_is_never_an_earlier_value(
    values: list[float], none: int, a: float, b: float
) -> None:
    low, high = sorted((a, b))
    for infinite in (inf, -inf):
        cases = values + [infinite] * none
        for quantile in (weibull, normal):
            first, second = quantile(cases, low), quantile(cases, high)
            assert first <= second + 1e-9 or first == second


def test_printed_freeze_tables_are_the_normal_curve() -> None:
    """Delaware (Moyer, ESSA 1970) and New York JFK (NOAA): every printed date to within a day.

    Mean and spread are taken from the printed 10, 50 and 90 %, so the rest of the table is the check.
    """
    tables: dict[tuple[str, str, str], dict[int, float]] = defaultdict(dict)
    for row in rows("freeze_published_tables"):
        if row["source_key"] in ("udel1970", "clim20copy"):
            day = date.fromisoformat(f"2001-{row['date_or_days']}")
            key = row["source_key"], row["season"], row["threshold_F"]
            tables[key][int(row["prob_pct"])] = (day - date(2001, 1, 1)) / timedelta(days=1)
    assert len(tables) == 5
    worst = 0.0
    for (_, season, _), printed in tables.items():
        spread = abs(printed[90] - printed[10]) / 2 / NormalDist().inv_cdf(0.9)
        # Two seasons a spread apart have that standard deviation about the printed mean.
        seasons = [printed[50] - spread / sqrt(2), printed[50] + spread / sqrt(2)]
        for percent, day in printed.items():
            share = 1 - percent / 100 if season == "last_spring" else percent / 100
            worst = max(worst, abs(normal(seasons, share) - day))
    assert worst < 1.0
    assert isfinite(worst)
