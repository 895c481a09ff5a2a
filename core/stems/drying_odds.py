"""Which drying curves the weighings allow, and with what odds: the honest width of a dry-by date.

Every curve on a grid of hours to dry and of shapes gets its odds: how well its best line meets the weighings, against
the noise of scale and handling, times how usual such a curve is. Deterministic: plain sums over some thousand curves.

What is taken as usual, where no crop is given: any time to dry up to 45 days; an end weight between 4 and 80 % of the
fresh (published: chrysanthemum 12-15 % [S52], strawflower 19 % [S51]; grasses up to a half, from memory); a shape that
is plain in one case of four, else about 1 within 0.13. No shape was found published for flowers in the air of a shed:
0.13 covers 0.8 to 1.3, as thin layers of leaves have it in ovens (weak, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import erf, exp, log, pi, sqrt

from core.stems.drying_curve import Lean, best_line, moisture_ratio

PLAIN_SHARE = 0.25
SHAPE_SPREAD = 0.13
_SHAPES = (0.70, 1.42)
_LONGEST_HOURS = 45 * 24.0
_FRACTIONS = (0.04, 0.80)
NOISE_WORTH = 4.0
"""The noise taken beforehand counts as much as so many weighings beyond the two of a line."""
_FAINT = 1e-4


@dataclass(frozen=True, slots=True)
class Usual:
    """Hours to dry usual for the crop: about `hours`, within `spread` (one standard deviation of the logarithm)."""

    hours: float
    spread: float


@dataclass(frozen=True, slots=True)
class Odds:
    """`hours` to dry on a grid with the share of the odds on each: all shapes together, and the plain shape alone.

    `bent` is the share of all odds on shapes other than plain; `best_bent` the likeliest of those (hours, shape).
    """

    hours: tuple[float, ...]
    shares: tuple[float, ...]
    plain: tuple[float, ...]
    bent: float
    best_bent: tuple[float, float]

    def within(self, hours: float, reach: float) -> float:
        """The chance that the true hours to dry are within `reach` of `hours`, whatever the shape."""
        return _between(self.hours, self.shares, hours - reach, hours + reach)

    def plain_within(self, hours: float, reach: float) -> float:
        """The same if the shape is plain."""
        return _between(self.hours, self.plain, hours - reach, hours + reach)

    def span(self, level: float) -> tuple[float, float]:
        """Hours to dry that hold the truth with the chance `level`, as much beyond one end as the other."""
        return _quantile(self.hours, self.shares, (1 - level) / 2), _quantile(
            self.hours, self.shares, (1 + level) / 2
        )


@dataclass(frozen=True, slots=True)
class _Seen:
    hours: tuple[float, ...]
    grams: tuple[float, ...]
    noise_g: float
    lean: Lean | None
    weight: float
    usual: Usual | None


def weigh_odds(
    hours: Sequence[float],
    grams: Sequence[float],
    noise_g: float,
    lean: Lean | None = None,
    weight: float = 0.0,
    usual: Usual | None = None,
) -> Odds | None:
    """The odds of all curves for weighings (hours since hung, grams, rising hours); None where no curve fits at all."""
    seen = _Seen(tuple(hours), tuple(grams), noise_g, lean, weight, usual)
    span = hours[-1] - hours[0]
    gap = min(b - a for a, b in pairwise(hours))
    low, high = log(max(gap / 4, span / 40)), log(max(_LONGEST_HOURS, 8 * hours[-1]))
    shapes = _SHAPES
    found: Odds | None = None
    for _ in range(4):
        cells = _cells(seen, _steps(low, high, 72), _steps(log(shapes[0]), log(shapes[1]), 9))
        if cells is None:
            return None
        found, times, bents = cells
        if len(times) > 24 and (len(bents) > 4 or not bents):
            break
        step, turn = (high - low) / 71, (log(shapes[1]) - log(shapes[0])) / 8
        low, high = times[0] - step, times[-1] + step
        if bents:
            shapes = (
                exp(max(bents[0] - turn, log(_SHAPES[0]))),
                exp(min(bents[-1] + turn, log(_SHAPES[1]))),
            )
    return found


def _cells(
    seen: _Seen, times: list[float], shapes: list[float]
) -> tuple[Odds, list[float], list[float]] | None:
    """Odds on one grid of log hours and log shapes, and what of either is not faint."""
    turn = shapes[1] - shapes[0]
    slab = log((1 - PLAIN_SHARE) * turn / (SHAPE_SPREAD * sqrt(2 * pi)))
    plain = [_log_odds(seen, exp(t), 1.0, log(PLAIN_SHARE)) for t in times]
    rows = [
        [_log_odds(seen, exp(t), exp(s), slab - 0.5 * (s / SHAPE_SPREAD) ** 2) for s in shapes] for t in times
    ]
    top_bent, at, of = max((v, i, j) for i, row in enumerate(rows) for j, v in enumerate(row))
    top = max(max(plain), top_bent)
    if top == float("-inf"):
        return None
    plain_shares = [exp(v - top) for v in plain]
    bent_rows = [[exp(v - top) for v in row] for row in rows]
    bent_by_time = [sum(row) for row in bent_rows]
    both = [a + b for a, b in zip(plain_shares, bent_by_time, strict=True)]
    total, plain_total = sum(both), sum(plain_shares)
    found = Odds(
        tuple(exp(t) for t in times),
        tuple(v / total for v in both),
        tuple(v / plain_total if plain_total else 0.0 for v in plain_shares),
        sum(bent_by_time) / total,
        (exp(times[at]), exp(shapes[of])),
    )
    strong = max(both)
    by_shape = [sum(row[j] for row in bent_rows) for j in range(len(shapes))]
    strong_shape = max(by_shape)
    kept_times = [t for t, v in zip(times, both, strict=True) if v > _FAINT * strong]
    kept_shapes = [s for s, v in zip(shapes, by_shape, strict=True) if v > _FAINT * strong_shape]
    return found, kept_times, kept_shapes


def _log_odds(seen: _Seen, dry_hours: float, shape: float, usual: float) -> float:
    """Log of the odds of one curve, end weight and water summed over (their best line, and how sharply it is set)."""
    ratios = [moisture_ratio(h, dry_hours, shape) for h in seen.hours]
    line = best_line(ratios, seen.grams, seen.lean, seen.weight)
    if line is None or line.water_g <= 0:
        return float("-inf")
    worth = NOISE_WORTH + len(seen.grams) - 2 + (1 if seen.lean is not None else 0)
    spread2 = (NOISE_WORTH * seen.noise_g**2 + line.misfit) / worth
    hung_g = line.final_g + line.water_g
    error = sqrt(spread2 * line.mm / line.det)
    room = _normal((_FRACTIONS[1] * hung_g - line.final_g) / error) - _normal(
        (_FRACTIONS[0] * hung_g - line.final_g) / error
    )
    if room <= 0:
        return float("-inf")
    found = usual - worth / 2 * log(spread2) - log(line.det) / 2 + log(room)
    if seen.usual is not None:
        found -= 0.5 * (log(dry_hours / seen.usual.hours) / seen.usual.spread) ** 2
    return found


def _normal(x: float) -> float:
    return 0.5 * (1 + erf(x / sqrt(2)))


def _steps(low: float, high: float, count: int) -> list[float]:
    return [low + (high - low) * i / (count - 1) for i in range(count)]


def _edges(hours: tuple[float, ...]) -> list[float]:
    """The bounds of the cells round the hours, even in the logarithm."""
    half = sqrt(hours[1] / hours[0])
    return [hours[0] / half, *(h * half for h in hours)]


def _between(hours: tuple[float, ...], shares: tuple[float, ...], low: float, high: float) -> float:
    edges = _edges(hours)
    found = 0.0
    for left, right, share in zip(edges, edges[1:], shares, strict=False):
        common = min(right, high) - max(left, low)
        if common > 0:
            found += share * common / (right - left)
    return min(found, 1.0)


def _quantile(hours: tuple[float, ...], shares: tuple[float, ...], level: float) -> float:
    edges = _edges(hours)
    done = 0.0
    for left, right, share in zip(edges, edges[1:], shares, strict=False):
        if share > 0 and done + share >= level:
            return left + (right - left) * (level - done) / share
        done += share
    return edges[-1]
