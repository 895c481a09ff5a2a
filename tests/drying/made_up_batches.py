"""Made-up batches whose truth is known: what a grower's weighings of a hanging bunch look like, in many airs.

Drawn from another hand than the model's: shapes from spans and not from its few, weather that changes by the day,
damp as a wave, weights rounded by the scale.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from core.problems import Problem
from core.reckon.drying.faults import Weighing
from core.reckon.drying.fit import EARLY_HOURS, USEFUL_HOURS, fit
from core.reckon.drying.ratio import Prior

DRY = 0.05
"""Of the water, where a batch is dry."""
MOST_DAYS = 120


@dataclass(frozen=True)
class Batch:
    """One bunch. `left` of its fresh weight is left at the end; its water goes by `ratio` of hours of even air.

    `paces`: how fast each day dries, 1 where the air is even; `damp`: how far a wave of `damp_hours` moves its weight.
    """

    fresh_g: float
    left: float
    ratio: Callable[[float], float]
    paces: tuple[float, ...] = (1.0,) * MOST_DAYS
    damp: float = 0.0
    damp_hours: float = 120.0
    phase: float = 0.0

    def even_hours(self, hours: float) -> float:
        """Hours of even air that these hours are worth."""
        days, rest = divmod(hours, 24)
        done = min(int(days), MOST_DAYS - 1)
        return 24 * math.fsum(self.paces[:done]) + self.paces[done] * (rest + 24 * (days - done))

    def grams(self, hours: float) -> float:
        """What it weighs, on a perfect scale."""
        wave = 1 + self.damp * math.sin(2 * math.pi * hours / self.damp_hours + self.phase)
        return self.fresh_g * wave * (self.left + (1 - self.left) * self.ratio(self.even_hours(hours)))

    @property
    def dry_hours(self) -> float:
        """When 5 % of its water is still to go."""
        low, high = 0.0, 24.0 * MOST_DAYS
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.ratio(self.even_hours(middle)) > DRY else (low, middle)
        return low


def page(dry_hours: float, bend: float) -> Callable[[float], float]:
    """exp(-(k t)^n), 0.05 after `dry_hours`; plain where n is 1."""
    return lambda hours: math.exp(math.log(DRY) * (max(hours, 0.0) / dry_hours) ** bend)


def two_parts(dry_hours: float, quick: float, times: float) -> Callable[[float], float]:
    """Stems and leaves hold `quick` of the water and dry `times` as fast as the heads; 0.05 after `dry_hours`."""

    def left(gone: float) -> float:
        return quick * math.exp(-times * gone) + (1 - quick) * math.exp(-gone)

    low, high = 0.0, 5.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if left(middle) > DRY else (low, middle)
    return lambda hours: left(low * hours / dry_hours)


Air = dict[str, object]
"""What stands beside the shape of a batch: its days' paces, its damp."""


def _even(_chance: random.Random) -> Air:
    return {}


def _damp(chance: random.Random) -> Air:
    """A wave of 3 % about every five days."""
    return {"damp": 0.03, "damp_hours": chance.uniform(96, 144), "phase": chance.uniform(0, 2 * math.pi)}


def _weather(chance: random.Random) -> Air:
    """A pace that changes from day to day and is like that of the day before: sd 0.28 of its logarithm."""
    like, now, paces = chance.uniform(0.5, 0.85), chance.gauss(0, 1), []
    for _ in range(MOST_DAYS):
        paces.append(math.exp(0.28 * now))
        now = like * now + math.sqrt(1 - like**2) * chance.gauss(0, 1)
    return {"paces": tuple(paces)}


Draw = Callable[[random.Random, float], Callable[[float], float]]
WORLDS: dict[str, tuple[Draw, Callable[[random.Random], Air]]] = {
    "plain": (lambda _, hours: page(hours, 1.0), _even),
    "quick to begin": (lambda chance, hours: page(hours, chance.uniform(0.7, 1.0)), _even),
    "slow to begin": (lambda chance, hours: page(hours, chance.uniform(1.0, 1.5)), _even),
    "heads slower": (
        lambda chance, hours: two_parts(hours, chance.uniform(0.6, 0.9), chance.uniform(1.5, 2.5)),
        _even,
    ),
    "heads much slower": (
        lambda chance, hours: two_parts(hours, chance.uniform(0.5, 0.8), chance.uniform(2.5, 5.0)),
        _even,
    ),
    "damp": (lambda chance, hours: page(hours, chance.uniform(0.85, 1.2)), _damp),
    "weather": (lambda _, hours: page(hours, 1.0), _weather),
}
"""Worlds by name: how the shape is drawn for its hours to dry, and the air it hangs in."""


