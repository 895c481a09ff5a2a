"""Heat units: against printed tables, worked figures and NOAA's annual normals, and by integration."""

from __future__ import annotations

from datetime import date, timedelta
from math import cos, pi

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.problems import Problem
from core.reckon.climate.heat_units import METHODS, Method, Scale, UnitSum, daily_units, sum_units
from core.reckon.climate.record import Record
from core.reckon.climate.ripening import Expected, expected_day
from tests.climate.made import clemson, climate, made, rows

ZALOM_COLUMNS: dict[Method, str] = {
    "triangle": "sng_tri",
    "double triangle": "dbl_tri",
    "sine": "sng_sine",
    "double sine": "dbl_sine",
}
MISPRINT = (60.0, 100.0, "double triangle")
"""24.88 in the table; its own formula gives 27.125."""


def units(low: float, high: float, **more: object) -> float:
    found = daily_units(low, high, **more)  # type: ignore[arg-type]
    assert isinstance(found, float), found
    return found


def test_zalom_1983_table_7() -> None:
    """Base 55 F, upper 90 F: 12 days by 4 methods, 47 of the 48 to 0.01, and the misprint."""
    agree = 0
    for row in rows("zalom1983_table7"):
        low, high, after = (float(row[k]) for k in ("temp_min", "temp_max", "temp_nextmin"))
        for method, column in ZALOM_COLUMNS.items():
            ours = units(low, high, base=55, upper=90, method=method, next_low=after)
            if (low, high, method) == MISPRINT:
                assert ours == pytest.approx(27.125, abs=0.001)
                assert float(row[column]) == 24.88
                continue
            # Printed to 0.01, so a half in the third place may round either way.
            assert ours == pytest.approx(float(row[column]), abs=0.0101), (row, method)
            agree += 1
    assert agree == 47


def test_mcmaster_and_wilhelm_1997_table_1() -> None:
    """The two ways of averaging, base 0 C."""
    table = rows("mcmaster_wilhelm1997_table1")
    assert len(table) == 10
    for row in table:
        low, high = float(row["tmin"]), float(row["tmax"])
        assert units(low, high, base=0, method="average") == pytest.approx(
            float(row["gdd_method1"]), abs=1e-9
        )
        assert units(low, high, base=0, method="clipped") == pytest.approx(
            float(row["gdd_method2"]), abs=1e-9
        )


@pytest.mark.parametrize(
    ("high", "low", "printed"),
    [
        (90, 65, 25.5),  # Waushara Argus, extension column, 2018
        (72, 46, 11),
        (63, 42, 6.5),
        (92, 68, 27),  # Illinois State Water Survey: mean 77
        (87, 63, 24.5),  # Ohio State University Extension
        (70, 50, 10),  # Iowa State University Extension
    ],
)
def test_the_86_50_rule(high: float, low: float, printed: float) -> None:
    assert units(low, high, base=50, upper=86, method="clipped") == printed


def test_a_worked_day_in_c() -> None:
    """TrenchR: low 7, high 14, thresholds 12 and 33 C."""
    assert units(7, 14, base=12, upper=33, method="sine") == pytest.approx(0.468, abs=0.001)
    assert units(7, 14, base=12, upper=33, method="triangle") == pytest.approx(0.286, abs=0.001)


@given(st.floats(-20, 60), st.floats(0, 40), st.floats(-10, 60), st.floats(1, 50))
def test_the_sine_is_the_area_under_a_sine(low: float, range_f: float, base: float, between: float) -> None:
    high, upper = low + range_f, base + between
    mean, swing = (low + high) / 2, range_f / 2
    steps = 4000
    area = 0.0
    for i in range(steps):
        temp = mean + swing * cos(2 * pi * (i + 0.5) / steps)
        area += min(max(temp - base, 0.0), upper - base)
    assert units(low, high, base=base, upper=upper, method="sine") == pytest.approx(area / steps, abs=0.02)


@given(st.floats(-20, 60), st.floats(0, 40), st.floats(-10, 60), st.sampled_from(list(METHODS)))
def test_units_are_never_below_nothing_nor_above_the_warmest_hour(
    low: float, range_f: float, base: float, method: Method
) -> None:
    high = low + range_f
    found = units(low, high, base=base, upper=base + 20, method=method, next_low=low)
    assert -1e-9 <= found <= min(max(high - base, 0.0), 20) + 1e-9


@given(
    st.floats(-20, 60), st.floats(0, 40), st.floats(-10, 60), st.sampled_from(list(METHODS)), st.floats(0, 9)
)
def test_a_lower_base_never_gives_less(
    low: float, r: float, base: float, method: Method, less: float
) -> None:
    a = units(low, low + r, base=base, method=method, next_low=low)
    b = units(low, low + r, base=base - less, method=method, next_low=low)
    assert b >= a - 1e-9


@pytest.mark.parametrize(
    ("low", "high", "more", "says"),
    [
        (60, 50, {}, "which is which"),
        (50, 60, {"upper": 40}, "upper threshold"),
        (50, 60, {"method": "double sine"}, "the low of the next day"),
        (50, float("nan"), {}, "plain numbers"),
        (50, 60, {"method": "guess"}, "The methods are"),
    ],
)
def test_a_day_that_cannot_be_is_refused(low: float, high: float, more: dict[str, object], says: str) -> None:
    found = daily_units(low, high, base=50, **more)  # type: ignore[arg-type]
    assert isinstance(found, Problem)
    assert says in found.sentence


