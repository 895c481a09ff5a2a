"""What goes out: fresh at the stall and to the flower shop, dried by the season, pieces made up."""

from __future__ import annotations

from datetime import date

from core.stems.fresh import FreshRow
from core.stems.stock import StockRow
from demo_farm.plan import DRY_BUYERS, FLOWER_SHOP, FLOWER_SHOP_DAY, MARKETS
from demo_farm.troubles import POOR_MARKETS
from demo_farm.work import Work

SATURDAY = 5
MARKET_MONTHS = range(5, 11)

DRY_SALES = {1: 2, 2: 4, 3: 4, 4: 4, 5: 4, 6: 2, 7: 0, 8: 2, 9: 4, 10: 9, 11: 12, 12: 12}
"""Month -> boxes gone to on a Saturday."""
PIECES = {
    9: "crowns",
    10: "crowns",
    11: "wreaths",
    12: "wreaths",
    2: "buttonholes",
    5: "crowns",
    6: "wedding pieces",
}
"""Month -> what wired heads are made up into."""


class Selling:
    def __init__(self, work: Work) -> None:
        self.work = work

    def fresh(self) -> None:
        """A market day, the flower shop's day, and what is too old thrown out."""
        day = self.work.day
        self.work.shed.door.refresh()
        rows = [row for row in self.work.shed.door.fresh() if row.use == "fresh"]
        if day.weekday() in MARKETS and day.month in MARKET_MONTHS:
            went = POOR_MARKETS.get(day.isoformat(), 1.0)
            self._sell(rows, MARKETS[day.weekday()], 0.55 * went, 1.0 * went)
        elif day.weekday() == FLOWER_SHOP_DAY and day.month in MARKET_MONTHS:
            self._sell(rows[: 1 + len(rows) // 2], FLOWER_SHOP, 0.5, 0.9)
        else:
            for row in rows:
                if row.status == "compost" or (row.status == "old" and row.age_days > 6):
                    self.work.write(f"lost {row.stems} {row.lot} bucket unsold")
                elif (
                    row.status == "rescue"
                    and row.stems >= 15
                    and self.work.chance.happens(0.35, "rescued", row.lot)
                ):
                    self.work.write(f"hang {row.lot} line 8 10s")

    def _sell(self, rows: list[FreshRow], who: str, least: float, most: float) -> None:
        chance = self.work.chance
        for row in rows:
            share = chance.between(least, most, "sold", row.lot, self.work.day)
            stems = row.stems if share > 0.88 or row.stems < 12 else max(round(row.stems * share / 5) * 5, 5)
            if stems > 40 and chance.happens(0.25, "bouquets", row.lot):
                self.work.write(f"used 15 stems {row.lot} bucket for market bouquets")
                stems -= 15
            self.work.write(f"sold {stems} stems {row.lot} bucket to '{who}'")

    def dried(self) -> None:
        """Saturdays, the oldest boxes first."""
        day = self.work.day
        if day.weekday() != SATURDAY:
            return
        boxes = [r for r in self._stock() if r.unit == "bunches" and r.on_hand > 0]
        wanted = DRY_SALES[day.month]
        for row in boxes[: wanted * 2 : 2] if len(boxes) > wanted * 2 else boxes[:wanted]:
            bunches = min(row.on_hand, self.work.chance.whole(1, 6, "bunches", row.lot, day))
            if day.month in (11, 12) and self.work.chance.happens(0.3, "wreaths", row.lot, day):
                self.work.write(f"used {bunches} bunches {row.lot} {row.place} for wreaths")
            else:
                who = self.work.chance.pick(DRY_BUYERS, "who", row.lot, day)
                self.work.write(f"sold {bunches} bunches {row.lot} {row.place} to '{who}'")

    def pieces(self) -> None:
        """Wired heads made up, every other Friday of the months that ask for it."""
        day = self.work.day
        purpose = PIECES.get(day.month)
        if purpose is None or day.weekday() != 4 or (day - date(2025, 1, 3)).days // 7 % 2:
            return
        for row in [r for r in self._stock() if r.form == "wired" and r.place.startswith("box")][:3]:
            heads = min(row.on_hand, self.work.chance.whole(6, 24, "piece", row.lot, day))
            self.work.write(f"used {heads} stems {row.lot} {row.place} for {purpose}")

    def _stock(self) -> list[StockRow]:
        self.work.shed.door.refresh()
        return self.work.shed.door.stock()
