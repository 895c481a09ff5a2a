"""Made-up batches with real noise: what a grower's weighings of a hanging bunch look like, the truth known."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from core.problems import Problem
from core.reckon.drying.fit import USEFUL_HOURS, Weighing, fit
from core.reckon.drying.ratio import Prior

SPENT = math.log(20)
DAILY = (0.0, 24.0, 48.0, 72.0, 96.0, 120.0)
UNEVEN = (0.0, 22.0, 50.0, 71.0)
SPREAD_OUT = (0.0, 24.0, 72.0, 120.0)


@dataclass(frozen=True)
class Batch:
    """One bunch: dry at `dry_hours` (moisture ratio 0.05), of shape 1 (plain) or another (Page)."""

    dry_hours: float
    fresh_g: float
    left: float
    shape: float

    def grams(self, hours: float) -> float:
        ratio = math.exp(-SPENT * (hours / self.dry_hours) ** self.shape)
        return self.fresh_g * (self.left + (1 - self.left) * ratio)


def batches(
    seed: int,
    count: int,
    *,
    days: tuple[float, float] = (4, 21),
    bent: float = 0.0,
    left: tuple[float, float] = (0.12, 0.45),
) -> Iterator[Batch]:
    """Batches drying in `days`, a share `bent` of them by Page's form with a shape of 0.8 to 1.3."""
    chance = random.Random(seed)
    for _ in range(count):
        hours = 24 * math.exp(chance.uniform(math.log(days[0]), math.log(days[1])))
        shape = chance.uniform(0.8, 1.3) if chance.random() < bent else 1.0
        yield Batch(hours, chance.uniform(40, 400), chance.uniform(*left), shape)


def weighed(
    batch: Batch, hours: Sequence[float], chance: random.Random, *, noisy: bool = True
) -> list[Weighing]:
    """To the full gram; noisy adds 0.5 to 1.5 g of scale and handling, and up to 1 % between day and night."""
    spread = chance.uniform(0.5, 1.5) if noisy else 0.0
    swing = chance.uniform(0, 0.01) if noisy else 0.0
    phase = chance.uniform(0, 2 * math.pi)
    found = []
    for h in hours:
        grams = batch.grams(h)
        grams += grams * swing * math.sin(2 * math.pi * h / 24 + phase) + chance.gauss(0, 1) * spread
        found.append(Weighing(h, float(max(1, round(grams)))))
    return found


@dataclass
class Score:
    """Of `count` batches: how many dates were relied on, how many of these were within a day or inside their own
    interval; how many were said at all (`plain`: also where good only if the drying is plain)."""

    count: int = 0
    refused: int = 0
    relied: int = 0
    relied_right: int = 0
    relied_held: int = 0
    said: int = 0
    said_right: int = 0
    with_interval: int = 0
    held: int = 0

    def __str__(self) -> str:
        def share(n: int, of: int) -> str:
            return f"{n / of:.2f}" if of else "-"

        return (
            f"relied on {share(self.relied, self.count)} right {share(self.relied_right, self.relied)} "
            f"held {share(self.relied_held, self.relied)} | said {share(self.said, self.count)} "
            f"right {share(self.said_right, self.said)} | refused {share(self.refused, self.count)} "
            f"| intervals hold {share(self.held, self.with_interval)}"
        )


def score(
    seed: int,
    count: int,
    hours: Sequence[float],
    *,
    days: tuple[float, float] = (4, 21),
    bent: float = 0.0,
    noisy: bool = True,
    left: tuple[float, float] = (0.12, 0.45),
    prior: Prior | None = None,
) -> Score:
    chance = random.Random(seed + 1)
    got = Score()
    for batch in batches(seed, count, days=days, bent=bent, left=left):
        got.count += 1
        found = fit(weighed(batch, hours, chance, noisy=noisy), prior=prior)
        if isinstance(found, Problem):
            got.refused += 1
            continue
        inside = found.low_hours <= batch.dry_hours <= found.high_hours
        right = abs(found.reckoned_hours - batch.dry_hours) <= USEFUL_HOURS
        got.with_interval += 1
        got.held += inside
        if found.enough:
            got.relied += 1
            got.relied_right += right
            got.relied_held += inside
        if found.dry_at_hours is not None:
            got.said += 1
            got.said_right += right
    return got
