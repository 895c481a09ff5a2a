"""The story of the farm, day by day: what the program asks in the morning, then the day's work."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from core.book.entry import Entry
from demo_farm import station, troubles
from demo_farm.bench import Making
from demo_farm.cutting import Cuts
from demo_farm.growing import Growing
from demo_farm.hand import Hand
from demo_farm.plan import (
    BEDS,
    DEMO_DAY,
    FARM,
    FLOWER_SHOP_DAY,
    FROSTS,
    LATITUDE,
    LINES,
    LONGITUDE,
    MARKETS,
    OWN_FIGURES,
    PLANS,
    ROOMS,
    STANDING,
    ZONE,
)
from demo_farm.rooms import Rooms
from demo_farm.selling import Selling
from demo_farm.shed import EVENING, MORNING, NOON, Shed
from demo_farm.storing import Storing
from demo_farm.work import Work

FIRST_DAY = date(2025, 1, 4)
BEFORE_WORK = 5.6
SALES_DAYS = (*MARKETS, FLOWER_SHOP_DAY)
"""What is left of those days goes into the cooler in the evening, of others at noon."""
THERMOMETER = range(3, 11)
"""Months in which the weather is written every day."""
DUSK_FROM = date(2026, 4, 6)
DUSK_READ = 0.3
STILL_MPH = 8
"""Nights with less wind than this may be clear and calm."""
BREEZY_MPH = 15
"""Wind from which it is worth a word."""


class Season:
    """Both seasons of the farm."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.growing = Growing(work)
        self.cuts = Cuts(work)
        self.storing = Storing(work)
        self.shed = Shed(work, Rooms(work.sky, work.chance), self.storing)
        self.selling = Selling(work, self.shed)
        self.making = Making(work)

    def run(self, progress: Callable[[date], None] | None = None) -> None:
        """From the first entry to dawn of the demo day."""
        self._open()
        day = FIRST_DAY
        while day < DEMO_DAY:
            self.work.begin(day)
            self._day()
            if progress is not None:
                progress(day)
            day += timedelta(days=1)
        self.work.begin(DEMO_DAY)
        self._dawn()
        self.shed.read_air(BEFORE_WORK)

    def _open(self) -> None:
        """A new book: the farm, its frosts, its beds, and what stands in them already."""
        work = self.work
        work.begin(FIRST_DAY)
        work.at(9.0)
        write = work.shed.write
        write(f"farm name '{FARM}' latitude {LATITUDE} longitude {LONGITUDE} zone {ZONE}")
        lines = (f"{name} is {line.feet}ft {line.light} {line.fan}" for name, line in LINES.items())
        for line in (*FROSTS, *BEDS, *ROOMS, *lines, *OWN_FIGURES):
            write(line)
        for s in STANDING:
            variety = f" '{s.variety}'" if s.variety else ""
            write(f"plant {s.crop}{variety} {s.bed} {s.feet}ft {s.plants} plants {s.since}")

    def _day(self) -> None:
        """One day, in the order of its hours."""
        work = self.work
        self.growing.plan_year()
        self._dawn()
        work.at(6.1)
        in_season = 3 <= work.day.month <= 11
        if in_season:
            self.growing.uncover()
        work.at(MORNING)
        self.shed.read_air(MORNING)
        self.shed.weigh(MORNING)
        work.at(8.0)
        trays = self.growing.rows()
        self.growing.harden(trays)
        if in_season:
            self.cuts.cut(self.growing.bed_rows())
        work.at(12.2)
        self.shed.insist()
        if work.day.weekday() not in SALES_DAYS:
            self.selling.into_the_cooler(12.2)
        work.at(NOON)
        self.shed.fill()
        work.at(14.0)
        self.growing.sow()
        self.growing.tend(self.growing.rows())
        if in_season:
            self.growing.set_tubers()
            self.growing.after_frost()
            self.growing.jobs(self.growing.bed_rows())
        work.at(15.0)
        self.making.buy()
        self.storing.look()
        self.shed.test_and_box()
        self.shed.clear_bench()
        work.at(17.2)
        self.selling.fresh()
        self.selling.dried()
        self.making.sell()
        self.making.make()
        if work.day.weekday() in SALES_DAYS:
            self.selling.into_the_cooler(17.6)
        work.at(EVENING)
        self.shed.weigh(EVENING)
        self.shed.fan_fails()
        self._troubles()
        work.at(20.0)
        if in_season:
            self.growing.cover()
        self.shed.read_again()
        self._evening()
        self._plan()
        station.bring_in(work.shed, work.day, work.sky, work.chance)
        self._dusk()

    def _plan(self) -> None:
        """At the table, with the order book."""
        today = self.work.day.isoformat()
        for day, line in PLANS:
            if day == today:
                self.work.shed.write(line)

    def _dawn(self) -> None:
        """Low and tonight's forecast, as the shed is opened."""
        self.work.at(5.4)
        if self.work.day.month in THERMOMETER:
            weather = self.work.weather
            wind = f" wind {weather.wind}" if weather.wind > BREEZY_MPH else ""
            self.work.shed.write(f"low {weather.low} tonight {weather.tonight}{wind}")

    def _evening(self) -> None:
        if self.work.day.month in THERMOMETER:
            self.work.write(f"high {self.work.weather.high}")

    def _dusk(self) -> None:
        """On clear spring nights, two hours after sunset: how cold may it become?"""
        day, chance = self.work.day, self.work.chance
        tomorrow = self.work.sky.get(day + timedelta(days=1))
        is_clear = not self.work.weather.rain and self.work.weather.wind < STILL_MPH
        if not DUSK_FROM <= day < DEMO_DAY or tomorrow is None or not is_clear:
            return
        if chance.happens(DUSK_READ, "dusk", day):
            self.work.at(22.3)
            dusk = tomorrow.low + 11 + round(2 * chance.spread("cooling", day))
            dew = min(tomorrow.dew + chance.whole(0, 2, "dew", day), dusk - 3)
            self.work.shed.write(f"dusk {dusk} dew {dew} clear")

    # troubles that are no part of any day's work

    def _troubles(self) -> None:
        today = self.work.day.isoformat()
        for day, text in troubles.NOTES:
            if day == today:
                self.work.shed.write(f"note {text}")
        for day, crop, plants, cause in troubles.LOST_IN_BEDS:
            if day == today:
                self._lose_plants(crop, plants, cause)
        if today == troubles.STRUCK_AND_RESTORED:
            self._strike_and_restore()
        if today == troubles.MISTYPED[0]:
            self._mistype()
        if today == troubles.MISCOUNTED[0]:
            self._count_boxes()

    def _lose_plants(self, crop: str, plants: int, cause: str) -> None:
        for planting in self.work.farm.plantings.live():
            if planting.crop == crop and planting.plants and planting.plants > plants:
                self.work.write(f"lost {plants} {planting.code} {cause}")
                return

    def _strike_and_restore(self) -> None:
        last = self._last(self.work.shed, "sold")
        self.work.shed.strike(self.work.shed.strike(last))

    def _mistype(self) -> None:
        """A nought too many, struck and written again."""
        right, wrong = troubles.MISTYPED[1:]
        (bought,) = self.work.shed.write(wrong)
        self.work.shed.strike(bought)
        self.work.shed.write(right)

    def _count_boxes(self) -> None:
        """The winter count: every box opened, one of them short."""
        boxes = [r for r in self.work.shed.door.stock() if r.unit == "bunches"]
        for i, row in enumerate(boxes[:12]):
            there = row.on_hand + (troubles.MISCOUNTED[1] if i == 4 else 0)
            self.work.shed.write(f"count {there} bunches {row.lot} {row.place}")

    def _last(self, hand: Hand, kind: str) -> Entry:
        return next(e for e in hand.door.recent(40) if e.kind == kind)
