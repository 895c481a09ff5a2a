"""The arithmetic of the estimates against published worked examples and against scipy."""

from __future__ import annotations

from functools import partial
from math import exp, log, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special

from core.reckon.learning import alone, counts, days, shares
from core.reckon.learning.belief import Belief, Piece, mixed
from core.reckon.learning.differences import Part, newcombe, wilson
from core.reckon.learning.special import at_chance, beta_upto, gamma_upto, normal_upto, t_upto
from tests.cases import cases
from tests.learning.intervals import interval

SHARE, REST = 1e-4, 1e-3
"""Tolerances: absolute on shares, relative on the rest."""


@given(a=st.floats(0.2, 900), b=st.floats(0.2, 900), x=st.floats(0, 1))
@cases(100)
def test_the_beta_distribution_is_that_of_scipy(a: float, b: float, x: float) -> None:
    assert beta_upto(x, a, b) == pytest.approx(special.betainc(a, b, x), abs=1e-9)


@given(shape=st.floats(0.1, 900), rate=st.floats(0.01, 50), times=st.floats(0, 4))
@cases(100)
def test_the_gamma_distribution_is_that_of_scipy(shape: float, rate: float, times: float) -> None:
    x = times * shape / rate
    assert gamma_upto(x, shape, rate) == pytest.approx(special.gammainc(shape, rate * x), abs=1e-9)


@given(x=st.floats(-50, 50), freedom=st.floats(0.5, 200))
@cases(60)
def test_students_distribution_is_that_of_scipy(x: float, freedom: float) -> None:
    assert t_upto(x, freedom) == pytest.approx(special.stdtr(freedom, x), abs=1e-9)


@pytest.mark.parametrize(
    ("a", "b", "part", "of", "mean", "sd", "low", "high"),
    [
        # Bayes Rules! (Johnson, Ott & Dogucu), ch. 3: election support
        (45, 55, 30, 50, 0.5, 0.04069, 0.42036, 0.57964),
        # Gelman et al., BDA3, ch. 2: placenta previa, as printed with its demonstrations
        (1, 1, 437, 980, 0.44602851, 0.01585, 0.41506549, 0.47719977),
        # the drug example of the BUGS book (from memory, recomputed)
        (9.2, 13.8, 15, 20, 0.56279, 0.07478, 0.41423, 0.70582),
    ],
)
def test_shares(
    a: float, b: float, part: float, of: float, mean: float, sd: float, low: float, high: float
) -> None:
    found = shares.Beta(a, b).after(part, of)
    assert found.mean == pytest.approx(mean, abs=SHARE)
    assert shares.spread_of_beta(*found) == pytest.approx(sd, abs=SHARE)
    assert interval(beta_upto, found, 0.95, 1) == pytest.approx((low, high), abs=SHARE)


def test_the_chance_that_a_share_is_above_another_value() -> None:
    coin = shares.Beta(1, 1).after(7, 10)  # a teaching example: 227 / 256 by hand
    assert 1 - beta_upto(0.5, *coin) == pytest.approx(227 / 256, abs=1e-9)
    die = shares.Beta(2, 8).after(6, 20)  # the question of a biased die, arithmetic our own
    assert 1 - beta_upto(0.3, *die) == pytest.approx(0.32141, abs=SHARE)


def test_counts() -> None:
    # Bayes Rules!, ch. 5: calls a day, 6, 2, 2, 1
    calls = counts.Gamma(10, 2).after(11, 4)
    assert (calls, calls.mean) == ((21, 6), 3.5)
    assert interval(gamma_upto, calls, 0.95, 100) == pytest.approx((2.16656, 5.14806), rel=REST)
    # BDA3, ch. 2: asthma deaths (from memory, recomputed): 3 in an exposure of 2, then 30 in 20
    for seen, mean, above_one in (((3, 2), 0.85714, 0.30070), ((30, 20), 1.32, 0.92854)):
        deaths = counts.Gamma(3, 5).after(*seen)
        assert deaths.mean == pytest.approx(mean, rel=REST)
        assert 1 - gamma_upto(1, *deaths) == pytest.approx(above_one, abs=SHARE)


def test_a_mean_whose_spread_is_known() -> None:
    # Bayes Rules!, ch. 5: hippocampus volume, 25 of them with a mean of 5.735 and a known spread of 0.5
    found, _ = days.days_after(days.Normal(6.5, 0.4), [days.Seen(5.735, 0.5**2 / 25)], 0.0)
    assert found == pytest.approx((5.78, 0.09701425), rel=REST)
    assert interval(normal_upto, found, 0.95, 5000) == pytest.approx((5.5899, 5.9701), rel=REST)
    # test scores, the question printed at tutorsglobe
    found, _ = days.days_after(days.Normal(600, 25), [days.Seen(538, 116**2 / 60)], 0.0)
    assert found == pytest.approx((554.372, 12.847), rel=REST)


