"""The distributions that the estimates rest on: cumulative chances of the beta, gamma, normal and Student's t
distributions, and the values at given chances.

The beta and gamma functions by their continued fractions and series (Abramowitz & Stegun 1964, 26.5.8, 6.5.29, 6.5.31);
what stands at a chance is found by halving.
"""

from __future__ import annotations

from collections.abc import Callable
from math import erfc, exp, lgamma, log, log1p, sqrt
from statistics import NormalDist

NORMAL = NormalDist()
_TINY, _CLOSE, _MOST = 1e-300, 1e-14, 10_000
_HALVINGS, _CHORDS, _CLOSE_CHANCE = 10, 60, 1e-10


def beta_upto(x: float, a: float, b: float) -> float:
    """The chance that a share with Beta(a, b) is at most x."""
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x))
    if x < (a + 1) / (a + b + 2):
        return front * _beta_fraction(x, a, b) / a
    return 1 - front * _beta_fraction(1 - x, b, a) / b


def _beta_fraction(x: float, a: float, b: float) -> float:
    """By Lentz's method; a few dozen steps, more where a and b are large."""
    d = 1 / _held(1 - (a + b) * x / (a + 1))
    c, found = 1.0, d
    for m in range(1, _MOST):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        d, c = 1 / _held(1 + even * d), _held(1 + even / c)
        found *= d * c
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        d, c = 1 / _held(1 + odd * d), _held(1 + odd / c)
        found *= d * c
        if abs(d * c - 1) < _CLOSE:
            break
    return found


def gamma_upto(x: float, shape: float, rate: float = 1.0) -> float:
    """The chance that a number with Gamma(shape, rate) is at most x (rate, not scale)."""
    x *= rate
    if x <= 0:
        return 0.0
    front = exp(shape * log(x) - x - lgamma(shape))
    if x < shape + 1:
        term = found = 1 / shape
        for n in range(1, _MOST):
            term *= x / (shape + n)
            found += term
            if term < found * _CLOSE:
                break
        return front * found
    b = x + 1 - shape
    c, d = 1 / _TINY, 1 / b
    found = d
    for n in range(1, _MOST):
        step = -n * (n - shape)
        b += 2
        d, c = 1 / _held(step * d + b), _held(b + step / c)
        found *= d * c
        if abs(d * c - 1) < _CLOSE:
            break
    return 1 - front * found


def _held(value: float) -> float:
    """A divisor kept off 0."""
    return value if abs(value) > _TINY else _TINY


def t_upto(x: float, freedom: float) -> float:
    """The chance that a number with Student's t distribution is at most x."""
    tail = beta_upto(freedom / (freedom + x * x), freedom / 2, 0.5) / 2
    return tail if x < 0 else 1 - tail


def normal_upto(x: float, mean: float = 0.0, sd: float = 1.0) -> float:
    """The chance that a normal number is at most x; `sd` above 0. True far out in the tail as well."""
    return erfc((mean - x) / sd / sqrt(2)) / 2


def at_chance(upto: Callable[[float], float], chance: float, low: float, high: float) -> float:
    """The value between `low` and `high` that is not passed with that chance; `upto` rises. By halving, then by chords
    (the Illinois method)."""
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if upto(middle) < chance:
            low = middle
        else:
            high = middle
    under, over = upto(low) - chance, upto(high) - chance
    side = 0
    for _ in range(_CHORDS):
        if over - under <= 0 or high - low <= 1e-11 * max(abs(low), abs(high)):
            break
        middle = (low * over - high * under) / (over - under)
        at = upto(middle) - chance
        if abs(at) < _CLOSE_CHANCE:
            return middle
        if at < 0:
            low, under = middle, at
            over = over / 2 if side < 0 else over
            side = -1
        else:
            high, over = middle, at
            under = under / 2 if side > 0 else under
            side = 1
    return (low + high) / 2


def through(
    upto: Callable[[float, float, float], float], points: tuple[float, float], start: tuple[float, float]
) -> tuple[float, float]:
    """The two parameters, both above 0, of a distribution that has 5 % below the first point and 5 % above the second.

    By Newton's method on their logarithms, from `start`; it is near enough for every range of a crop sheet.
    """
    wanted = NORMAL.inv_cdf(TAIL), NORMAL.inv_cdf(1 - TAIL)

    def misses(u: float, v: float) -> tuple[float, float]:
        found = [upto(x, exp(u), exp(v)) for x in points]
        first, second = (NORMAL.inv_cdf(min(max(one, 1e-15), 1 - 1e-15)) for one in found)
        return first - wanted[0], second - wanted[1]

    u, v, step = log(start[0]), log(start[1]), 1e-5
    at = misses(u, v)
    for _ in range(60):
        by_u, by_v = misses(u + step, v), misses(u, v + step)
        a, b = (by_u[0] - at[0]) / step, (by_v[0] - at[0]) / step
        c, d = (by_u[1] - at[1]) / step, (by_v[1] - at[1]) / step
        det = a * d - b * c
        if abs(det) < 1e-14:
            break
        du, dv = (b * at[1] - d * at[0]) / det, (c * at[0] - a * at[1]) / det
        part = 1.0
        while part > 1e-6:
            next_u, next_v = _within(u + part * _within(du), 14), _within(v + part * _within(dv), 14)
            new = misses(next_u, next_v)
            if max(map(abs, new)) < max(map(abs, at)):
                break
            part /= 2
        u, v, at = next_u, next_v, new
        if max(map(abs, at)) < 1e-10:
            break
    return exp(u), exp(v)


def _within(step: float, most: float = 1.0) -> float:
    return min(max(step, -most), most)


TAIL = 0.05
"""On either side of what is shown as an interval, and of a sheet's range taken as what is known beforehand."""


def spread_of_beta(a: float, b: float) -> float:
    """The standard deviation of Beta(a, b)."""
    return sqrt(a * b / (a + b + 1)) / (a + b)
