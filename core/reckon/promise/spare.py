"""How many to have so that enough are left, and the chance that enough are left of several heaps together.

Each stem is lost or not on its own, unless something is said that hits them all: of a promise that rests on many
heaps the chance of a common setback is nearly all of the doubt, and left out it makes nearly everything look sure.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, lgamma, log
from typing import NamedTuple

from core.problems import Problem
from core.reckon.counts import chance_of_enough, seeds_for


class Spare(NamedTuple):
    """`have` so many and `good` of them are left with that `chance`."""

    good: int
    have: int
    chance: float

    @property
    def spare(self) -> int:
        """How many more than are wanted."""
        return self.have - self.good


class Heap(NamedTuple):
    """So many stems, each of which is left with that chance."""

    stems: int
    share: float


class Setback(NamedTuple):
    """With that `chance` all heaps lose the same `share` more: weather, or a bad week."""

    chance: float
    share: float


def spare_for(good: int, share: float, sure: float) -> Spare | Problem:
    """The fewest to have so that `good` are left as surely as asked, where each is left with the chance `share`."""
    if not 0 < share <= 1:
        return Problem("What is left is a share above 0 and at most 1: write 90 % as 0.9.", "impossible")
    if good < 1:
        return Problem("At least one good stem must be wanted.", "impossible")
    found = seeds_for(good, germination=share, sure=sure)
    return found if isinstance(found, Problem) else Spare(good, found.seeds, found.chance)


def chance_with(have: int, good: int, share: float) -> float:
    """The chance that of `have` stems at least `good` are left."""
    return chance_of_enough(have, good, share)


def joint_chance(good: int, heaps: Sequence[Heap], setback: Setback | None = None) -> float:
    """The chance that of all heaps together at least `good` are left."""
    usual = _chance_of_total(good, [heap.share for heap in heaps], heaps)
    if setback is None:
        return usual
    worse = _chance_of_total(good, [heap.share * (1 - setback.share) for heap in heaps], heaps)
    return (1 - setback.chance) * usual + setback.chance * worse


def _chance_of_total(good: int, shares: Sequence[float], heaps: Sequence[Heap]) -> float:
    chances = [1.0]
    for heap, share in zip(heaps, shares, strict=True):
        chances = _added(chances, _binomial(heap.stems, share))
    return min(sum(chances[max(good, 0) :]), 1.0)


def _binomial(count: int, share: float) -> list[float]:
    """The chances that exactly 0, 1, 2, ... of so many are left."""
    if share <= 0 or share >= 1:
        sure = count if share >= 1 else 0
        return [float(left == sure) for left in range(count + 1)]
    whole = lgamma(count + 1)
    good, bad = log(share), log(1 - share)
    return [
        exp(whole - lgamma(left + 1) - lgamma(count - left + 1) + left * good + (count - left) * bad)
        for left in range(count + 1)
    ]


def _added(one: Sequence[float], other: Sequence[float]) -> list[float]:
    """The chances of the sum of two counts."""
    total = [0.0] * (len(one) + len(other) - 1)
    for i, a in enumerate(one):
        if a > 0:
            for j, b in enumerate(other):
                total[i + j] += a * b
    return total
