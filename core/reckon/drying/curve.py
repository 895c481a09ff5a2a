"""The drying curve and its least squares: weights over hours to the weight it ends at, how fast, and what shape.

    weight(t) = final + water * ratio(t / dry hours)       t in hours since it was hung

The shapes of the ratio are those of core.reckon.drying.shapes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp, log
from typing import NamedTuple

from core.reckon.drying.shapes import PLAIN, Shape, page

_GOLDEN = (5**0.5 - 1) / 2
_FINE, _NEAR = 1e-12, 1e-9


class EndPrior(NamedTuple):
    """Something known beforehand of the end weight: about `share` of the weight as hung, within `spread` (one standard
    deviation, as a share of that share)."""

    share: float
    spread: float


class Curve(NamedTuple):
    """One drying curve. `final_g` and `water_g` in grams, `dry_hours` from the hanging to a moisture ratio of 0.05."""

    final_g: float
    water_g: float
    dry_hours: float
    drying: Shape = PLAIN

    @property
    def shape(self) -> float:
        """Page's n, 1 where it is plain or of two parts."""
        return self.drying.bend

    @property
    def rate_per_hour(self) -> float:
        """k of the shape; of two parts that of the slow one."""
        return float(self.drying.pace ** (1 / self.drying.bend) / self.dry_hours)

    def ratio_at(self, hours: float) -> float:
        """Moisture ratio: the share of the water still to be lost, 1 when hung."""
        return self.drying.ratio(hours / self.dry_hours)

    def grams_at(self, hours: float) -> float:
        """The weight so many hours after the hanging."""
        return self.final_g + self.water_g * self.ratio_at(hours)

    def hours_to(self, ratio: float) -> float:
        """Hours from the hanging to a moisture ratio between 0 and 1."""
        return self.dry_hours * self.drying.time_of(ratio)


class Solved(NamedTuple):
    """The best end weight and water for one time and shape. `misfit` is the sum of squares, `det` and `mm` are of the
    normal equations: var(final) = variance * mm / det."""

    final_g: float
    water_g: float
    misfit: float
    det: float
    mm: float


def best_line(
    ratios: Sequence[float], grams: Sequence[float], end_prior: EndPrior | None = None, weight: float = 0.0
) -> Solved | None:
    """Least squares of grams = final + water * ratio; None where the ratios do not tell the two apart.

    With `end_prior`, one more row of that `weight`: final = share of (final + water).
    """
    n = float(len(grams))
    m = mm = mg = g = 0.0
    for r, w in zip(ratios, grams, strict=True):
        m += r
        mm += r * r
        mg += r * w
        g += w
    if end_prior is not None:
        m -= weight * end_prior.share * (1 - end_prior.share)
        mm += weight * end_prior.share**2
        n += weight * (1 - end_prior.share) ** 2
    det = n * mm - m * m
    if det <= 1e-14 * n * mm:
        return None
    water = (n * mg - m * g) / det
    final = (mm * g - m * mg) / det
    misfit = 0.0
    for r, w in zip(ratios, grams, strict=True):
        off = w - final - water * r
        misfit += off * off
    if end_prior is not None:
        misfit += weight * ((1 - end_prior.share) * final - end_prior.share * water) ** 2
    return Solved(final, water, misfit, det, mm)


def closed_form(
    first_g: float, second_g: float, third_g: float, gap_hours: float
) -> tuple[float, float] | None:
    """End weight and rate per hour from three weighings at equal gaps; None where they cannot mean drying.

    Wf = (W1 W3 - W2^2) / (W1 + W3 - 2 W2),  k = ln((W1 - Wf) / (W2 - Wf)) / gap.
    """
    bend = first_g + third_g - 2 * second_g
    if not (first_g > second_g > third_g and bend > 0):
        return None
    final = (first_g * third_g - second_g**2) / bend
    if final <= 0:
        return None
    return final, log((first_g - final) / (second_g - final)) / gap_hours


