"""Chance that comes out the same every time: each question has its own answer, whatever else is asked."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import blake2b
from typing import TypeVar

T = TypeVar("T")


class Chance:
    """Answers that depend on the seed and the question alone: a new question changes no old answer."""

    def __init__(self, seed: int) -> None:
        self._seed = seed

    def share(self, *about: object) -> float:
        """A number from 0 up to, not including, 1."""
        asked = "|".join(map(str, (self._seed, *about)))
        return (int.from_bytes(blake2b(asked.encode(), digest_size=16).digest(), "big") >> 75) / 2**53

    def whole(self, least: int, most: int, *about: object) -> int:
        """A whole number, both ends included."""
        return least + int(self.share(*about) * (most - least + 1))

    def between(self, least: float, most: float, *about: object) -> float:
        return least + self.share(*about) * (most - least)

    def pick(self, things: Sequence[T], *about: object) -> T:
        return things[self.whole(0, len(things) - 1, *about)]

    def happens(self, odds: float, *about: object) -> bool:
        """Whether something with these odds (0 to 1) happens."""
        return self.share(*about) < odds

    def spread(self, *about: object) -> float:
        """A number around 0, mostly between -1 and 1, never beyond 2: the middle is likeliest."""
        return sum(self.share(i, *about) for i in range(4)) - 2.0
