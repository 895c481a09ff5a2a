"""Her own thermometer beside the station's: the bias of her ground, and the odds moved by it."""

from __future__ import annotations

import random
from datetime import date

import pytest

from core.problems import Problem
from core.reckon.climate.frost import FrostOdds, frost_odds
from core.reckon.climate.own_ground import FEWEST_NIGHTS, Ground, compare, on_own_ground, own_record
from core.reckon.climate.record import Record
from tests.climate.made import clemson, climate, days, made


def own_ground(
    station: Record, colder_by: float, first: date, last: date, mild_nights: float = 0.0
) -> Record:
    """Readings of a hollow: colder by that much near frost, by `mild_nights` on mild nights, give or take."""
    rng = random.Random(7)

    lows = {}
    for day in days(first, last):
        there = station.low_f(day.toordinal())
        if there is not None:
            lows[day] = there - (colder_by if there <= 45 else mild_nights) + rng.choice((-1, 0, 1))
    own = own_record(lows)
    assert own is not None
    return own


def compared(own: Record, station: Record) -> Ground:
    found = compare(own, station)
    assert isinstance(found, Ground), found
    return found


def test_the_bias_near_frost_is_found_among_all_nights() -> None:
    station = clemson()
    ground = compared(own_ground(station, 4, date(2008, 1, 1), date(2010, 12, 31)), station)
    assert ground.frost_bias_f == pytest.approx(-4, abs=0.1)
    assert ground.bias_f == pytest.approx(0, abs=1.1)
    assert ground.nights > 1000
    assert FEWEST_NIGHTS < ground.frost_nights < ground.nights
    assert ground.frost_spread_f == pytest.approx(2, abs=0.3)
    assert ground.enough
    assert "4.0 F colder than the station" in ground.says


def test_colder_ground_moves_the_odds_as_a_warmer_threshold_would() -> None:
    """Four degrees colder: her 32 F dates are the station's 36 F dates."""
    station = clemson()
    ground = compared(own_ground(station, 4, date(2008, 1, 1), date(2010, 12, 31)), station)
    moved, plain = frost_odds(on_own_ground(station, ground)), frost_odds(station)
    assert isinstance(moved, FrostOdds) and isinstance(plain, FrostOdds)
    hers = next(r for r in moved.thresholds if r.threshold_f == 32)
    theirs = next(r for r in plain.thresholds if r.threshold_f == 36)
    assert hers.last_spring == theirs.last_spring
    assert hers.first_autumn == theirs.first_autumn


def test_too_few_nights_move_nothing_and_say_so() -> None:
    station = clemson()
    ground = compared(own_ground(station, 4, date(2010, 1, 1), date(2010, 1, 20)), station)
    assert not ground.enough
    assert "Not yet" in ground.says and str(FEWEST_NIGHTS) in ground.says
    assert on_own_ground(station, ground) is station
    summer = compared(own_ground(station, 4, date(2010, 7, 1), date(2010, 8, 20)), station)
    assert summer.frost_bias_f is None
    assert not summer.enough


def test_own_readings_come_back_as_they_were_written() -> None:
    day = date(2026, 4, 30)
    own = own_record({day: 34.0}, {day: 61.0})
    assert own is not None
    assert (own.low_f(day.toordinal()), own.high_f(day.toordinal())) == (34, 61)
    assert own_record({}) is None


def test_no_common_night_is_a_problem() -> None:
    own = made(lambda d: 40.0, date(2020, 1, 1), date(2020, 3, 1))
    assert isinstance(compare(own, clemson()), Problem)


def test_the_same_ground_has_no_bias() -> None:
    station = climate(45, 20, 5, years=2)
    ground = compared(station, station)
    assert (ground.bias_f, ground.spread_f, ground.frost_bias_f) == (0, 0, 0)
    assert "as cold as the station" in ground.says
