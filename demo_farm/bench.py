"""The bench: recipes, makings bought and counted, pieces made as far as the stock allows, sold, and once broken."""

from __future__ import annotations

from core.farm import Piece
from core.pieces.bench import RecipeRow
from demo_farm.plan import (
    BOUQUET_DAYS,
    BOUQUETS,
    COUNTED,
    DRY_BUYERS,
    FIRST_MAKINGS,
    FLOWER_SHOP,
    LAST_ORDER,
    MADE_IN,
    MAKINGS_ON,
    MARKETS,
    MOST_AT_ONCE,
    PACKS,
    WEDDING,
)
from demo_farm.selling import MARKET_MONTHS
from demo_farm.troubles import BROKEN_PIECE
from demo_farm.work import Work

FRIDAY, SATURDAY = 4, 5
FEWEST_BOUQUETS = 3
KEPT_BACK = 0.5
"""Share of the stems from which bouquets could be made that are sold by the bunch."""


class Making:
    def __init__(self, work: Work) -> None:
        self.work = work

    def buy(self) -> None:
        """What is at its number to buy again, on Saturdays; what was counted today."""
        today = self.work.day
        if today == MAKINGS_ON:
            for line in FIRST_MAKINGS:
                self.work.shed.write(line)
        if today.weekday() == SATURDAY and today <= LAST_ORDER:
            for row in self.work.shed.door.bench().makings:
                if row.status:
                    self.work.write(f"bought {PACKS[row.making]} {row.making}")
        for day, line in COUNTED:
            if day == today.isoformat():
                self.work.shed.write(line)

    def make(self) -> None:
        """Dried and wired work on Fridays, bouquets on the eve of a market."""
        day = self.work.day
        if day.isoformat() == WEDDING[0] and (able := self._can_make(WEDDING[1])):
            self._make(WEDDING[1], able)
        if day.weekday() in BOUQUET_DAYS and day.month in MARKET_MONTHS:
            bunches = {recipe: int(self._can_make(recipe) * KEPT_BACK) for recipe in BOUQUETS}
            recipe = next((one for one in BOUQUETS if bunches[one] >= FEWEST_BOUQUETS), None)
            if recipe is not None and self.work.chance.happens(0.6, "bouquets", day):
                self._make(recipe, bunches[recipe])
        if day.weekday() == FRIDAY and day.month in MADE_IN:
            wanted = MADE_IN[day.month]
            if self.work.chance.happens(0.7, "making", day) and (able := self._can_make(wanted)):
                self._make(wanted, able)

    def _make(self, recipe: str, able: int) -> None:
        chance, most = self.work.chance, MOST_AT_ONCE[recipe]
        count = min(able, chance.whole((most + 1) // 2, most, "pieces", recipe, self.work.day))
        minutes = self.work.farm.recipes[recipe].minutes or 10
        took = round(count * minutes * chance.between(0.8, 1.2, "pace of hands", recipe, self.work.day))
        self.work.shed.write(f"make {count} {recipe} {took}min")

    def _can_make(self, recipe: str) -> int:
        return next((row.can_make or 0 for row in self._recipes() if row.recipe == recipe), 0)

    def _recipes(self) -> tuple[RecipeRow, ...]:
        self.work.shed.door.refresh()
        return self.work.shed.door.bench().recipes

    def sell(self) -> None:
        """Bouquets on market days, the rest on Saturdays; what wilted or fell down is lost."""
        day = self.work.day
        for piece in list(self.work.farm.pieces.live()):
            if (day.isoformat(), piece.recipe) == BROKEN_PIECE[:2]:
                self.work.write(f"lost 1 {piece.code} {BROKEN_PIECE[2]}")
            if piece.recipe in BOUQUETS:
                self._sell_bouquets(piece)
            elif day.weekday() == SATURDAY and piece.on_hand:
                self._sell_some(piece)

    def _sell_bouquets(self, piece: Piece) -> None:
        day, chance = self.work.day, self.work.chance
        if day.weekday() not in MARKETS or piece.made_on == day.isoformat():
            return
        sold = max(piece.on_hand - chance.whole(-2, 2, "bouquets left", day), 0)
        sold = min(sold, piece.on_hand)
        left = piece.on_hand - sold
        if sold:
            self.work.write(f"sold {sold} {piece.code} to '{MARKETS[day.weekday()]}'")
        if left:
            self.work.write(f"lost {left} {piece.code} unsold")

    def _sell_some(self, piece: Piece) -> None:
        chance, day = self.work.chance, self.work.day
        is_ordered = (piece.made_on, piece.recipe) == WEDDING[:2]
        sold = min(piece.on_hand, chance.whole(0, 2, "pieces sold", piece.code, day))
        sold = piece.on_hand if is_ordered else sold
        if sold:
            who = FLOWER_SHOP if is_ordered else chance.pick(DRY_BUYERS, "who", piece.code, day)
            self.work.write(f"sold {sold} {piece.code} to '{who}'")
