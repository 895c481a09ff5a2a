"""Which drying curves the weighings allow, and with what odds: the honest width of a dry-by date.

Every curve on a grid of hours to dry, of shapes (core.reckon.drying.shapes) and of worlds that move weights off it
(core.reckon.drying.unsteady) gets its odds: how well its best line meets the weighings, times how usual such a curve
is. Weather to come widens what is left of its time. Deterministic: sums over some two thousand curves.

What is taken as usual, where no crop is given: 3 days to 3 weeks, as published for all kinds [S104], more and less
ever rarer; an end weight between 5 and 60 % of the fresh (published: chrysanthemum 12-15 % [S52], strawflower 19 %
[S51]; grasses up to a half, from memory).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import erf, exp, log, pi, sqrt
from operator import mul
from typing import NamedTuple

from core.reckon.drying.curve import EndPrior
from core.reckon.drying.shapes import PLAIN, SHAPES, Shape
from core.reckon.drying.unsteady import WORLDS, Whitened, still_to_wander, whiten

USUAL_HOURS, USUAL_SPREAD = 190.0, 0.6
"""Hours to dry of any crop, and one standard deviation of their logarithm: 3 to 21 days are the middle four fifths."""
_SURE_OF_CROP = 0.85
"""How far a crop's own drying days are believed against those of all kinds."""
_LONGEST_HOURS = 60 * 24.0
_FRACTIONS = (0.08, 0.55)
NOISE_WORTH = 4.0
"""The noise taken beforehand counts as much as so many weighings beyond the two of a line."""
_COARSE, _FINE = 13, 9
"""Hours at which each shape is tried: over all that can be, and where it is likely."""
_CLEAR = 5
"""So many of them must have odds that are not faint, else the grid is drawn closer."""
_FAINT = 8.0
"""By so much the log of the odds is below the best where they are faint."""
_SPREAD_OUT = tuple((z, exp(-z * z / 2)) for z in (-2.0, -1.2, -0.4, 0.4, 1.2, 2.0))
"""A bell in six pieces: standard deviations, and the height there."""
_EARLY_TAIL = 0.3
_CLEARLY = 3.0
"""Another shape is called the likeliest where its odds are so many times those of the plain one."""


class HoursPrior(NamedTuple):
    """Hours to dry usual for the crop: about `hours`, within `spread` (one standard deviation of the logarithm)."""

    hours: float
    spread: float


class Odds(NamedTuple):
    """Rising `hours` to dry, and the share of the odds up to each: of all curves (`upto`), and of the plain curve in
    steady air alone (`plain_hours`, `plain_upto`). `best` is the likeliest shape, `best_hours` its hours to dry."""

    hours: tuple[float, ...]
    upto: tuple[float, ...]
    plain_hours: tuple[float, ...]
    plain_upto: tuple[float, ...]
    best: Shape
    best_hours: float

    def within(self, hours: float, reach: float) -> float:
        """The chance that the true hours to dry are within `reach` of `hours`, whatever the shape and the weather."""
        return self._before(hours + reach) - self._before(hours - reach)

    def plain_within(self, hours: float, reach: float) -> float:
        """The same if the drying is plain and the air steady."""
        if not self.plain_hours:
            return 0.0
        return _share(self.plain_hours, self.plain_upto, hours + reach) - _share(
            self.plain_hours, self.plain_upto, hours - reach
        )

    def after(self, hours: float) -> float:
        """The chance that it dries later than that."""
        return 1 - self._before(hours)

    def span(self, level: float) -> tuple[float, float]:
        """Hours to dry that hold the truth with the chance `level` at least: half of the rest lies beyond the late
        end, much less before the early one (in damp that comes and goes the odds lean late: measured)."""
        low, high = _EARLY_TAIL * (1 - level) / 2, (1 + level) / 2
        return _hours(self.hours, self.upto, low), _hours(self.hours, self.upto, high)

    def _before(self, hours: float) -> float:
        return _share(self.hours, self.upto, hours)


class _Seen(NamedTuple):
    """What the odds are of: the weighings, and what is known beforehand."""

    hours: tuple[float, ...]
    grams: tuple[float, ...]
    end_prior: EndPrior | None
    hours_prior: HoursPrior | None


class _Cell(NamedTuple):
    """One curve in one world: the log of its odds, and by how many hours it has run ahead of the curve by now."""

    log_odds: float
    log_hours: float
    shape: Shape
    world: Whitened
    ahead: float


