"""Where promised stems may come from: one lot, one planting, one plan, and what it gives in each of many seasons."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from random import Random
from typing import Literal, TypeAlias
from zlib import crc32

from core.plans.seasons import APART, SEASONS
from core.promising.claims import Sort
from core.reckon.promise.needs import Lot
from core.reckon.spreads import Span, at_chance, draw

SourceKind: TypeAlias = Literal["on hand", "drying", "in the field", "in trays", "planned"]
"""How far it is: what is only planned makes no promise sure."""
PER_SEASON = 16
"""Independent chances that a source may draw for a season beside those of the season itself."""


@dataclass(frozen=True, slots=True)
class Source:
    """One source of stems.

    `amount` are the stems that it gives in a usual season for all that is wanted; `tell` says in few words what it is,
    where so many of them count. `lots` are what it gives in a season of the sample, by its number; None for the usual.
    """

    kind: SourceKind
    code: str
    place: str
    crop: str
    variety: str
    amount: int
    tell: Callable[[int], str]
    sorts: tuple[Sort, ...]
    lots: Callable[[int | None], tuple[Lot, ...]]
    cut_between: tuple[date, date] | None = None
    """First and last day of its cutting as usual; None for what is cut already."""

    @property
    def is_there(self) -> bool:
        """Whether it lies in the shed already."""
        return self.kind in ("on hand", "drying")


def place_of_crop(crop: str) -> int:
    """Which of several crops it is, as plans have it: each meets its own luck, and the same weather."""
    return crc32(crop.encode()) % SEASONS


def luck(name: str, season: int, chance: int) -> float:
    """A normal variable that belongs to a source in a season: always the same for the same name, unlike another's.

    `chance` says which of up to `PER_SEASON` of them.
    """
    return _dealt(chance % PER_SEASON)[(season + _moved(name)) % SEASONS]


def luck_as(span: Span, name: str, season: int, chance: int) -> float:
    """A figure above 0 with that range, as the luck of a source has it in a season."""
    return _dealt_as(span, chance % PER_SEASON)[(season + _moved(name)) % SEASONS]


@lru_cache(maxsize=1024)
def _moved(name: str) -> int:
    return crc32(name.encode()) * APART % SEASONS


@lru_cache(maxsize=4 * PER_SEASON)
def _dealt_as(span: Span, chance: int) -> tuple[float, ...]:
    return tuple(draw("positive", span, z) for z in _dealt(chance))


@lru_cache(maxsize=PER_SEASON)
def _dealt(chance: int) -> tuple[float, ...]:
    """A normal variable in every season: as many of them in each part of the distribution, dealt out at random."""
    order = Random(chance).sample(range(SEASONS), SEASONS)
    return tuple(at_chance((place + 0.5) / SEASONS) for place in order)
