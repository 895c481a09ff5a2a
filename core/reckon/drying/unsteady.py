"""What moves weights off a smooth curve: the scale, a damp spell in the bunch, a shed that dries faster and slower.

Three worlds, each with its odds: steady air; a pace that wanders with the weather; damp that comes and goes in the
weight itself. Each is a covariance of the weighings, in square grams. How far the pace and the damp move is our own
and weak: dry-shed air changes within days, and the pace goes by what the air still takes up.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log, sqrt
from operator import mul
from typing import NamedTuple


class World(NamedTuple):
    """`share` of the odds; `pace`: one standard deviation of the log of the drying pace, which keeps for some
    `PACE_HOURS`; `damp`: one of the weight, as a share of it, which keeps for some `DAMP_HOURS`."""

    share: float
    pace: float
    damp: float


PACE_HOURS, DAMP_HOURS = 60.0, 40.0
WORLDS = (World(0.27, 0.0, 0.004), World(0.28, 0.28, 0.004), World(0.45, 0.08, 0.035))


class Whitened(NamedTuple):
    """A world as weights for sums of squares: `rows` (lower triangular) turn weighings into as many of one gram each,
    `ones` and `grams` are the inverse covariance times ones and times the weighings, `log_size` of its determinant.

    `ahead` tells, from what is left over at each weighing, how many hours the drying has run ahead of its curve by
    now; `unsure` is the variance of that, in square hours.
    """

    world: World
    rows: tuple[tuple[float, ...], ...]
    ones: tuple[float, ...]
    grams: tuple[float, ...]
    log_size: float
    ahead: tuple[float, ...]
    unsure: float


def whiten(
    world: World,
    hours: Sequence[float],
    grams: Sequence[float],
    slopes: Sequence[float],
    noise_g: float,
) -> Whitened:
    """A world for these weighings; `slopes` are grams an hour at each, by any curve that is about right."""
    count = len(hours)
    covariance = [
        [
            slopes[i] * slopes[j] * wandered(world.pace, hours[i], hours[j])
            + world.damp**2 * grams[i] * grams[j] * exp(-(hours[i] - hours[j]) / DAMP_HOURS)
            + (noise_g**2 if i == j else 0.0)
            for j in range(i + 1)
        ]
        for i in range(count)
    ]
    root = _root(covariance)
    rows = _inverse(root)
    now = [slope * wandered(world.pace, h, hours[-1]) for slope, h in zip(slopes, hours, strict=True)]
    ahead = _solve(rows, now)
    known = sum(map(mul, now, ahead))
    return Whitened(
        world,
        rows,
        _solve(rows, [1.0] * count),
        _solve(rows, grams),
        sum(log(root[i][i]) for i in range(count)),
        ahead,
        max(wandered(world.pace, hours[-1], hours[-1]) - known, 0.0),
    )


def wandered(pace: float, one: float, two: float) -> float:
    """The covariance, in square hours, of how far ahead a wandering pace has brought the drying after so many hours
    and after so many: the integral of a pace whose memory fades within `PACE_HOURS`."""
    if not pace:
        return 0.0
    scale = PACE_HOURS
    fade = 1 - exp(-one / scale) - exp(-two / scale) + exp(-abs(one - two) / scale)
    return pace**2 * scale * (2 * min(one, two) - scale * fade)


def still_to_wander(pace: float, hours: float) -> float:
    """The variance, in square hours, of how far it goes ahead or falls behind in so many hours to come."""
    return wandered(pace, hours, hours)


def _root(covariance: list[list[float]]) -> list[list[float]]:
    """Cholesky's: the lower triangle that times itself turned over gives the covariance."""
    root: list[list[float]] = []
    for i, row in enumerate(covariance):
        made: list[float] = []
        for j in range(i):
            made.append((row[j] - sum(map(mul, made, root[j]))) / root[j][j])
        made.append(sqrt(max(row[i] - sum(map(mul, made, made)), 1e-12)))
        root.append(made)
    return root


def _inverse(root: list[list[float]]) -> tuple[tuple[float, ...], ...]:
    """Of a lower triangle, by columns."""
    count = len(root)
    found = [[0.0] * (i + 1) for i in range(count)]
    for j in range(count):
        found[j][j] = 1 / root[j][j]
        for i in range(j + 1, count):
            found[i][j] = -sum(root[i][k] * found[k][j] for k in range(j, i)) / root[i][i]
    return tuple(tuple(row) for row in found)


def _solve(rows: Sequence[Sequence[float]], values: Sequence[float]) -> tuple[float, ...]:
    """The inverse covariance times `values`, by its whitening rows."""
    white = [sum(map(mul, row, values)) for row in rows]
    return tuple(sum(rows[i][j] * white[i] for i in range(j, len(rows))) for j in range(len(rows)))