def test_a_mean_whose_spread_is_not_known() -> None:
    # Hoff 2009, ch. 5: wing lengths of midges
    midges = [1.64, 1.70, 1.72, 1.74, 1.82, 1.82, 1.82, 1.90, 2.08]
    found = alone.usual_of(alone.Guess(1.9, 1, 0.1, 1), midges)
    assert (found.mean, found.freedom) == pytest.approx((1.8136, 10), rel=REST)
    assert found.spread**2 == pytest.approx(0.01535, rel=3e-3)  # by the variance rounded to 0.0169
    assert (found.at(0.025), found.at(0.975)) == pytest.approx((1.7263, 1.9009), rel=REST)
    # Newcomb's measurements of light (BDA3, ch. 3; printed 23.6 to 28.8): flat, 66 of mean 26.2 and spread 10.8
    side = 10.8 * sqrt(65 / 66)
    light = alone.usual_of(alone.Guess(spread_worth=0.0), [26.2 - side, 26.2 + side] * 33)
    assert (light.at(0.025), light.at(0.975)) == pytest.approx((23.545, 28.855), rel=REST)


DYESTUFF = {
    "A": (1545, 1440, 1440, 1520, 1580),
    "B": (1540, 1555, 1490, 1560, 1495),
    "C": (1595, 1550, 1605, 1510, 1560),
    "D": (1445, 1440, 1595, 1465, 1545),
    "E": (1595, 1630, 1515, 1635, 1625),
    "F": (1520, 1455, 1450, 1480, 1445),
}
"""Yields of six batches (Davies & Goldsmith 1972, in Bates, A simple, linear, mixed-effects model): a batch is a
season, a preparation a plant."""
FLAT = (-1e7, 1e7)


def test_batches_are_told_from_preparations_as_in_the_published_analysis() -> None:
    # published: between-batch variance 1764.05, within 2451.25, mean 1527.5 with a standard error of 19.3834
    seen = [days.Seen(sum(batch) / 5, 2451.25 / 5) for batch in DYESTUFF.values()]
    found = days.learn_from(FLAT, seen, [(sqrt(1764.05), 1.0)])
    assert found.own == pytest.approx(1527.5, rel=1e-6)
    assert (found.high - found.own) / 1.644854 == pytest.approx(19.3834, rel=REST)


def test_thirty_preparations_are_not_thirty_batches() -> None:
    every = tuple(float(y) for batch in DYESTUFF.values() for y in batch)
    prior = (1400.0, 1650.0)
    kept_apart = days.learn_days(prior, [days.SeasonDays(tuple(map(float, b))) for b in DYESTUFF.values()])
    pooled = days.learn_from(prior, [days.Seen(sum(every) / 30, 11.4**2)], [(0.0, 1.0)])
    assert kept_apart.high - kept_apart.low > 1.5 * (pooled.high - pooled.low)


def test_eight_schools() -> None:
    # Rubin 1981 in BDA3, ch. 5; flat on the mean and on the spread between: mean 7.93, sd 5.17 (own grid; a sampler's
    # usual output is 7.9)
    effects, errors = (28, 8, -3, 7, -1, 1, 18, 12), (15, 10, 16, 11, 9, 11, 10, 18)
    seen = [days.Seen(y, s**2) for y, s in zip(effects, errors, strict=True)]
    # the prior's spread is flat: over so wide a range that it weighs nothing
    prior = days.Normal(0.0, 1e5)
    grid = [0.005 + (60 - 0.005) * (n + 0.5) / 4000 for n in range(4000)]
    held = [(tau, *days.days_after(prior, seen, tau)) for tau in grid]
    best = max(log_odds for _, _, log_odds in held)
    pieces = mixed(
        Piece(exp(odds - best), now.mean, now.sd**2, partial(normal_upto, mean=now.mean, sd=now.sd))
        for _, now, odds in held
    )
    belief = Belief(pieces, -200, 200)
    assert belief.mean == pytest.approx(7.932, rel=2e-3)
    assert sqrt(belief.variance) == pytest.approx(5.170, rel=5e-3)