@pytest.mark.parametrize(("base", "normal"), [(50, 4731), (40, 7659)])
def test_annual_sums_agree_with_the_normals_of_noaa(base: float, normal: float) -> None:
    """NOAA 1981-2010 annual growing degree days of Clemson, within 3 %."""
    record = clemson()
    years = []
    for year in range(1981, 2011):
        first, last = date(year, 1, 1).toordinal(), date(year, 12, 31).toordinal()
        summed = sum_units(record, first, last, Scale(base))
        if isinstance(summed, UnitSum):
            years.append(summed.units)
    assert len(years) >= 29
    assert sum(years) / len(years) == pytest.approx(normal, rel=0.03)


def warm(day: date) -> float:
    """Lows of 55 F; the highs of a made record are 18 F above, so each day has 14 units above 50 F."""
    return 55.0


def test_a_missing_day_gets_the_usual_warmth_of_its_date() -> None:
    gap = date(2010, 6, 10)
    record = made(lambda d: None if d == gap else 55.0, date(2005, 1, 1), date(2012, 12, 31))
    found = sum_units(record, date(2010, 6, 1).toordinal(), date(2010, 6, 30).toordinal(), Scale(50))
    assert isinstance(found, UnitSum)
    assert (found.days, found.filled) == (30, 1)
    assert found.units == pytest.approx(30 * 14, abs=1)


def test_a_sum_over_days_without_readings_is_refused() -> None:
    record = made(warm, date(2005, 1, 1), date(2012, 12, 31))
    found = sum_units(record, date(2012, 12, 1).toordinal(), date(2013, 1, 15).toordinal(), Scale(50))
    assert "15 of 46 days" in str(found)
    assert "comes before" in str(sum_units(record, 10, 5, Scale(50)))


# The day a sum is reached


def expected(*args: object, **more: object) -> Expected:
    found = expected_day(*args, **more)  # type: ignore[arg-type]
    assert isinstance(found, Expected), found
    return found


def test_days_seen_fill_the_past_and_other_years_the_rest() -> None:
    """14 units a day on record, 24 a day this year: 240 had in 10 days, 60 left, the fifth day."""
    record = made(warm, date(2000, 1, 1), date(2015, 12, 31))
    this_year = made(lambda d: 65.0, date(2026, 6, 1), date(2026, 6, 10))
    today = date(2026, 6, 11)
    found = expected(300, date(2026, 6, 1), Scale(50), record, seen=this_year, today=today)
    assert found.early == found.middle == found.late == date(2026, 6, 15)
    assert found.from_day == today
    assert found.seen == pytest.approx(240, abs=1)
    assert found.years == 16


def test_a_sum_reached_in_the_past_is_a_day_and_no_range() -> None:
    record = made(warm, date(2000, 1, 1), date(2015, 12, 31))
    this_year = made(lambda d: 65.0, date(2026, 6, 1), date(2026, 6, 10))
    found = expected(100, date(2026, 6, 1), Scale(50), record, seen=this_year, today=date(2026, 6, 11))
    assert found.early == found.late == date(2026, 6, 5)


def test_the_range_is_that_of_the_years_on_record() -> None:
    """A plain second way: year by year on Clemson, from 1 May until 1,500 units above 50 F."""
    record = clemson()
    found = expected(1500, date(2026, 5, 1), Scale(50), record)
    waits = []
    for year in range(1981, 2011):
        total, day = 0.0, date(year, 5, 1)
        while total < 1500:
            low, high = record.low_f(day.toordinal()), record.high_f(day.toordinal())
            total += max(0.0, (low + high) / 2 - 50) if low is not None and high is not None else 20
            day += timedelta(days=1)
        waits.append((day - date(year, 5, 1)).days - 1)
    assert found.years >= 28
    assert found.early is not None and found.middle is not None and found.late is not None
    assert found.early <= found.middle <= found.late
    middle = sorted(waits)[15]
    assert abs((found.middle - date(2026, 5, 1)).days - middle) <= 1
    assert (
        min(waits)
        <= (found.early - date(2026, 5, 1)).days
        <= (found.late - date(2026, 5, 1)).days
        <= max(waits)
    )


def test_a_sum_that_is_never_reached_has_no_day() -> None:
    record = made(lambda d: 40.0, date(2000, 1, 1), date(2015, 12, 31))
    found = expected(500, date(2026, 6, 1), Scale(60), record)
    assert (found.early, found.middle, found.late) == (None, None, None)


def test_few_years_give_no_day_yet() -> None:
    assert "Not yet" in str(
        expected_day(500, date(2026, 6, 1), Scale(50), made(warm, date(2010, 1, 1), date(2015, 12, 31)))
    )
    assert "above 0" in str(expected_day(0, date(2026, 6, 1), Scale(50), clemson()))


@given(st.integers(0, 200), st.floats(50, 2000))
def test_more_warmth_is_never_had_sooner(seed: int, need: float) -> None:
    record: Record = climate(55, 15, 4, years=11, seed=seed % 3)
    one, more = (expected(n, date(2026, 4, 1), Scale(50), record) for n in (need, need * 1.3))
    assume(one.middle is not None and more.middle is not None)
    assert one.middle is not None and more.middle is not None
    assert more.middle >= one.middle
