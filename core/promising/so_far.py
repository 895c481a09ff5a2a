"""What the cuts so far say of a crop's season: a heavy year, or a light one, is so for all that stands of the crop.

An ensemble Kalman filter on the logarithm of the stems (Evensen 1994): the more of a planting's stems should have been
cut by now, the more its count says of the rest of it, and of what else grows of the crop; it leaves as much doubt as
there is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import exp, log
from statistics import fmean
from typing import NamedTuple, Protocol

from core.promising.source import luck


class Counted(Protocol):
    """What grows, as far as its count so far can tell of the season."""

    @property
    def code(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def tells(self) -> bool:
        """Whether its count says anything yet."""
        ...

    @property
    def told(self) -> int:
        """The stems cut so far that tell how many there are."""
        ...

    @property
    def is_held_back(self) -> bool:
        """Whether more may have stood there than was cut: how few were cut says nothing then."""
        ...

    @property
    def foretold(self) -> list[float]:
        """The logarithm of the stems that should have been cut so far, in each season."""
        ...

    @property
    def foretold_as_usual(self) -> float:
        """The stems that should have been cut so far, as usual."""
        ...

    @property
    def astray(self) -> float:
        """How far what was cut strays from what should have been: the variance of its logarithm."""
        ...


class Heard(NamedTuple):
    """One count, as every season hears it: how far each foretold otherwise than the mean of them, how far it moves, and
    the variance of both together."""

    apart: tuple[float, ...]
    moves: tuple[float, ...]
    variance: float

    def nearer(self, states: Sequence[float]) -> list[float]:
        """The states (a logarithm for each season) brought nearer to what was counted, as far as they hang together."""
        gain = fmean(map(float.__mul__, self.apart, states)) / self.variance
        return [state + gain * move for state, move in zip(states, self.moves, strict=True)]


@dataclass(eq=False)
class SoFar:
    """All that grows of one crop in a year; it is told of each as soon as that is known."""

    growths: list[Counted] = field(default_factory=list)

    @cached_property
    def heard(self) -> list[Heard]:
        """Every count that says something, one after another: the later ones as they are foretold after the earlier."""
        found: list[Heard] = []
        for growth in self.growths:
            if not growth.tells:
                continue
            foretold = growth.foretold
            for before in found:
                foretold = before.nearer(foretold)
            middle, seen = fmean(foretold), log(growth.told)
            if growth.is_held_back and seen < middle:
                continue
            strays = growth.astray**0.5
            apart = tuple(one - middle for one in foretold)
            moves = tuple(seen + strays * luck(growth.name, n, 1) - one for n, one in enumerate(foretold))
            found.append(Heard(apart, moves, fmean(one * one for one in apart) + growth.astray))
        return found

    def as_usual(self, growth: Counted, doubt: float) -> float:
        """How many stems a growth gives beside the usual, by its own count and by those of the others, each by how sure
        it is; `doubt` is how far the stems of a season stray: the variance of their logarithm."""
        sums, weights = 0.0, 1 / doubt if doubt > 0 else 0.0
        for other in (growth, *(one for one in self.growths if one.code != growth.code)):
            expected = other.foretold_as_usual if other.tells and weights else 0.0
            if expected <= 0 or (other.is_held_back and other.told < expected):
                continue
            sums += log(other.told / expected) / other.astray
            weights += 1 / other.astray
        return exp(sums / weights) if weights else 1.0
