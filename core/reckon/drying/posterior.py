"""Which drying curves the weighings allow, and with what odds: the honest width of a dry-by date.

Every curve on a grid of hours to dry and of shapes gets its odds: how well its best line meets the weighings, against
the noise of scale and handling, times how usual such a curve is. Deterministic: sums over some six hundred curves.

What is taken as usual, where no crop is given: any time to dry up to 45 days; an end weight between 4 and 80 % of the
fresh (published: chrysanthemum 12-15 % [S52], strawflower 19 % [S51]; grasses up to a half, from memory); a shape that
is plain in one case of four, else about 1 within 0.13. No shape was found published for flowers in the air of a shed:
0.13 covers 0.8 to 1.3, as thin layers of leaves have it in ovens (weak, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import erf, exp, log, pi, sqrt
from typing import NamedTuple

from core.reckon.drying.curve import DRY_RATIO, Lean

PLAIN_SHARE = 0.25
SHAPE_SPREAD = 0.13
_SHAPES = (0.70, 1.42)
_LONGEST_HOURS = 45 * 24.0
_FRACTIONS = (0.04, 0.80)
NOISE_WORTH = 4.0
"""The noise taken beforehand counts as much as so many weighings beyond the two of a line."""
_COARSE, _FINE = (24, 7), (40, 11)
"""Hours and shapes of the grid that finds where the odds lie, and of those that weigh them there."""
_CLEAR = (16, 5)
"""More hours and shapes than these must have odds that are not faint, else the grid is drawn closer."""
_FAINT = 1e-4
_NEVER = float("-inf")


class Usual(NamedTuple):
    """Hours to dry usual for the crop: about `hours`, within `spread` (one standard deviation of the logarithm)."""

    hours: float
    spread: float


class Odds(NamedTuple):
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


class _Seen(NamedTuple):
    """What the odds are of: the weighings, their noise, and what is known beforehand."""

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
    least, most = log(max(gap / 4, span / 40)), log(max(_LONGEST_HOURS, 8 * hours[-1]))
    flattest, steepest = log(_SHAPES[0]), log(_SHAPES[1])
    cells = _cells(seen, _steps(least, most, _COARSE[0]), _steps(flattest, steepest, _COARSE[1]))
    for _ in range(3):
        if cells is None:
            return None
        times = _steps(max(cells.times[0], least), min(cells.times[1], most), _FINE[0])
        shapes = _steps(max(cells.shapes[0], flattest), min(cells.shapes[1], steepest), _FINE[1])
        cells = _cells(seen, times, shapes)
        if cells is not None and cells.is_fine:
            break
    return None if cells is None else cells.odds


class _Cells(NamedTuple):
    """Odds on one grid; from and to which log hours and log shape they are not faint; whether enough cells are not."""

    odds: Odds
    times: tuple[float, float]
    shapes: tuple[float, float]
    is_fine: bool


def _cells(seen: _Seen, times: list[float], shapes: list[float]) -> _Cells | None:
    """The odds on a grid of log hours and log shapes; None where no curve fits."""
    step, turn = times[1] - times[0], shapes[1] - shapes[0]
    slab = log((1 - PLAIN_SHARE) * turn / (SHAPE_SPREAD * sqrt(2 * pi)))
    plain = _log_odds(seen, times, 1.0, log(PLAIN_SHARE))
    bent = [_log_odds(seen, times, exp(s), slab - 0.5 * (s / SHAPE_SPREAD) ** 2) for s in shapes]
    top_bent, of, at = max((v, j, i) for j, of_shape in enumerate(bent) for i, v in enumerate(of_shape))
    top = max(*plain, top_bent)
    if top == float("-inf"):
        return None
    plain_shares = [exp(v - top) for v in plain]
    bent_shares = [[exp(v - top) for v in of_shape] for of_shape in bent]
    bent_by_time = [sum(of_time) for of_time in zip(*bent_shares, strict=True)]
    both = [a + b for a, b in zip(plain_shares, bent_by_time, strict=True)]
    by_shape = [sum(of_shape) for of_shape in bent_shares]
    total, plain_total = sum(both), sum(plain_shares)
    found = Odds(
        tuple(exp(t) for t in times),
        tuple(v / total for v in both),
        tuple(v / plain_total if plain_total else 0.0 for v in plain_shares),
        sum(bent_by_time) / total,
        (exp(times[at]), exp(shapes[of])),
    )
    clear_times, clear_shapes = _clear(times, both), _clear(shapes, by_shape)
    return _Cells(
        found,
        (clear_times[0] - step, clear_times[-1] + step),
        (clear_shapes[0] - turn, clear_shapes[-1] + turn) if clear_shapes else (shapes[0], shapes[-1]),
        len(clear_times) > _CLEAR[0] and (len(clear_shapes) > _CLEAR[1] or not clear_shapes),
    )


def _clear(values: list[float], shares: list[float]) -> list[float]:
    """Those whose share is not faint."""
    strong = max(shares)
    return [value for value, share in zip(values, shares, strict=True) if share > _FAINT * strong]


def _log_odds(seen: _Seen, log_hours: list[float], shape: float, usual: float) -> list[float]:
    """Log of the odds of the curves of one shape, end weight and water summed over (their best line, and how sharply
    it is set).

    The sums are those of `best_line`, written out: a fit asks for them some six hundred times.
    """
    points = [(h**shape, w) for h, w in zip(seen.hours, seen.grams, strict=True)]
    n, m_lean, mm_lean = float(len(points)), 0.0, 0.0
    worth = NOISE_WORTH + n - 2
    if seen.lean is not None:
        share = seen.lean.share
        m_lean, mm_lean = -seen.weight * share * (1 - share), seen.weight * share**2
        n += seen.weight * (1 - share) ** 2
        worth += 1
    g, gg = sum(seen.grams), sum(w * w for w in seen.grams)
    noise2 = NOISE_WORTH * seen.noise_g**2
    half_worth, spent = worth / 2, log(DRY_RATIO)
    least, most = _FRACTIONS
    usual_log = 0.0 if seen.usual is None else log(seen.usual.hours)
    found = []
    for log_hour in log_hours:
        fall = spent * exp(-shape * log_hour)
        m, mm, mg = m_lean, mm_lean, 0.0
        for power, w in points:
            ratio = exp(fall * power)
            m += ratio
            mm += ratio * ratio
            mg += ratio * w
        det, lost = n * mm - m * m, n * mg - m * g
        if det <= 1e-14 * n * mm or lost <= 0:
            found.append(_NEVER)
            continue
        water, final = lost / det, (mm * g - m * mg) / det
        misfit = gg - final * g - water * mg
        spread2 = (noise2 + misfit if misfit > 0 else noise2) / worth
        scale = sqrt(2 * spread2 * mm / det)
        hung = final + water
        room = erf((most * hung - final) / scale) - erf((least * hung - final) / scale)
        if room <= 0:
            found.append(_NEVER)
            continue
        odds = usual - half_worth * log(spread2) - log(det) / 2 + log(room / 2)
        if seen.usual is not None:
            odds -= 0.5 * ((log_hour - usual_log) / seen.usual.spread) ** 2
        found.append(odds)
    return found


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