def weigh_odds(
    hours: Sequence[float],
    grams: Sequence[float],
    noise_g: float,
    end_prior: EndPrior | None = None,
    hours_prior: HoursPrior | None = None,
) -> Odds | None:
    """The odds of all curves for weighings (hours since hung, grams, rising hours); None where no curve fits at all."""
    seen = _Seen(tuple(hours), tuple(grams), end_prior, hours_prior)
    gap = min(b - a for a, b in pairwise(hours))
    least = log(max(gap / 4, (hours[-1] - hours[0]) / 40))
    most = log(max(_LONGEST_HOURS, 8 * hours[-1]))
    steady = whiten(WORLDS[0], hours, grams, [0.0] * len(hours), noise_g)
    tried = [_tried(seen, grid) for grid in _coarse(steady, least, most)]
    rough = max((each.top for each in tried if each.cells), default=None, key=_log_odds)
    if rough is None:
        return None
    slopes = _slopes(seen, rough)
    for world in WORLDS[1:]:
        moved = whiten(world, hours, grams, slopes, noise_g)
        tried += [_tried(seen, grid) for grid in _coarse(moved, least, most)]
    for faint in (3 * _FAINT, 2 * _FAINT, _FAINT, _FAINT):
        best = max(each.top.log_odds for each in tried if each.cells)
        likely = [each for each in tried if each.cells and each.top.log_odds > best - faint]
        if all(each.is_fine for each in likely):
            break
        tried = [each if each.is_fine else _tried(seen, each.closer) for each in likely]
    return _odds(seen, [cell for each in tried for cell in each.cells])


class _Grid(NamedTuple):
    """Hours to dry at which one shape is tried in one world: `points` from the log `least` on, a `step` apart."""

    shape: Shape
    log_share: float
    world: Whitened
    least: float
    step: float
    points: int


class _Tried(NamedTuple):
    """A grid with those of its curves that can be."""

    grid: _Grid
    cells: tuple[_Cell, ...]

    @property
    def top(self) -> _Cell:
        """The likeliest."""
        return max(self.cells, key=_log_odds)

    @property
    def _clear(self) -> list[_Cell]:
        least = self.top.log_odds - _FAINT
        return [cell for cell in self.cells if cell.log_odds > least]

    @property
    def is_fine(self) -> bool:
        """Whether the odds lie on enough of its hours."""
        return len(self._clear) >= _CLEAR

    @property
    def closer(self) -> _Grid:
        """The grid drawn round the hours where it is not faint."""
        clear = self._clear
        low, high = clear[0].log_hours - self.grid.step, clear[-1].log_hours + self.grid.step
        return self.grid._replace(least=low, step=(high - low) / (_FINE - 1), points=_FINE)


def _coarse(world: Whitened, least: float, most: float) -> Iterator[_Grid]:
    """Every shape over all hours that can be."""
    for shape, share in SHAPES:
        yield _Grid(shape, log(share), world, least, (most - least) / (_COARSE - 1), _COARSE)


def _log_odds(cell: _Cell) -> float:
    return cell.log_odds


def _tried(seen: _Seen, grid: _Grid) -> _Tried:
    return _Tried(grid, tuple(_cells(seen, grid)))


def _cells(seen: _Seen, grid: _Grid) -> Iterator[_Cell]:
    """Every curve that can be, with the log of its odds: its end weight and water are summed over (their best line,
    and how sharply it is set)."""
    shape, world = grid.shape, grid.world
    worth = NOISE_WORTH + len(seen.hours) - 2 + (seen.end_prior is not None)
    n, g, m_prior, mm_prior = sum(world.ones), sum(world.grams), 0.0, 0.0
    gg = sum(map(mul, world.grams, seen.grams))
    if seen.end_prior is not None:  # one more row: final = share of (final + water)
        share = seen.end_prior.share
        weight = 1 / (share * seen.end_prior.spread * seen.grams[0]) ** 2
        n += weight * (1 - share) ** 2
        m_prior, mm_prior = -weight * share * (1 - share), weight * share**2
    usually = grid.log_share + log(world.world.share) + log(grid.step) - world.log_size
    least, most = _FRACTIONS
    for i in range(grid.points):
        log_hours = grid.least + i * grid.step
        pace = exp(-log_hours)
        ratios = shape.ratios([h * pace for h in seen.hours])
        m = m_prior + sum(map(mul, world.ones, ratios))
        mg = sum(map(mul, world.grams, ratios))
        mm = mm_prior
        for row in world.rows:
            mm += sum(map(mul, row, ratios)) ** 2
        det, lost = n * mm - m * m, n * mg - m * g
        if det <= 1e-13 * n * mm or lost <= 0:
            continue
        water, final = lost / det, (mm * g - m * mg) / det
        misfit = gg - final * g - water * mg
        spread2 = (NOISE_WORTH + max(misfit, 0.0)) / worth
        scale = sqrt(2 * spread2 * mm / det)
        hung = final + water
        room = erf((most * hung - final) / scale) - erf((least * hung - final) / scale)
        if room <= 0:
            continue
        ahead = 0.0
        if world.world.pace:
            pairs = zip(world.ahead, seen.grams, ratios, strict=True)
            ahead = sum(a * (w - final - water * ratio) for a, w, ratio in pairs)
        odds = (
            usually
            + _log_prior(seen.hours_prior, log_hours)
            - worth / 2 * log(spread2)
            - log(det) / 2
            + log(room / 2)
        )
        yield _Cell(odds, log_hours, shape, world, ahead)


