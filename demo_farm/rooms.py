"""The air indoors, as the invented weather makes it: what the instruments of shed and cooler show."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from math import cos, pi

from core.reckon.climate.air import c_from_f, saturation_kpa
from demo_farm.chance import Chance
from demo_farm.weather import Weather

COLDEST, WARMEST = 5, 15
"""Hours of the day at which the shed is coldest and warmest."""
NIGHTS_ABOVE_F = {True: 7, False: 10}
"""By so much the shed keeps above the cold of the night: in muggy air, when its doors stand open, and else."""
DAYS_ABOVE_F = 3
"""Under its roof it is warmer than the day."""
DAMPEST, DRIEST = 97, 25
COOLER_F, COOLER_RH = 37, 88
COOLER_WARM = {"2025-08-04": 43, "2025-08-05": 47, "2025-08-06": 41}
"""Its coils were iced up: F."""


class Rooms:
    """What stood on the instruments at any hour."""

    def __init__(self, sky: Mapping[date, Weather], chance: Chance) -> None:
        self._sky = sky
        self._last = max(sky)
        self._chance = chance

    def shed(self, day: date, hour: float) -> tuple[int, int]:
        """Degrees F and percent humidity in the drying shed."""
        degrees = self._degrees(day, hour)
        rh = 100 * saturation_kpa(c_from_f(self._dew(day, hour))) / saturation_kpa(c_from_f(degrees))
        return round(degrees), round(min(max(rh, DRIEST), DAMPEST))

    def shed_range(self, since: tuple[date, float], until: tuple[date, float]) -> tuple[int, int, int, int]:
        """Low and high F, low and high percent, from one reading of the shed to another, both included."""
        seen = [self.shed(*since), self.shed(*until)]
        day, hour = since[0], int(since[1]) + 1
        while (day, hour) < until:
            seen.append(self.shed(day, hour))
            day, hour = (day, hour + 1) if hour < 23 else (day + timedelta(days=1), 0)
        degrees, humidity = zip(*seen, strict=True)
        return min(degrees), max(degrees), min(humidity), max(humidity)

    def mean(self, since: date, days: int) -> tuple[float, float]:
        """Mean degrees F and percent humidity of the shed in the days that follow one."""
        hours = [(since + timedelta(days=n), hour) for n in range(days) for hour in (1, 7, 13, 19)]
        seen = [self.shed(day, hour) for day, hour in hours if day + timedelta(days=1) in self._sky]
        degrees, humidity = zip(*(seen or [self.shed(since, 13)]), strict=True)
        return sum(degrees) / len(degrees), sum(humidity) / len(humidity)

    def cooler(self, day: date) -> tuple[int, int]:
        """Degrees F and percent humidity in the cooler."""
        usual = COOLER_F + round(self._chance.spread("cooler", day) / 2)
        degrees = COOLER_WARM.get(day.isoformat(), usual)
        return degrees, COOLER_RH + round(2 * self._chance.spread("cooler air", day))

    def is_cooler_warm(self, day: date) -> bool:
        """Whether the cooler does not keep its cold that day."""
        return day.isoformat() in COOLER_WARM

    def _degrees(self, day: date, hour: float) -> float:
        """On a wave from the coldest of the morning to the warmest of the afternoon and down to the next morning."""
        if hour < COLDEST:
            before = day - timedelta(days=1)
            return _between(
                self._high(before), self._low(day), (hour + 24 - WARMEST) / (24 - WARMEST + COLDEST)
            )
        if hour <= WARMEST:
            return _between(self._low(day), self._high(day), (hour - COLDEST) / (WARMEST - COLDEST))
        after = day + timedelta(days=1)
        return _between(self._high(day), self._low(after), (hour - WARMEST) / (24 - WARMEST + COLDEST))

    def _low(self, day: date) -> float:
        here = self._of(day)
        return here.low + NIGHTS_ABOVE_F[here.muggy] + self._chance.spread("shed low", day)

    def _high(self, day: date) -> float:
        return self._of(day).high + DAYS_ABOVE_F + self._chance.spread("shed high", day)

    def _dew(self, day: date, hour: float) -> float:
        """The dew point, on a line from one dawn to the next."""
        if hour < COLDEST:
            day, hour = day - timedelta(days=1), hour + 24
        share = (hour - COLDEST) / 24
        here, after = self._of(day), self._of(day + timedelta(days=1))
        return here.dew + (after.dew - here.dew) * share

    def _of(self, day: date) -> Weather:
        return self._sky[min(day, self._last)]


def _between(first: float, last: float, share: float) -> float:
    return first + (last - first) * (1 - cos(pi * share)) / 2
