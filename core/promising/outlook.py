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
"""Where a rough chance will do, every so many seasons are looked at."""
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
        return self.seasons[min(int((1 - chance) * len(self.seasons) + 1e-9), len(self.seasons) - 1)]


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is free for a day: of all that is there or growing, of the same in worse seasons, and with what is only
    planned."""

    day: date
    growing: Free
    worse: Free
    planned: Free

    @property
    def surely(self) -> int:
        """The most that can surely be promised."""
        return min(self.growing.at(RECKONED), self.worse.at(SURE_AT_WORSE))

    def sureness(self, wanted: int) -> tuple[Sureness, float]:
        """How surely so many can be promised, and the chance; what is not sown yet makes nothing sure."""
        if wanted <= self.surely:
            return "surely", self.growing.chance(wanted)
        chance = max(self.growing.chance(wanted), self.planned.chance(wanted))
        return ("likely" if chance >= LIKELY else "no"), chance


def outlooks(
    supply: Supply,
    asked: Claim,
    days: Sequence[date],
    *,
    every: int = 1,
    without: Source | None = None,
) -> list[Outlook]:
    """What is free for each of the days of what `asked` would take, beside all claims; of one source less where that
    is `without`. Only each `every`-th season is looked at."""
    needs = [need_on(supply, asked, day, counted_to(asked)) for day in days]
    made = supply.made_free(asked)

    def free(seasons: range, *, planned: bool = False, worse: bool = False) -> list[Free]:
        found: list[list[int]] = [[] for _ in days]
        for n in seasons:
            stock = _served(supply, supply.lots(n, planned=planned, worse=worse, without=without))
            for counts, need in zip(found, needs, strict=True):
                counts.append(made + free_for(stock, need))
        return [Free(tuple(sorted(counts))) for counts in found]

    seasons = range(0, SEASONS, every)
    growing = free(seasons)
    worse = free(range(0, SEASONS, max(every, LOOK)), worse=True)
    planned = free(seasons, planned=True) if supply.has_planned else growing
    return [Outlook(*each) for each in zip(days, growing, worse, planned, strict=True)]


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


def free_for(stock: Stock, need: Need | PieceNeed) -> int:
    """What a need more could have of a stock without taking from those before it."""
    if isinstance(need, PieceNeed):
        return stock.free_pieces(need)
    return stock.free(need.accepts, need.due, need.life_left)


def need_on(supply: Supply, asked: Claim, day: date, most: int) -> Need | PieceNeed:
    """The claim for another day as the allocation has it; of pieces, no more than `most` are counted."""
    need = as_need(replace(asked, due=day), supply.sorts)
    return need._replace(wanted=most) if isinstance(need, PieceNeed) else need
