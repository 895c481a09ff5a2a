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

from core.plans.seasons import SEASONS
from core.promising.claims import Claim, as_need
from core.promising.source import Source
from core.promising.supply import Supply
from core.reckon.promise.allocation import Stock, in_turn
from core.reckon.promise.needs import Lot, Need, PieceNeed

SURE = 0.98
"""What is promised surely is kept so often at the least."""
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
    """What is free for a day of all that is there or growing, and of all that is only planned besides."""

    day: date
    growing: Free
    planned: Free


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
    most = counted_to(asked)
    growing: list[list[int]] = [[] for _ in days]
    planned: list[list[int]] = [[] for _ in days]
    needs = [need_on(supply, asked, day, most) for day in days]
    made = supply.made_free(asked)
    for n in range(0, SEASONS, every):
        for into, with_planned in ((growing, False), (planned, True)):
            if with_planned and not supply.has_planned:
                continue
            stock = _served(supply, supply.lots(n, planned=with_planned, without=without))
            for found, need in zip(into, needs, strict=True):
                found.append(made + free_for(stock, need))
    if not supply.has_planned:
        planned = growing
    return [
        Outlook(day, Free(tuple(sorted(a))), Free(tuple(sorted(b))))
        for day, a, b in zip(days, growing, planned, strict=True)
    ]


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