def _log_prior(hours_prior: HoursPrior | None, log_hours: float) -> float:
    """Log of how usual so many hours to dry are."""
    found = _bell(log_hours, USUAL_HOURS, USUAL_SPREAD)
    if hours_prior is not None:
        found = (1 - _SURE_OF_CROP) * found + _SURE_OF_CROP * _bell(
            log_hours, hours_prior.hours, hours_prior.spread
        )
    return log(found + 1e-300)


def _bell(log_hours: float, middle: float, spread: float) -> float:
    return exp(-0.5 * ((log_hours - log(middle)) / spread) ** 2) / (spread * sqrt(2 * pi))


def _slopes(seen: _Seen, rough: _Cell) -> list[float]:
    """Grams an hour at each weighing by a curve that is about right."""
    pace = exp(-rough.log_hours)
    ratios = [rough.shape.ratio(h * pace) for h in seen.hours]
    mean, count = sum(ratios) / len(ratios), len(ratios)
    g = sum(seen.grams) / count
    water = sum((r - mean) * (w - g) for r, w in zip(ratios, seen.grams, strict=True)) / sum(
        (r - mean) ** 2 for r in ratios
    )
    return [
        water
        * (rough.shape.ratio((h + 1) * pace) - rough.shape.ratio(max(h - 1, 0.0) * pace))
        / (1 + min(h, 1.0))
        for h in seen.hours
    ]


def _odds(seen: _Seen, cells: Sequence[_Cell]) -> Odds:
    """The odds over hours: of each curve in steady air its own, in a shed that wanders spread out by how far it may
    have gone ahead and may yet go."""
    best = max(cells, key=_log_odds)
    all_of_them: list[tuple[float, float]] = []
    plain: list[tuple[float, float]] = []
    now = seen.hours[-1]
    for cell in cells:
        weight, hours = exp(cell.log_odds - best.log_odds), exp(cell.log_hours)
        pace = cell.world.world.pace
        if not pace:
            all_of_them.append((hours, weight))
            if cell.shape is PLAIN:
                plain.append((hours, weight))
            continue
        gone = min(hours / now, 1.0)
        spread = sqrt(cell.world.unsure * gone + still_to_wander(pace, max(hours - now, 0.0)))
        for z, height in _SPREAD_OUT:
            all_of_them.append((max(hours - cell.ahead * gone + z * spread, 0.1), weight * height / _HEIGHTS))
    by_shape: dict[Shape, float] = {}
    for cell in cells:
        by_shape[cell.shape] = by_shape.get(cell.shape, 0.0) + exp(cell.log_odds - best.log_odds)
    shape = max(by_shape, key=by_shape.__getitem__)
    if _CLEARLY * by_shape.get(PLAIN, 0.0) > by_shape[shape]:
        shape = PLAIN
    of_shape = max((cell for cell in cells if cell.shape == shape), key=_log_odds)
    return Odds(*_summed(all_of_them), *_summed(plain), shape, exp(of_shape.log_hours))


_HEIGHTS = sum(height for _, height in _SPREAD_OUT)


def _summed(odds: list[tuple[float, float]]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """(hours, share of the odds up to there), each cell half on either side of its hours."""
    if not odds:
        return (), ()
    odds.sort()
    total = sum(weight for _, weight in odds)
    hours: list[float] = []
    upto: list[float] = []
    done = 0.0
    for at, weight in odds:
        if hours and at == hours[-1]:  # several curves on the same hours stand as one
            upto[-1] += weight / 2 / total
        else:
            hours.append(at)
            upto.append((done + weight / 2) / total)
        done += weight
    return tuple(hours), tuple(upto)


def _share(hours: tuple[float, ...], upto: tuple[float, ...], at: float) -> float:
    """The share of the odds before `at`, in a straight line between two of the hours."""
    i = bisect_left(hours, at)
    if i == 0:
        return 0.0 if at < hours[0] else upto[0]
    if i == len(hours):
        return 1.0
    part = (at - hours[i - 1]) / (hours[i] - hours[i - 1])
    return upto[i - 1] + part * (upto[i] - upto[i - 1])


def _hours(hours: tuple[float, ...], upto: tuple[float, ...], level: float) -> float:
    """The hours up to which so large a share of the odds lies."""
    i = bisect_left(upto, level)
    if i == 0:
        return hours[0]
    if i == len(hours):
        return hours[-1]
    part = (level - upto[i - 1]) / (upto[i] - upto[i - 1])
    return hours[i - 1] + part * (hours[i] - hours[i - 1])