@pytest.mark.parametrize(
    ("span", "a", "b"),
    [
        ((0.60, 0.90), 15.556, 4.775),
        ((0.70, 0.90), 32.651, 7.720),
        ((0.80, 0.95), 41.489, 5.426),
        ((0.05, 0.15), 8.563, 81.674),
    ],
)
def test_a_range_of_a_share_holds_nine_in_ten(span: tuple[float, float], a: float, b: float) -> None:
    found = shares.prior_share(span)
    assert found == pytest.approx((a, b), rel=5e-3)  # solved with scipy
    assert [special.betainc(*found, x) for x in span] == pytest.approx([0.05, 0.95], abs=1e-3)


@pytest.mark.parametrize(
    ("span", "shape", "rate"),
    [((6, 12), 22.950, 2.6130), ((4, 10), 13.313, 1.98266), ((1, 3), 9.387, 4.97598)],
)
def test_a_range_of_a_count_holds_nine_in_ten(span: tuple[float, float], shape: float, rate: float) -> None:
    found = counts.prior_count(span)
    assert found == pytest.approx((shape, rate), rel=5e-3)  # solved with scipy
    assert [special.gammainc(found.shape, found.rate * x) for x in span] == pytest.approx(
        [0.05, 0.95], abs=1e-3
    )


@given(low=st.floats(0.0, 0.98), width=st.floats(0.0, 0.9))
@cases(200)
def test_every_range_of_a_share_becomes_one(low: float, width: float) -> None:
    high = min(low + width, 1.0)
    found = shares.prior_share((low, high))
    assert 0 < found.a < 1e6 and 0 < found.b < 1e6
    if width > 0.02 and low > 0.01 and high < 0.99:
        assert [special.betainc(*found, x) for x in (low, high)] == pytest.approx([0.05, 0.95], abs=2e-3)
    assert min(shares.wider(found)) > 0


@given(low=st.floats(0.1, 400), times=st.floats(1.1, 12))
@cases(200)
def test_every_range_of_a_count_becomes_one(low: float, times: float) -> None:
    found = counts.prior_count((low, low * times))
    upto = [special.gammainc(found.shape, found.rate * x) for x in (low, low * times)]
    assert upto == pytest.approx([0.05, 0.95], abs=2e-3)


def test_a_range_of_days_holds_nine_in_ten_and_a_season_lies_in_it_eight_times_in_ten() -> None:
    found = days.prior_days((60, 75))
    assert found == pytest.approx((67.5, 4.5597), rel=REST)
    season = sqrt(found.sd**2 + (days.SHARE_OF_WIDTH * 15) ** 2)
    assert 1 - 2 * special.ndtr((60 - 67.5) / season) == pytest.approx(0.8, abs=0.01)


@pytest.mark.parametrize(
    ("part", "of", "sure", "low", "high"),
    [
        (31, 80, 0.95, 0.2882, 0.4971),
        (6, 310, 0.95, 0.0089, 0.0416),
        (31, 80, 0.90, 0.3030, 0.4794),
        (6, 310, 0.90, 0.0100, 0.0370),
        # Newcombe 1998, Statistics in Medicine 17:857, table I, method 3 (from memory, recomputed)
        (81, 263, 0.95, 0.2553, 0.3662),
        (15, 148, 0.95, 0.0624, 0.1605),
        (0, 20, 0.95, 0.0, 0.1611),
        (1, 29, 0.95, 0.0061, 0.1718),
        # vassarstats.net, proportions
        (23, 60, 0.95, 0.2709, 0.5098),
    ],
)
def test_wilsons_interval(part: float, of: float, sure: float, low: float, high: float) -> None:
    found = wilson(part, of, sure)
    assert found == pytest.approx((low, high), abs=SHARE)
    assert 0 <= found[0] <= found[1] <= 1


def test_newcombes_difference() -> None:
    # Newcombe 1998, Statistics in Medicine 17:873, table II, method 10 (from memory, recomputed)
    printed = newcombe(Part(56, 70), Part(48, 80), 0.95)
    assert (printed.low, printed.high) == pytest.approx((0.0524, 0.3339), abs=SHARE)
    pollen = newcombe(Part(31, 80), Part(6, 310), 0.95)
    assert (pollen.difference, pollen.low, pollen.high) == pytest.approx((0.3681, 0.2664, 0.4782), abs=SHARE)
    assert newcombe(Part(31, 80), Part(6, 310))[3:] == pytest.approx((0.2818, 0.4605), abs=SHARE)


def test_what_stands_at_a_chance() -> None:
    assert at_chance(lambda x: gamma_upto(x, 22.95, 2.613), 0.05, 0, 100) == pytest.approx(6, rel=REST)
    assert log(at_chance(lambda x: beta_upto(x, 2, 3), 0.5, 0, 1)) == pytest.approx(
        log(special.betaincinv(2, 3, 0.5)), abs=1e-9
    )
