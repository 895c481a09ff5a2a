"""The air indoors as the invented weather makes it, and how bunches really dry in it: what the instruments look at."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from math import cos, exp, log, pi
from typing import NamedTuple

from core.crops.sheet import Sheet
from core.reckon.climate.air import c_from_f, saturation_kpa
from demo_farm.chance import Chance
from demo_farm.plan import CROPS
from demo_farm.troubles import on
from demo_farm.weather import Weather

COLDEST, WARMEST = 5, 15
"""Hours of the day at which the shed is coldest and warmest."""
NIGHTS_ABOVE_F = {True: 7, False: 10}
"""By so much the shed keeps above the cold of the night: in muggy air, when its doors stand open, and else."""
DRY_RATIO = 0.05
"""Share of its water that a bunch still has when its stems snap."""
AMONG_THE_DAYS = (0.2, 0.75)
"""Where between the fewest and the most days of its kind a lot really is dry."""
USUAL_AIR = (75.0, 50.0)
"""Degrees F and percent humidity in which a kind takes its usual days."""


class Curve(NamedTuple):
    """A marked bunch: grams as it was hung, share that is left, hours until it is dry, shape."""

    fresh_g: float
    kept: float
    hours: float
    shape: float

    def ratio(self, hours: float) -> float:
        """Share of the water still in it."""
        return exp(log(DRY_RATIO) * (max(hours, 0.0) / self.hours) ** self.shape)

    def grams(self, hours: float) -> float:
        return self.fresh_g * (self.kept + (1 - self.kept) * self.ratio(hours))


class Rooms:
    """What stood on the instruments at any hour."""

    def __init__(self, sky: Mapping[date, Weather], chance: Chance) -> None:
        self._chance = chance
        self._sky = dict(sky)
        after = max(sky) + timedelta(days=1)
        self._sky[after] = sky[max(sky)]
        self._lows = {
            day: here.low + NIGHTS_ABOVE_F[here.muggy] + chance.spread("shed low", day)
            for day, here in self._sky.items()
        }
        self._highs = {
            day: here.high + 3 + chance.spread("shed high", day) for day, here in self._sky.items()
        }

    def shed(self, day: date, hour: float) -> tuple[int, int]:
        """Degrees F and percent humidity in the drying shed."""
        if hour < COLDEST:
            day, hour = day - timedelta(days=1), hour + 24
        after = day + timedelta(days=1)
        if hour <= WARMEST:
            low, high, along = self._lows[day], self._highs[day], (hour - COLDEST) / (WARMEST - COLDEST)
        else:
            low, high, along = (
                self._lows[after],
                self._highs[day],
                1 + (hour - WARMEST) / (24 - WARMEST + COLDEST),
            )
        degrees = low + (high - low) * (1 - cos(pi * along)) / 2
        dews = self._sky[day].dew, self._sky[after].dew
        dew = dews[0] + (dews[1] - dews[0]) * (hour - COLDEST) / 24
        humidity = 100 * saturation_kpa(c_from_f(dew)) / saturation_kpa(c_from_f(degrees))
        return round(degrees), round(min(max(humidity, 25), 97))

    def shed_range(self, since: tuple[date, float], until: tuple[date, float]) -> tuple[int, int, int, int]:
        """Low and high F, low and high percent, from one reading of the shed to another, both included."""
        seen = [self.shed(*since), self.shed(*until)]
        day, hour = since[0], int(since[1]) + 1
        while (day, hour) < until:
            seen.append(self.shed(day, hour))
            day, hour = (day, hour + 1) if hour < 23 else (day + timedelta(days=1), 0)
        degrees, humidity = zip(*seen, strict=True)
        return min(degrees), max(degrees), min(humidity), max(humidity)

    def cooler(self, day: date) -> tuple[int, int]:
        """Degrees F and percent humidity in the cooler."""
        warm = on(day, "warm cooler")
        degrees = round(warm.amount) if warm else 37 + round(self._chance.spread("cooler", day) / 2)
        return degrees, 88 + round(2 * self._chance.spread("cooler air", day))

    def curve(self, crop: str, lot: str, per: int, hung_on: date, sheet: Sheet) -> Curve:
        """How a bunch of `per` stems of that lot dries, hung on that day: slower in cool and in damp air."""
        least, most = sheet.drying_days.value if sheet.drying_days else (7, 21)
        days = least + (most - least) * self._chance.between(*AMONG_THE_DAYS, "dries", lot)
        hours = [(hung_on + timedelta(days=n), hour) for n in range(round(days)) for hour in (1, 7, 13, 19)]
        seen = [self.shed(day, hour) for day, hour in hours if day + timedelta(days=1) in self._sky]
        degrees, humidity = (sum(column) / len(seen) for column in zip(*seen, strict=True))
        slower = (100 - USUAL_AIR[1]) / (100 - humidity) * 1.4 ** ((USUAL_AIR[0] - degrees) / 18)
        fresh_g = per * CROPS[crop].grams * (1 + 0.06 * self._chance.spread("bunch", lot))
        kept = CROPS[crop].kept * (1 + 0.05 * self._chance.spread("kept", lot))
        return Curve(fresh_g, kept, 24 * days * slower, CROPS[crop].shape)
