"""A second invented farm, grown by a rule of thumb through any year of weather: it does what the page asks, mostly.

Its world is not the program's: the weather is a record's or another curve's, forecasts err, jobs are forgotten.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from itertools import count
from typing import Any

from core.asks import Asked, Sight
from core.book.entry import Entry
from core.farm import Farm
from core.fold import apply
from core.today import Morning, morning

SOWN = {
    "snapdragon": -70,
    "lisianthus": -98,
    "stock": -70,
    "statice": -50,
    "strawflower": -45,
    "cosmos": -28,
    "zinnia": -28,
    "celosia, plume": -40,
    "globe amaranth": -45,
    "China aster": -45,
    "Sweet William": 55,
}
"""Crop -> days from the average last frost on which it is sown here."""
STANDING = ("peony", "yarrow")
DRILLED = {"larkspur": -40, "sunflower": 10, "ammi": -30}
BEDS = 24


class SecondFarm:
    """One year of it, from January to December."""

    def __init__(self, lows: Mapping[date, float], year: int, last: str, first: str, seed: int) -> None:
        self.lows, self.year, self.rng = lows, year, random.Random(seed)
        self.later = random.Random(seed + 1)
        self.farm, self.ids = Farm(), count(1)
        self.day = date(year, 1, 1)
        self.codes = {letter: count(1) for letter in "SPL"}
        self.last = date.fromisoformat(f"{year}-{last}")
        for season, day in (("spring", last), ("autumn", first)):
            self.write("frost", season=season, threshold_f=32, risk_pct=50, month_day=day)
        for n in range(1, BEDS + 1):
            self.write("bed", bed=f"b{n}", feet=30, width_in=36)
        for n, crop in enumerate(STANDING, 1):
            self.write("set out", "2019-09-01", planting=self.code("P"), crop=crop, bed=f"b{n}", feet=30)
        self.beds = iter(range(len(STANDING) + 1, BEDS + 1))

    def code(self, letter: str) -> str:
        return f"{letter}{next(self.codes[letter]):02}"

    def write(self, kind: str, on: str = "", **fields: Any) -> None:
        n = next(self.ids)
        on = on or self.day.isoformat()
        id, at = f"0195{n:08x}-0000-7000-8000-000000000000", f"{on}T06:00:00.{n % 1000:03d}Z"
        apply(self.farm, Entry(id, on, at, "ml", kind, fields))

    def days(self) -> Iterator[tuple[Sight, Morning]]:
        """Each morning, with its readings written; the day's work is done when the next is asked for."""
        while self.day.year == self.year:
            if self.rng.random() < 0.95:
                self.write("low", f=round(self.lows[self.day]))
            if self.rng.random() < 0.9:
                forecast = self.lows[self.day + timedelta(1)] + self.rng.gauss(0, 3)
                self.write("tonight", f=round(forecast))
            if self.later.random() < 0.6:
                for ahead in range(1, self.later.randint(2, 5)):
                    low = self.lows[self.day + timedelta(1 + ahead)] + self.later.gauss(0, 3 + ahead)
                    self.write("forecast", night=(self.day + timedelta(ahead)).isoformat(), f=round(low))
            sight = Sight(self.farm, self.day)
            found = morning(sight)
            yield sight, found
            self.work(found.asked)
            assert not self.farm.matters, self.farm.matters
            self.day += timedelta(1)

    def work(self, asked: tuple[Asked, ...]) -> None:
        for bed in self.farm.beds.values():
            if bed.covered_on:
                self.write("uncovered", bed=bed.code)
        for crop, days in SOWN.items():
            if self.day == self.last + timedelta(days):
                self.write("sown", tray=self.code("S"), crop=crop, cells=72, seeds=72)
        for crop, days in DRILLED.items():
            if self.day == self.last + timedelta(days) and (bed := next(self.beds, None)):
                self.write("drilled", planting=self.code("P"), crop=crop, bed=f"b{bed}", feet=30)
        if self.day == self.last + timedelta(7) and (bed := next(self.beds, None)):
            self.write("set out", planting=self.code("P"), crop="dahlia", bed=f"b{bed}", feet=30)
        for tray in [*self.farm.trays.live()]:
            if tray.up is None and (self.day - date.fromisoformat(tray.sown)).days == 12:
                self.write("up", tray=tray.code, count=60)
        for one in asked:
            if self.rng.random() < (0.25 if one.zone == "cut" else 0.9):
                self.do(one)

    def do(self, one: Asked) -> None:
        code = one.about[1] if len(one.about) > 1 else ""
        match one.do.split():
            case ["step" | "begin", *_] if one.about[0] == "tray":
                self.write("step", tray=code, step=1)
            case ["hold", *_] if one.about[0] == "tray":
                self.write("held", tray=code, cause="cold")
            case ["plant", "out"]:
                self.plant_out(code)
            case ["cover", *_]:
                if not self.farm.beds[one.code].covered_on:
                    self.write("covered", bed=one.code)
            case ["net"]:
                self.write("netted", planting=code)
            case ["pinch"]:
                self.write("pinched", planting=code)
            case ["clear"]:
                self.write("cleared", planting=code)
            case ["cut"]:
                lot, use = self.code("L"), ("dry" if "d" in one.amount else "fresh")
                self.write("cut", lot=lot, crop=one.row.crop, bed=one.code, planting=code, use=use, stems=30)
            case ["hang"] | ["sell", "or", "hang"]:
                line = f"line {self.rng.randint(1, 4)}"
                self.write("hung", lot=code, source=one.about[2], line=line, stems=int(one.amount), per=10)
            case ["snap", "test"] | ["press", *_]:
                self.write("tested", lot=code, result=self.rng.choice(("snaps", "bends")), line=one.about[2])
            case ["box"]:
                self.write(
                    "boxed", lot=code, source=one.about[2], box="box 1", bunches=int(one.amount) // 10, per=10
                )
            case ["sell", *_]:
                self.write("sold", lot=code, source=one.about[2], stems=int(one.amount))
            case ["compost"]:
                self.write("lost", lot=code, source=one.about[2], count=int(one.amount), cause="unsold")

    def plant_out(self, tray: str) -> None:
        found, bed = self.farm.trays.get(tray), next(self.beds, None)
        if found is not None and bed is not None:
            self.write(
                "set out", planting=self.code("P"), tray=tray, ref=found.made_by, crop=found.crop, bed=f"b{bed}",
                feet=30, plants=found.alive,
            )  # fmt: skip
