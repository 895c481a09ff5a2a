"""The heat index: against the chart of the National Weather Service and its printed formula."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.problems import Problem
from core.reckon.climate.heat_stress import FULL_SUN_F, Heat, band, heat, heat_index_f, rothfusz_f
from tests.climate.made import rows


def test_the_nws_chart() -> None:
    """135 cells: the chart is the unadjusted regression in whole degrees, but for two cells."""
    table = rows("nws_heat_index_chart")
    assert len(table) == 135
    far = set()
    for row in table:
        temp, rh = float(row["T_F"]), float(row["RH_pct"])
        regression = rothfusz_f(temp, rh)
        assert regression == pytest.approx(float(row["rothfusz_unadjusted_F"]), abs=0.01)
        assert heat_index_f(temp, rh) == pytest.approx(float(row["with_NWS_adjustment_F"]), abs=0.01)
        chart = float(row["NWS_chart_F"])
        assert regression == pytest.approx(chart, abs=0.6 if (temp, rh) != (94, 85) else 0.9)
        if abs(regression - chart) > 0.5:
            far.add((temp, rh))
    # 93 for 92.49; 136 for 135.15 is what the copies of the chart print.
    assert far == {(90.0, 45.0), (94.0, 85.0)}


@pytest.mark.parametrize(
    ("temp", "rh", "index"),
    [
        (70, 50, 69.05),  # the simple formula, its own value not averaged again
        (79, 60, 79.42),
        (82, 90, 91.99),  # damp-air adjustment: 91.49 without
        (95, 10, 89.45),  # dry-air adjustment
    ],
)
def test_worked_values(temp: float, rh: float, index: float) -> None:
    assert heat_index_f(temp, rh) == pytest.approx(index, abs=0.01)


def test_the_bands_of_osha() -> None:
    """Under 91 lower, to 103 moderate, to 115 high, above very high."""
    values = (90.9, 91, 102.9, 103, 114.9, 115, 130)
    assert [band(v) for v in values] == ["lower", *["moderate"] * 2, *["high"] * 2, *["very high"] * 2]


@given(st.floats(80, 110), st.floats(40, 90))
def test_damper_or_hotter_air_is_never_milder(temp: float, rh: float) -> None:
    if heat_index_f(temp, rh) <= 137:  # the chart's end: beyond it the regression is not meant
        assert heat_index_f(temp + 1, rh) >= heat_index_f(temp, rh) - 0.6
        assert heat_index_f(temp, rh + 1) >= heat_index_f(temp, rh) - 0.6


def test_full_sun_is_told_beside_the_shade() -> None:
    found = heat(88, 60)
    assert isinstance(found, Heat)
    assert found.sun_index_f == found.index_f + FULL_SUN_F
    assert (found.band, found.sun_band) == ("moderate", "high")
    assert "water" in found.caution


@pytest.mark.parametrize(("temp", "rh"), [(200, 50), (90, 101), (90, -1), (float("nan"), 50)])
def test_air_that_cannot_be_is_refused(temp: float, rh: float) -> None:
    assert isinstance(heat(temp, rh), Problem)


def test_beyond_the_chart_there_is_no_number_but_a_caution() -> None:
    """140 F at 100 %: the regression would run on; the chart of the NWS ends at 137 F by feel."""
    for temp_f, rh in ((140, 100), (113, 5), (110, 60)):
        found = heat(temp_f, rh)
        assert isinstance(found, Problem)
        assert "more than very high" in found.sentence and "cooler" in found.sentence
