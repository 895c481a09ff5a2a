"""What goes out: fresh at the stall and to the flower shop, dried by the season; and the pieces made on the bench."""

from __future__ import annotations

from collections.abc import Iterable

from core.door import Door
from core.farm import Piece
from core.fresh.rows import FreshRow
from demo_farm.hand import Work, clock
from demo_farm.plan import (
    BOUQUETS,
    DRY_BUYERS,
    DRY_SALES,
    FLOWER_SHOP,
    FLOWER_SHOP_DAY,
    LATE,
    MADE_IN,
    MARKET_MONTHS,
    MARKETS,
    MOST_AT_ONCE,
    ORDERED,
    PACKS,
)
from demo_farm.troubles import on

MONDAY, FRIDAY, SATURDAY = 0, 4, 5
NOT_INTO_THE_COOLER = ("zinnia", "dahlia", "marigold")
KEPT_DAYS = {"old": 5, "sell": 6, "fresh": 7}
"""By what is to be done with it, the days after which what was not sold is thrown out."""


class Trade:
    def __init__(self, work: Work) -> None:
        self.work = work

    def _fresh(self) -> list[FreshRow]:
        return [row for row in self.work.see(Door.fresh) if row.use == "fresh"]

    def into_the_cooler(self, hour: float) -> None:
        """What is fresh and not sold by now; some crops never."""
        for row in self._fresh() if self.work.day.month in MARKET_MONTHS else ():
            is_right = row.place == "bucket" and row.crop not in NOT_INTO_THE_COOLER
            is_worth_it = row.stems >= 8 and row.status in ("fresh", "sell", "rescue")
            if is_right and is_worth_it and not on(row.cut_on, "left out", row.crop):
                self.work.write(f"move {row.lot} cooler at {clock(hour)}")

    def fresh(self) -> None:
        """A market day, the flower shop's day, and what is too old thrown out; of what was cut too late some is."""
        day, late = self.work.day, self.work.late
        for row in self._fresh():
            if row.age_days >= 1 and (share := late.pop(row.lot, 0.0)):
                stems = max(round(row.stems * share), 1)
                self.work.write(f"lost {stems} {LATE[row.crop][1]} {row.lot} {row.place}")
        if day.weekday() in MARKETS and day.month in MARKET_MONTHS:
            poor = on(day, "poor market")
            went = poor.amount if poor else 1.0
            self._sell(self._fresh(), MARKETS[day.weekday()], 0.35 * went, 0.95 * went)
        elif day.weekday() == FLOWER_SHOP_DAY and day.month in MARKET_MONTHS:
            rows = self._fresh()
            self._sell(rows[: 1 + len(rows) // 2], FLOWER_SHOP, 0.3, 0.8)
        else:
            for row in self._fresh():
                if row.status == "compost" or row.age_days > KEPT_DAYS.get(row.status, row.age_days):
                    cause = self.work.chance.pick(("unsold", "unsold", "wilted"), "unsold", row.lot)
                    self.work.write(f"lost {row.stems} {row.lot} {row.place} {cause}")

    def _sell(self, rows: Iterable[FreshRow], who: str, least: float, most: float) -> None:
        for row in rows:
            share = self.work.chance.between(least, most, "sold", row.lot, self.work.day)
            stems = row.stems if share > 0.88 or row.stems < 12 else max(round(row.stems * share / 5) * 5, 5)
            self.work.write(f"sold {stems} stems {row.lot} {row.place} to '{who}'")

    def dried(self) -> None:
        """Saturdays, the oldest boxes first."""
        day, chance = self.work.day, self.work.chance
        if day.weekday() != SATURDAY:
            return
        boxes = [row for row in self.work.see(Door.stock) if row.unit == "bunches" and row.on_hand > 0]
        wanted = DRY_SALES[day.month]
        for row in boxes[: wanted * 2 : 2] if len(boxes) > wanted * 2 else boxes[:wanted]:
            bunches = min(row.on_hand, chance.whole(1, 6, "bunches", row.lot, day))
            who = chance.pick(DRY_BUYERS, "who", row.lot, day)
            self.work.write(f"sold {bunches} bunches {row.lot} {row.place} to '{who}'")

    # the bench

    def buy(self) -> None:
        """On Saturdays what is at its number to buy again; the last that ran low is still to be bought."""
        if self.work.day.weekday() == SATURDAY:
            for row in self.work.see(Door.makings):
                if row.status:
                    self.work.write(f"bought {PACKS[row.making][0]} {row.making}")

    def make(self) -> None:
        """Dried and wired work on Fridays, bouquets on the eve of a market."""
        day, happens = self.work.day, self.work.chance.happens
        if str(day) == ORDERED[0]:
            self._make(ORDERED[1], 1)
        if day.weekday() in (MONDAY, FRIDAY) and day.month in MARKET_MONTHS and happens(0.6, "bouquets", day):
            # as many stems again are sold by the bunch
            next((recipe for recipe in BOUQUETS if self._make(recipe, 0.5, least=3)), None)
        if day.weekday() == FRIDAY and day.month in MADE_IN and happens(0.7, "making", day):
            self._make(MADE_IN[day.month], 1)

    def _make(self, recipe: str, share: float, least: int = 1) -> bool:
        """Make as many as this share of the stock allows; False where these are too few."""
        row = next(row for row in self.work.see(Door.bench).recipes if row.recipe == recipe)
        able = int((row.can_make or 0) * share)
        if able < least:
            return False
        chance, most, about = self.work.chance, MOST_AT_ONCE[recipe], (recipe, self.work.day)
        count = min(able, chance.whole((most + 1) // 2, most, "pieces", *about))
        minutes = round(count * (row.minutes or 10) * chance.between(0.8, 1.2, "pace of hands", *about))
        self.work.write(f"make {count} {recipe} {minutes}min")
        return True

    def sell_pieces(self) -> None:
        """Bouquets on market days, what is left of them wilts; the rest on Saturdays; and once one fell down."""
        for piece in list(self.work.farm.pieces.live()):
            if broken := on(self.work.day, "broken", piece.recipe):
                self.work.write(f"lost 1 {piece.code} {broken.what}")
            self._sell_piece(piece)

    def _sell_piece(self, piece: Piece) -> None:
        day, chance = self.work.day, self.work.chance
        if piece.recipe in BOUQUETS:
            if day.weekday() not in MARKETS or piece.made_on == str(day):
                return
            who, left = (
                MARKETS[day.weekday()],
                min(max(chance.whole(-2, 2, "bouquets left", day), 0), piece.on_hand),
            )
        elif (piece.made_on, piece.recipe) == ORDERED:
            who, left = FLOWER_SHOP, 0
        else:
            who = chance.pick(DRY_BUYERS, "who", piece.code, day)
            left = max(piece.on_hand - chance.whole(0, 2, "pieces sold", piece.code, day), 0)
            left = left if day.weekday() == SATURDAY else piece.on_hand
        if piece.on_hand > left:
            self.work.write(f"sold {piece.on_hand - left} {piece.code} to '{who}'")
        if left and piece.recipe in BOUQUETS:
            self.work.write(f"lost {left} {piece.code} unsold")
