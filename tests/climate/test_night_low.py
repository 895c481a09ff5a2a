"""Tonight's low: against the sample nights and the night course of FAO's frost book."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.problems import Problem
from core.reckon.climate.night_low import Calibration, Course, Night, calibrate, course, read_nights
from core.text import is_clean
from tests.climate.made import rows


def fao_nights() -> list[Night]:
    return [
        Night(float(r["T0_C"]), float(r["Td_C"]), float(r["Tmin_C"])) for r in rows("fao_frost_sample_nights")
    ]


def fitted(nights: list[Night]) -> Calibration:
    found = calibrate(nights)
    assert isinstance(found, Calibration), found
    return found


def test_the_sample_nights_of_fao() -> None:
    """In two steps: b 0.50281, a 0.026472, c -5.82199, R2 0.672; the low for 10 and 2 C -0.7409219."""
    fit = fitted(fao_nights())
    assert fit.b == pytest.approx(0.50281, abs=1e-5)
    assert fit.a == pytest.approx(0.026472, abs=1e-6)
    assert fit.c == pytest.approx(-5.82199, abs=1e-5)
    assert fit.r2 == pytest.approx(0.672, abs=5e-4)
    assert fit.low_c(10, 2) == pytest.approx(-0.7409219, abs=1e-6)


def test_two_steps_are_not_the_joint_fit() -> None:
    """numpy's joint least squares gives 0.44730, 0.04507, -5.59240 and -1.02927: another answer, not ours."""
    nights = fao_nights()
    sides = np.array([[n.t0_c, n.td_c, 1.0] for n in nights])
    joint = np.linalg.lstsq(sides, np.array([n.low_c for n in nights]), rcond=None)[0]
    assert list(joint) == pytest.approx([0.44730, 0.04507, -5.59240], abs=1e-4)
    assert fitted(nights).low_c(10, 2) - float(joint @ [10, 2, 1]) == pytest.approx(0.2883, abs=1e-3)


@given(st.lists(st.tuples(st.floats(-5, 15), st.floats(-15, 5)), min_size=10, max_size=40, unique=True))
def test_each_step_is_a_least_squares_line(points: list[tuple[float, float]]) -> None:
    """Against numpy's polyfit, one step after the other."""
    nights = [Night(t, d, 0.4 * t + 0.1 * d - 4 + (i % 3) * 0.5) for i, (t, d) in enumerate(points)]
    t0, td, low = (np.array([getattr(n, k) for n in nights]) for k in ("t0_c", "td_c", "low_c"))
    if np.ptp(t0) < 0.5 or np.ptp(td) < 0.5:
        return
    b, c1 = np.polyfit(t0, low, 1)
    a, c2 = np.polyfit(td, low - (b * t0 + c1), 1)
    fit = fitted(nights)
    assert (fit.b, fit.a, fit.c) == pytest.approx((b, a, c1 + c2), abs=1e-6)


def test_under_ten_nights_nothing_is_reckoned() -> None:
    found = calibrate(fao_nights()[:9])
    assert isinstance(found, Problem)
    assert "9 clear nights" in found.sentence and "10 are needed" in found.sentence
    assert isinstance(calibrate([Night(5, 0, -1)] * 12), Problem)


def test_the_night_courses_of_fao() -> None:
    """33.7 F at dusk to 22.2 F, 15 hours (UC Davis): 30.51047, 29.18933 ... 22.2; and 0.95 to -5.45 C."""
    night = course(33.7, 22.2, 15)
    assert isinstance(night, Course)
    assert night.at(3) == pytest.approx(30.51047, abs=1e-5)
    assert night.at(4) == pytest.approx(29.18933, abs=1e-5)
    assert night.at(15) == pytest.approx(22.2)
    cold = course(0.95, -5.45, 15)
    assert isinstance(cold, Course)
    assert cold.at(3) == pytest.approx(-0.8250406, abs=4e-6)
    assert cold.at(4) == pytest.approx(-1.5602865, abs=4e-6)


@given(st.floats(20, 60), st.floats(0, 30), st.floats(8, 16), st.floats(0, 1))
def test_the_guard_is_crossed_where_the_course_says(
    start: float, drop: float, hours: float, part: float
) -> None:
    night = course(start, start - drop, hours)
    assert isinstance(night, Course)
    guard = start - part * drop
    crossed = night.crosses(guard)
    assert crossed is not None
    assert 2 <= crossed <= hours + 1e-6
    assert night.at(crossed) == pytest.approx(guard, abs=1e-6)
    assert night.crosses(start - drop - 0.1) is None
    assert night.crosses(start + 1) == 2


def test_a_night_that_does_not_cool_is_left_to_the_forecast() -> None:
    assert "forecast" in str(course(30, 31, 12))
    assert "4 to 24 hours" in str(course(40, 30, 2))


def test_nights_are_read_in_either_unit(tmp_path: Path) -> None:
    in_c, in_f = tmp_path / "c.csv", tmp_path / "f.csv"
    nights = fao_nights()
    in_c.write_text("t0_c,td_c,tmin_c\n" + "".join(f"{n.t0_c},{n.td_c},{n.low_c}\n" for n in nights))
    in_f.write_text(
        "date,tmin_f,t0_f,td_f\n"
        + "".join(f"x,{n.low_c * 1.8 + 32},{n.t0_c * 1.8 + 32},{n.td_c * 1.8 + 32}\n" for n in nights)
    )
    assert read_nights(in_c) == nights
    from_f = read_nights(in_f)
    assert not isinstance(from_f, Problem)
    assert fitted(from_f).low_c(10, 2) == pytest.approx(-0.7409219, abs=1e-6)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "needs a first line"),
        ("t0,td,tmin\n1,2,3\n", "needs a first line"),
        ("t0_c,td_c,tmin_c\n1,2\n", "line 2"),
        ("t0_c,td_c,tmin_c\n1,x\x1b[2J,3\n", "line 2"),
        ("t0_c,td_c,tmin_c\n1,-5,nan\n", "line 2: no air is so cold or hot"),
        ("t0_c,td_c,tmin_c\n5,-5,0\n1,4,-3\n", "line 3: the dew point is above"),
    ],
)
def test_a_wrong_list_of_nights_is_refused_with_its_line(tmp_path: Path, text: str, says: str) -> None:
    path = tmp_path / "nights.csv"
    path.write_text(text)
    found = read_nights(path)
    assert isinstance(found, Problem)
    assert says in found.sentence
    assert is_clean(found.sentence)


def test_no_list_of_nights_is_said(tmp_path: Path) -> None:
    assert "cannot be read" in str(read_nights(tmp_path / "none.csv"))
