"""The story of the farm, day by day: what the program asks in the morning, then the day's work."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from demo_farm.cutting import Cuts
from demo_farm.growing import Growing
from demo_farm.hand import Work
from demo_farm.plan import (
    DEMO_DAY,
    EVENING,
    FIRST_DAY,
    FLOWER_SHOP_DAY,
    GROWER,
    MARKETS,
    MORNING,
    NOON,
    OPENING,
)
from demo_farm.shed import Shed
from demo_farm.trade import Trade
from demo_farm.troubles import SAID, on
from demo_farm.weather import STATION, days_from, station_lines

STATION_FETCHED = {date(2025, 1, 11): date(2024, 12, 31), date(2026, 6, 19): date(2026, 6, 18)}
"""The day a file of the station was brought in, and the last day in it."""
DUSK_FROM = date(2026, 4, 6)


class Season:
    """Both seasons of the farm."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.growing, self.cuts = Growing(work), Cuts(work)
        self.shed, self.trade = Shed(work), Trade(work)

    def run(self) -> None:
        """From the first entry to dawn of the demo day."""
        self.work.begin(FIRST_DAY)
        self.work.at(9.0)
        for line in OPENING:
            self.work.write(line, by=GROWER)
        for day in days_from(FIRST_DAY, DEMO_DAY - timedelta(days=1)):
            self.work.begin(day)
            self._day()
        self.work.begin(DEMO_DAY)
        self._dawn()
        self.shed.read_air(5.6)

    def _day(self) -> None:
        """One day, in the order of its hours."""
        at, growing, shed, trade = self.work.at, self.growing, self.shed, self.trade
        is_sales_day = self.work.day.weekday() in (*MARKETS, FLOWER_SHOP_DAY)
        in_season = 3 <= self.work.day.month <= 11
        self._dawn()
        at(6.1)
        growing.uncover()
        at(MORNING)
        shed.read_air(MORNING)
        shed.weigh(MORNING)
        at(8.0)
        growing.harden()
        if in_season:
            self.cuts.cut()
        at(NOON)
        shed.insist()
        if not is_sales_day:
            trade.into_the_cooler(NOON)
        shed.fill()
        at(14.0)
        growing.sow()
        growing.tend()
        if in_season:
            growing.jobs()
        at(15.0)
        trade.buy()
        shed.look()
        shed.test_and_box()
        shed.clear_bench()
        at(17.2)
        trade.fresh()
        if not is_sales_day:
            shed.rescue()
        trade.dried()
        trade.sell_pieces()
        trade.make()
        if is_sales_day:
            trade.into_the_cooler(17.6)
        at(EVENING)
        shed.weigh(EVENING)
        self._troubles()
        at(20.0)
        if in_season:
            growing.cover()
        shed.read_again()
        self._evening()

    def _dawn(self) -> None:
        """Low and tonight's forecast, as the shed is opened."""
        self.work.at(5.4)
        if 3 <= self.work.day.month <= 10:
            weather = self.work.weather
            wind = f" wind {weather.wind}" if weather.wind > 15 else ""
            self.work.write(f"low {weather.low} tonight {weather.tonight}{wind}")

    def _troubles(self) -> None:
        """Those that are no part of any day's work."""
        work = self.work
        for planting in list(work.farm.plantings.live()):
            lost = on(work.day, "lost in a bed", planting.crop)
            if lost and (planting.plants or 0) > lost.amount:
                work.write(f"lost {lost.amount} {planting.code} {lost.cause}")
        if on(work.day, "sale struck by mistake, and restored"):
            sale = next(entry for entry in work.shed.recent(40) if entry.kind == "sold")
            (strike,) = work.take("strike", work.shed.strike(sale.id))
            work.take("restore", work.shed.strike(strike.id))

    def _evening(self) -> None:
        """The day's high, what is written at the table, and on clear spring nights: how cold may it become?"""
        work, day, chance = self.work, self.work.day, self.work.chance
        if 3 <= day.month <= 10:
            work.write(f"high {work.weather.high}")
        for on_day, line in SAID:
            if on_day == str(day):
                work.write(line, by=GROWER)
        if day in STATION_FETCHED:
            with TemporaryDirectory() as scratch:
                file = Path(scratch) / f"{STATION}.csv"
                lines = station_lines(STATION_FETCHED[day], work.sky, chance)
                file.write_text("\n".join(lines) + "\n", encoding="utf-8")
                work.take(STATION, work.shed.import_weather(file))
        is_clear = not work.weather.rain and work.weather.wind < 8
        if day >= DUSK_FROM and is_clear and chance.happens(0.3, "dusk", day):
            work.at(22.3)
            tomorrow = work.sky[day + timedelta(days=1)]
            dusk = tomorrow.low + 11 + round(2 * chance.spread("cooling", day))
            dew = min(tomorrow.dew + chance.whole(0, 2, "dew", day), dusk - 3)
            work.write(f"dusk {dusk} dew {dew} clear")
