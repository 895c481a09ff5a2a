"""What goes out: fresh at the stall and to the flower shop out of the cooler, dried by the season."""

from __future__ import annotations

from core.fresh.rows import FreshRow
from core.stems.rows import StockRow
from demo_farm.plan import DRY_BUYERS, FLOWER_SHOP, FLOWER_SHOP_DAY, LATE, MARKETS
from demo_farm.shed import Shed
from demo_farm.troubles import LEFT_OUT, POOR_MARKETS
from demo_farm.work import Work, clock

SATURDAY = 5
MARKET_MONTHS = range(5, 11)

NOT_INTO_THE_COOLER = ("zinnia", "dahlia", "marigold")
FEWEST_INTO_THE_COOLER = 8
KEPT_DAYS = {"old": 5, "sell": 6, "fresh": 7}
"""By what is to be done with it, the days after which what was not sold is thrown out."""
DRY_SALES = {1: 2, 2: 4, 3: 4, 4: 4, 5: 4, 6: 2, 7: 0, 8: 2, 9: 4, 10: 8, 11: 9, 12: 8}
"""Month -> boxes gone to on a Saturday."""


class Selling:
    def __init__(self, work: Work, shed: Shed) -> None:
        self.work = work
        self.shed = shed

    def into_the_cooler(self, hour: float) -> None:
        """What is fresh and not sold by now; some crops never."""
        day = self.work.day
        if day.month not in MARKET_MONTHS:
            return
        for row in self._fresh():
            is_right = row.place == "bucket" and row.crop not in NOT_INTO_THE_COOLER
            is_worth_it = row.stems >= FEWEST_INTO_THE_COOLER and row.status in ("fresh", "sell", "rescue")
            if is_right and is_worth_it and (row.cut_on, row.crop) not in LEFT_OUT:
                self.work.write(f"move {row.lot} cooler at {clock(hour)}")

    def fresh(self) -> None:
        """A market day, the flower shop's day, and what is too old thrown out."""
        day = self.work.day
        rows = self._fresh()
        for row in rows:
            self._throw_out_blown(row)
        if day.weekday() in MARKETS and day.month in MARKET_MONTHS:
            went = POOR_MARKETS.get(day.isoformat(), 1.0)
            self._sell(self._fresh(), MARKETS[day.weekday()], 0.35 * went, 0.95 * went)
        elif day.weekday() == FLOWER_SHOP_DAY and day.month in MARKET_MONTHS:
            rows = self._fresh()
            self._sell(rows[: 1 + len(rows) // 2], FLOWER_SHOP, 0.3, 0.8)
        else:
            for row in self._fresh():
                if row.status == "compost" or row.age_days > KEPT_DAYS.get(row.status, row.age_days):
                    cause = self.work.chance.pick(("unsold", "unsold", "wilted"), "unsold", row.lot)
                    self.work.write(f"lost {row.stems} {row.lot} {row.place} {cause}")
            self.shed.rescue()

    def _throw_out_blown(self, row: FreshRow) -> None:
        """Of what was cut too late, once it stands open."""
        share = self.work.late.get(row.lot, 0.0)
        if share and row.age_days >= 1:
            del self.work.late[row.lot]
            stems = max(round(row.stems * share), 1)
            self.work.write(f"lost {stems} {LATE[row.crop].cause} {row.lot} {row.place}")

    def _sell(self, rows: list[FreshRow], who: str, least: float, most: float) -> None:
        chance = self.work.chance
        for row in rows:
            share = chance.between(least, most, "sold", row.lot, self.work.day)
            stems = row.stems if share > 0.88 or row.stems < 12 else max(round(row.stems * share / 5) * 5, 5)
            self.work.write(f"sold {stems} stems {row.lot} {row.place} to '{who}'")

    def _fresh(self) -> list[FreshRow]:
        self.work.shed.door.refresh()
        return [row for row in self.work.shed.door.fresh() if row.use == "fresh"]

    def dried(self) -> None:
        """Saturdays, the oldest boxes first."""
        day = self.work.day
        if day.weekday() != SATURDAY:
            return
        boxes = [r for r in self._stock() if r.unit == "bunches" and r.on_hand > 0]
        wanted = DRY_SALES[day.month]
        for row in boxes[: wanted * 2 : 2] if len(boxes) > wanted * 2 else boxes[:wanted]:
            bunches = min(row.on_hand, self.work.chance.whole(1, 6, "bunches", row.lot, day))
            who = self.work.chance.pick(DRY_BUYERS, "who", row.lot, day)
            self.work.write(f"sold {bunches} bunches {row.lot} {row.place} to '{who}'")

    def _stock(self) -> list[StockRow]:
        self.work.shed.door.refresh()
        return self.work.shed.door.stock()