def batches(
    world: str,
    seed: int,
    count: int,
    *,
    days: tuple[float, float] = (3.5, 16),
    left: tuple[float, float] = (0.12, 0.45),
) -> Iterator[Batch]:
    """Batches of 40 to 400 g that dry in `days`, in even air."""
    chance = random.Random(f"{world} {seed}")
    shape, air = WORLDS[world]
    for _ in range(count):
        hours = 24 * math.exp(chance.uniform(math.log(days[0]), math.log(days[1])))
        fresh, kept = chance.uniform(40, 400), chance.uniform(*left)
        yield Batch(fresh, kept, shape(chance, hours), **air(chance))  # type: ignore[arg-type]


def weighed(batch: Batch, hours: Sequence[float], chance: random.Random) -> list[Weighing]:
    """To the full gram, each up to 3 h from its hour: 0.5 to 1.5 g of scale and handling, and up to 1 % between day
    and night."""
    spread, swing, phase = chance.uniform(0.5, 1.5), chance.uniform(0, 0.01), chance.uniform(0, 2 * math.pi)
    found = []
    for hour in hours:
        at = hour + chance.uniform(-3, 3) if hour else 0.0
        grams = batch.grams(at) * (1 + swing * math.sin(2 * math.pi * at / 24 + phase))
        found.append(Weighing(at, float(max(1, round(grams + chance.gauss(0, spread))))))
    return found


@dataclass
class Score:
    """Of `count` batches: how many were refused, how many intervals held, how many dates were relied on; of these, how
    many were within a day, how many were wet two days later, and the chances that were claimed, summed."""

    count: int = 0
    refused: int = 0
    held: int = 0
    relied: int = 0
    right: int = 0
    early: int = 0
    claimed: float = 0.0

    @property
    def intervals(self) -> int:
        """How many were said."""
        return self.count - self.refused

    def __add__(self, other: Score) -> Score:
        return Score(*(getattr(self, name) + getattr(other, name) for name in self.__dataclass_fields__))


def score(
    world: str,
    seed: int,
    count: int,
    hours: Sequence[float],
    *,
    days: tuple[float, float] = (3.5, 16),
    left: tuple[float, float] = (0.12, 0.45),
    prior: Callable[[Batch], Prior] | None = None,
) -> Score:
    """What the reckoning says of batches weighed at these hours, held against the truth."""
    chance = random.Random(seed + 1)
    got = Score()
    for batch in batches(world, seed, count, days=days, left=left):
        got.count += 1
        found = fit(weighed(batch, hours, chance), prior=None if prior is None else prior(batch))
        if isinstance(found, Problem):
            got.refused += 1
            continue
        got.held += found.low_hours <= batch.dry_hours <= found.high_hours
        if found.enough:
            off = batch.dry_hours - found.reckoned_hours
            got.relied += 1
            got.claimed += found.chance
            got.right += abs(off) <= USEFUL_HOURS
            got.early += off > EARLY_HOURS
    return got


def daily(count: int) -> tuple[float, ...]:
    """Hours of so many daily weighings."""
    return tuple(24.0 * n for n in range(count))


def right_sheet(batch: Batch) -> Prior:
    """A handbook that knows the crop: its days about two thirds to half as much again, its weight to a tenth."""
    days = batch.dry_hours / 24
    return Prior((0.7 * days, 1.4 * days), (0.9 * batch.left, 1.1 * batch.left))


def hasty_sheet(batch: Batch) -> Prior:
    """A handbook that is wrong the dangerous way: half the days, and a third more of the weight left."""
    days = batch.dry_hours / 24
    return Prior((0.4 * days, 0.6 * days), (1.25 * batch.left, 1.45 * batch.left))
