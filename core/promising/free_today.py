"""What can be handed over today, of what is on hand, without making a promise worse: the one number of it.

The stock and the Promised table show it, a promise for today is sure up to it, and so many can be sold unasked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple, cast

from core.farm import Farm
from core.promising.claims import LAST, Claim, Form, Liked
from core.promising.outlook import RECKONED, SURE_AT_WORSE, looked_at, may_fail, outlooks
from core.promising.supply import Supply, supply_for
from core.reckon.promise.allocation import Stock, in_turn, served
from core.reckon.promise.needs import Lot

ANSWERS_KEPT = 128
"""So many answers are kept: what is free of a crop is asked for at every key while a line is typed."""


def free_today(farm: Farm, today: date, promised: Sequence[Claim], crop: str, form: str) -> int:
    """Stems of a crop in a form, of any variety, that are free today."""
    return _free_today(farm, farm.count, today, tuple(promised), crop, form)


@lru_cache(maxsize=ANSWERS_KEPT)
def _free_today(
    farm: Farm, _count: int, today: date, promised: tuple[Claim, ...], crop: str, form: str
) -> int:
    """Kept for as long as nothing is written: `_count` are the entries that the farm is made of."""
    asked = Claim(today, LAST, 1, cast(Form, form), (Liked(crop),))
    (found,) = outlooks(supply_for(farm, today, promised, [asked]), asked, [today])
    return found.surely


class Taking(NamedTuple):
    """`stems` that are taken of the source at that place of the supply, which has `of` of them."""

    place: int
    stems: int
    of: int


class InSeason(NamedTuple):
    """The stock of one season with the claims served of it: the lots, and how many of each need are served."""

    lots: list[Lot]
    stock: Stock
    served: tuple[int, ...]

    def gone(self, taken: Sequence[Taking]) -> dict[int, int]:
        """What is taken of each lot in this season: of what is to dry yet, of those that will be left."""
        amounts = {one.place: (self.lots[one.place].amount, one) for one in taken}
        return {place: has - has * (one.of - one.stems) // one.of for place, (has, one) in amounts.items()}


class Served:
    """All seasons that are looked at, the worse ones too, in which the claims of a supply are served; what is taken for
    the orders of their `own` is no more wanted for these."""

    def __init__(self, supply: Supply, own: frozenset[str]) -> None:
        self.supply = supply
        self._own = [claim.order in own for claim in supply.whose]
        self._seasons = [(RECKONED, self._all(worse=False)), (SURE_AT_WORSE, self._all(worse=True))]

    def _all(self, *, worse: bool) -> list[InSeason]:
        found = []
        for n in looked_at(worse=worse):
            lots = self.supply.lots(n, planned=False, worse=worse)
            stock = Stock.of(lots)
            found.append(InSeason(lots, stock, in_turn(stock, self.supply.needs)[1]))
        return found

    def lost(
        self, season: InSeason, taken: Sequence[Taking], made: Mapping[str, int] = MappingProxyType({})
    ) -> list[int]:
        """How many fewer of each need of others are served in a season without what is taken; of each recipe so many
        are `made` of it, which serve the claims for them."""
        met = self._met(made)
        needs = zip(self.supply.needs, self._own, met, strict=True)
        left = [need._replace(wanted=0 if is_own else need.wanted - some) for need, is_own, some in needs]
        gone = season.gone(taken)
        lots = [lot._replace(amount=lot.amount - gone.get(i, 0)) for i, lot in enumerate(season.lots)]
        has = zip(season.served, served(left, lots), met, self._own, strict=True)
        return [0 if is_own else max(before - after - some, 0) for before, after, some, is_own in has]

    def _met(self, made: Mapping[str, int]) -> list[int]:
        """How many of each need are met by the pieces that are made, by rank: pieces, or the stems held for them."""
        met = [0] * len(self.supply.needs)
        claims = sorted(dict.fromkeys(self.supply.whose), key=lambda claim: claim.rank)
        for code, number in made.items():
            for claim in (
                claim for claim in claims if claim.recipe is not None and claim.recipe.code == code
            ):
                some = min(number, claim.wanted)
                number -= some
                for i, need in enumerate(self.supply.needs):
                    if self.supply.whose[i] is claim:
                        met[i] = need.wanted * some // claim.wanted
        return met

    def harmed(
        self, taken: Sequence[Taking], made: Mapping[str, int] = MappingProxyType({})
    ) -> tuple[list[InSeason], float]:
        """The seasons in which a promise would be worse off, and their share; none where all that is taken is free as
        surely as a promise is. `made`: as for `lost`."""
        for chance, seasons in self._seasons:
            bad = [season for season in seasons if self._is_worse_off(season, taken, made)]
            if len(bad) > may_fail(chance, len(seasons)):
                return bad, len(bad) / len(seasons)
        return [], 0.0

    def _is_worse_off(self, season: InSeason, taken: Sequence[Taking], made: Mapping[str, int]) -> bool:
        if made or any(self._own):
            return any(self.lost(season, taken, made))
        return not season.stock.can_spare(season.gone(taken))
