"""How many more can be promised for a day, over a fixed sample of seasons: what every claim before it leaves.

All promises share a season: its weather, its days to the first cut, its frost, and of a crop its heavy or light stems.
In each season the claims are served as they will be, the first in rank first, and what is left for the day is what is
free in that season. The chance of a promise is the share of the seasons in which so many are free.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal, TypeAlias

from core.plans.seasons import SEASONS
from core.promising.claims import Claim, as_need
from core.promising.source import Source
from core.promising.supply import Supply
from core.reckon.promise.allocation import Stock, in_turn
from core.reckon.promise.needs import Lot, Need, PieceNeed

Sureness: TypeAlias = Literal["surely", "likely", "no"]

LOOK = 4
"""Where a rough chance will do, one season in so many is looked at."""
SURE = 0.98
"""What is promised surely is kept so often at the least."""
RECKONED = 0.993
"""So often it must be kept in the seasons reckoned with: they know less of the worst years than the years do (in
made-up seasons of other distributions a reckoned 0.98 came to 0.97, 0.99 to 0.98)."""
SURE_AT_WORSE = 0.9
"""And so often at the least in worse seasons, in which less comes of all that is still to be cut or dried."""
LIKELY = 2 / 3
"""What is likely happens so often at the least: the scale of the Intergovernmental Panel on Climate Change (guidance
note on uncertainties, 2010)."""


@dataclass(frozen=True, slots=True)
class Free:
    """How many are free for a day in each of the seasons, the fewest first."""

    seasons: tuple[int, ...]

    def chance(self, wanted: int) -> float:
        """The chance that so many are free."""
        return 1 - bisect_left(self.seasons, wanted) / len(self.seasons)

    def at(self, chance: float) -> int:
        """The most that are free with that chance."""
        return self.seasons[min(may_fail(chance, len(self.seasons)), len(self.seasons) - 1)]


def may_fail(chance: float, count: int) -> int:
    """In so many of `count` seasons a promise may fail that is kept with that chance."""
    return int((1 - chance) * count + 1e-9)


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is free for a day: of all that is there or growing, of the same in worse seasons, and with what is only
    planned."""

    day: date
    growing: Free
    worse: Free
    planned: Free
    on_hand: tuple[Free, Free] | None = None
    """Of what is on hand alone, in the seasons and in worse ones, where it is asked for today."""

    @property
    def surely(self) -> int:
        """The most that can surely be promised."""
        growing, worse = self.on_hand or (self.growing, self.worse)
        return min(growing.at(RECKONED), worse.at(SURE_AT_WORSE))

    def sureness(self, wanted: int) -> tuple[Sureness, float]:
        """How surely so many can be promised, and the chance; what is not sown yet makes nothing sure, nor for today
        what is not cut yet: it has still to drink (common practice)."""
        if wanted <= self.surely:
            return "surely", self.growing.chance(wanted)
        chance = max(self.growing.chance(wanted), self.planned.chance(wanted))
        return ("likely" if chance >= LIKELY else "no"), chance


def outlooks(supply: Supply, asked: Claim, days: Sequence[date], *, every: int = 1) -> list[Outlook]:
    """What is free for each of the days of what `asked` would take, beside all claims. Only one season in `every` is
    looked at."""
    seasons = looked_at(every)
    growing, there = free_in(supply, asked, days, seasons)
    worse, there_worse = free_in(supply, asked, days, looked_at(every, worse=True), worse=True)
    found = [
        Outlook(day, usual, poor, usual, (there, there_worse) if day == supply.day else None)
        for day, usual, poor in zip(days, growing, worse, strict=True)
    ]
    # what is only planned makes nothing sure: where all is sure without it nobody asks
    if not supply.has_planned or all(asked.wanted <= outlook.surely for outlook in found):
        return found
    planned = free_in(supply, asked, days, seasons, planned=True)[0]
    return [replace(outlook, planned=more) for outlook, more in zip(found, planned, strict=True)]


def free_in(
    supply: Supply,
    asked: Claim,
    days: Sequence[date],
    seasons: range,
    *,
    planned: bool = False,
    worse: bool = False,
    without: Source | None = None,
) -> tuple[list[Free], Free]:
    """(what is free in these seasons for each of the days, and of what is on hand where today is one of them); with or
    without what is not sown yet, in `worse` seasons, or without one source."""
    needs = [need_on(supply, asked, day, counted_to(asked)) for day in days]
    made = supply.made_free(asked)
    found: list[list[int]] = [[] for _ in days]
    there: list[int] = []
    if all(need.due < supply.day for need in needs):
        # too late to make any: those made are all there are
        return [Free((made,) * len(seasons)) for _ in days], Free((made,) * len(seasons))
    for n in seasons:
        stock = _served(supply, supply.lots(n, planned=planned, worse=worse, without=without))
        for counts, day, need in zip(found, days, needs, strict=True):
            if day == supply.day:
                there.append(made + free_for(stock, need, supply.there))
                if isinstance(need, PieceNeed) and there[-1] >= made + need.wanted:
                    counts.append(there[-1])  # as many as are counted lie in the shed
                    continue
            counts.append(made + free_for(stock, need))
    return [Free(tuple(sorted(counts))) for counts in found], Free(tuple(sorted(there)))


def looked_at(every: int = 1, *, worse: bool = False) -> range:
    """The seasons of the sample that are looked at: one in `every`, of the worse ones fewer.

    They are its first ones, which lie evenly: each fourth would fall into step with the sequence that spreads them (so
    asked, what happens two times in three was told 3 in 100 too often in the mean, some crops 10).
    """
    return range(SEASONS // (max(every, LOOK) if worse else every))


def usual_free(supply: Supply, asked: Claim, day: date, *, promised: bool = True) -> int:
    """What is free for a day in a usual season, with or without what is promised already."""
    lots = supply.lots(None)
    stock = _served(supply, lots) if promised else Stock.of(lots)
    return supply.made_free(asked) + free_for(stock, need_on(supply, asked, day, counted_to(asked)))


def counted_to(asked: Claim) -> int:
    """So many pieces are looked for at the most, where there are more."""
    return 2 * asked.wanted + 10


def _served(supply: Supply, lots: Sequence[Lot]) -> Stock:
    stock = Stock.of(lots)
    in_turn(stock, supply.needs)
    return stock


def free_for(stock: Stock, need: Need | PieceNeed, first: int | None = None) -> int:
    """What a need more could have of a stock without taking from those before it; of the `first` so many lots."""
    if isinstance(need, PieceNeed):
        return stock.free_pieces(need, first)
    return stock.free(need.accepts, need.due, need.life_left, first)


def need_on(supply: Supply, asked: Claim, day: date, most: int) -> Need | PieceNeed:
    """The claim for another day as the allocation has it; of pieces, no more than `most` are counted."""
    need = as_need(replace(asked, due=day), supply.sorts)
    return need._replace(wanted=most) if isinstance(need, PieceNeed) else need