def least_of(
    shape: Shape,
    hours: Sequence[float],
    grams: Sequence[float],
    low: float,
    high: float,
    end_prior: EndPrior | None = None,
    weight: float = 0.0,
) -> Curve | None:
    """The curve of that shape of least squares with its hours to dry between `low` and `high` (one dip is taken for
    granted there); None where no line can be laid."""

    def misfit(log_hours: float) -> float:
        line = best_line(ratios_of(shape, hours, exp(log_hours)), grams, end_prior, weight)
        return float("inf") if line is None else line.misfit

    dry_hours = exp(_lowest(misfit, log(low), log(high)))
    line = best_line(ratios_of(shape, hours, dry_hours), grams, end_prior, weight)
    return None if line is None else Curve(line.final_g, line.water_g, dry_hours, shape)


def ratios_of(shape: Shape, hours: Sequence[float], dry_hours: float) -> list[float]:
    """Moisture ratios at some hours of a bunch of that shape dry after `dry_hours`."""
    return [shape.ratio(h / dry_hours) for h in hours]


def least_bent(
    hours: Sequence[float],
    grams: Sequence[float],
    start: tuple[float, float],
    cost: Callable[[float, float], float],
    end_prior: EndPrior | None = None,
    weight: float = 0.0,
) -> Curve | None:
    """Page's curve where `cost(misfit, bend)` is least, looked for from `start` (hours to dry, bend)."""

    def of(point: tuple[float, float]) -> float:
        dry_hours, bend = exp(point[0]), exp(point[1])
        line = best_line(ratios_of(page(bend), hours, dry_hours), grams, end_prior, weight)
        return float("inf") if line is None else cost(line.misfit, bend)

    best = _downhill(of, (log(start[0]), log(start[1])))
    dry_hours, shape = exp(best[0]), page(exp(best[1]))
    line = best_line(ratios_of(shape, hours, dry_hours), grams, end_prior, weight)
    return None if line is None else Curve(line.final_g, line.water_g, dry_hours, shape)


def _lowest(of: Callable[[float], float], low: float, high: float) -> float:
    """The lowest point of one dip, by golden section."""
    a, b = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_a, at_b = of(a), of(b)
    while high - low > _FINE * max(1.0, abs(low)):
        if at_a <= at_b:
            high, b, at_b = b, a, at_a
            a = high - _GOLDEN * (high - low)
            at_a = of(a)
        else:
            low, a, at_a = a, b, at_b
            b = low + _GOLDEN * (high - low)
            at_b = of(b)
    return (low + high) / 2


_Point = tuple[float, float]


_FIRST_STEP = 0.05
"""The first side of the triangle."""


def _downhill(of: Callable[[_Point], float], start: _Point) -> _Point:
    """The lowest point near `start`: a triangle that walks downhill and shrinks (Nelder and Mead, 1965)."""

    def at(point: _Point) -> tuple[float, _Point]:
        return of(point), point

    corners = sorted(
        at(p) for p in (start, (start[0] + _FIRST_STEP, start[1]), (start[0], start[1] + _FIRST_STEP))
    )
    for _ in range(400):
        (best, one), (good, two), (worst, three) = corners
        if max(abs(one[i] - other[i]) for i in (0, 1) for other in (two, three)) < _NEAR:
            break
        turned, further, outside, inside = (
            (
                (one[0] + two[0]) / 2 * (1 + step) - three[0] * step,
                (one[1] + two[1]) / 2 * (1 + step) - three[1] * step,
            )
            for step in (1.0, 2.0, 0.5, -0.5)
        )
        tried = at(turned)
        if tried[0] < best:
            corners[2] = min(tried, at(further))
        elif tried[0] < good:
            corners[2] = tried
        elif (nearer := at(outside if tried[0] < worst else inside))[0] < min(worst, tried[0]):
            corners[2] = nearer
        else:
            for i in (1, 2):
                corner = corners[i][1]
                corners[i] = at(((one[0] + corner[0]) / 2, (one[1] + corner[1]) / 2))
        corners.sort()
    return corners[0][1]
