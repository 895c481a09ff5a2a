"""One season never swings it: worked examples of a farm (our own, computed with scipy), and what must always hold."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.reckon.learning import counts, days, shares
from core.reckon.learning.special import beta_upto, gamma_upto, normal_upto
from tests.cases import cases
from tests.learning.intervals import interval

SHEET = (0.70, 0.90)


@pytest.mark.parametrize(
    ("seasons", "alike", "mean", "low", "high"),
    [
        ([(41, 72)], 0.05, 0.7414, 0.6414, 0.8316),
        ([(41, 72)], 0.02, 0.7072, 0.6151, 0.7926),
        (
            [(41, 72)],
            0.0,
            0.6554,
            0.5804,
            0.7273,
        ),  # seventy-two independent seeds: leaves the sheet after one tray
        ([(41, 72), (60, 72), (55, 72)], 0.05, 0.7620, 0.6844, 0.8328),
        ([(41, 72), (60, 72), (55, 72)], 0.0, 0.7359, 0.6896, 0.7800),
        ([(0, 20)], 0.05, 0.6449, 0.5320, 0.7512),
        ([(0, 20)], 0.0, 0.5408, 0.4353, 0.6448),
    ],
)
def test_trays(seasons: list[tuple[int, int]], alike: float, mean: float, low: float, high: float) -> None:
    seen = [shares.SeasonShare(*season) for season in seasons]
    found = shares.share_after(shares.prior_share(SHEET), seen, alike)
    assert found.mean == pytest.approx(mean, abs=3e-4)
    assert interval(beta_upto, found, most=1) == pytest.approx((low, high), abs=3e-4)


@pytest.mark.parametrize(
    ("swing", "mean", "low", "high"), [(0.20, 7.371, 5.545, 9.410), (0.0, 6.138, 5.587, 6.711)]
)
def test_stems(swing: float, mean: float, low: float, high: float) -> None:
    prior = counts.prior_count((6, 12))
    found = counts.count_after(prior, [counts.SeasonCount(300, 50)], prior.mean, swing)
    assert found.mean == pytest.approx(mean, rel=1e-3)
    assert interval(gamma_upto, found) == pytest.approx((low, high), rel=1e-3)


@pytest.mark.parametrize(
    ("means", "mean", "low", "high"),
    [
        ([82], 75.50, 70.48, 80.52),
        ([82, 79], 76.74, 72.71, 80.78),
        ([82, 79, 84], 78.65, 75.18, 82.11),
    ],
)
def test_days(means: list[float], mean: float, low: float, high: float) -> None:
    seen = [days.Seen(m, 6**2 / 40) for m in means]
    found, _ = days.days_after(days.prior_days((60, 75)), seen, 4.0)
    assert found.mean == pytest.approx(mean, rel=1e-3)
    assert interval(normal_upto, found) == pytest.approx((low, high), rel=1e-3)


def test_a_single_season_far_off_leaves_the_estimate_between_it_and_the_sheet() -> None:
    assert 0.3 < shares.learn_share(SHEET, [shares.SeasonShare(0, 72)]).own < 0.7
    assert 67.5 < days.learn_days((60, 75), [days.SeasonDays((100.0,) * 40)]).own < 100
    assert 2 < counts.learn_count((6, 12), [counts.SeasonCount(100, 50)]).own < 8.8


def test_it_narrows_with_seasons_and_not_with_plants() -> None:
    few = days.learn_days((60, 75), [days.SeasonDays(tuple(76.0 + n % 13 for n in range(40)))])
    many = days.learn_days((60, 75), [days.SeasonDays(tuple(76.0 + n % 13 for n in range(4000)))])
    three = days.learn_days((60, 75), [days.SeasonDays(tuple(76.0 + n % 13 for n in range(40)))] * 3)
    assert (many.high - many.low) / (few.high - few.low) > 0.95
    assert three.high - three.low < 0.9 * (few.high - few.low)
    assert few.weight < three.weight
    trays = [shares.learn_share(SHEET, [shares.SeasonShare(8 * n, 10 * n)]) for n in (40, 4000)]
    assert (trays[1].high - trays[1].low) / (trays[0].high - trays[0].low) > 0.95


def test_what_is_still_waited_for_is_later_than_today() -> None:
    span = (60.0, 75.0)
    nothing = days.learn_days(span, [])
    assert nothing.own == pytest.approx(67.5) and nothing.weight == pytest.approx(0, abs=1e-6)
    early = days.learn_days(span, [days.SeasonDays(waited=(20.0,))])
    assert early.own == pytest.approx(67.5, abs=0.3)
    late = days.learn_days(span, [days.SeasonDays(waited=(90.0,))])
    assert late.own > 72
    mixed = days.learn_days(span, [days.SeasonDays((78.0, 80.0), (95.0,))])
    assert mixed.own > days.learn_days(span, [days.SeasonDays((78.0, 80.0))]).own + 0.5


def test_what_was_taken_out_early_gave_so_many_at_least() -> None:
    span = (6.0, 12.0)
    alone = counts.learn_count(span, []).own
    few = counts.learn_count(span, [counts.SeasonCount(100, 50, more=True)]).own
    many = counts.learn_count(span, [counts.SeasonCount(700, 50, more=True)]).own
    assert few == pytest.approx(alone, rel=0.03) and many > alone + 1
    assert counts.learn_count(span, [counts.SeasonCount(100, 50)]).own < alone - 1


@given(
    low=st.floats(1, 200),
    width=st.floats(0.1, 200),
    seasons=st.lists(
        st.tuples(st.lists(st.floats(0, 700), max_size=4), st.lists(st.floats(0, 700), max_size=3)),
        max_size=5,
    ),
)
@cases(100)
def test_whatever_days_were_seen_the_estimate_lies_in_its_interval(
    low: float, width: float, seasons: list[tuple[list[float], list[float]]]
) -> None:
    found = days.learn_days((low, low + width), [days.SeasonDays(tuple(d), tuple(w)) for d, w in seasons])
    assert found.low < found.own < found.high
    assert found.season_low < found.season_high and 0 <= found.weight <= 1


@given(
    low=st.floats(0, 0.99),
    width=st.floats(0, 0.9),
    seasons=st.lists(st.tuples(st.integers(0, 500), st.integers(0, 500)), max_size=6),
)
@cases(100)
def test_whatever_was_counted_a_share_is_a_share(
    low: float, width: float, seasons: list[tuple[int, int]]
) -> None:
    seen = [shares.SeasonShare(min(pair), max(pair)) for pair in seasons]
    found = shares.learn_share((low, min(low + width, 1.0)), seen)
    assert 0 <= found.low <= found.own <= found.high <= 1
    assert 0 <= found.season_low <= found.season_high <= 1


@given(
    low=st.floats(0.1, 50),
    times=st.floats(1.1, 8),
    seasons=st.lists(st.tuples(st.integers(0, 5000), st.integers(0, 500), st.booleans()), max_size=5),
)
@cases(100)
def test_whatever_was_cut_a_count_is_one(
    low: float, times: float, seasons: list[tuple[int, int, bool]]
) -> None:
    found = counts.learn_count((low, low * times), [counts.SeasonCount(*season) for season in seasons])
    assert 0 <= found.low <= found.own <= found.high
