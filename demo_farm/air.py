"""Invented weather at about 44 N, a station on milder ground, the air in shed and cooler, and how bunches dry in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from math import cos, exp, log, pi
from typing import NamedTuple

from core.crops.sheet import Sheet
from core.reckon.climate.air import c_from_f, saturation_kpa
from demo_farm.chance import Chance
from demo_farm.plan import DEMO_DAY, FIRST_DAY
from demo_farm.tables import CROPS, on

USUAL_LOW_F = (11, 12, 22, 33, 45, 55, 60, 58, 49, 38, 28, 18)
USUAL_HIGH_F = (28, 32, 42, 56, 69, 77, 82, 80, 71, 58, 45, 33)
"""Means of each month, on its 15th: invented, of the order that is usual far from the sea at 44 N."""
LINGERS = 0.55
"""How much of one day's departure from the usual is still there on the next."""
_SINCE = "03-26", "04-24", "05-08", "05-22", "06-05", "06-25", "09-01", "09-27"
NEVER_BELOW_F = dict(zip(_SINCE, (20, 25, 29, 36, 42, 46, 31, -15), strict=True))
"""From that day of the year no low is colder than this."""
STATION, STATION_FROM, MILDER_F = "Hither Mill", date(2001, 8, 1), 2
"""The mill stands higher than the farm, whose cold air drains away from it."""

COLDEST, WARMEST = 5, 15
"""Hours of the day at which the shed is coldest and warmest."""
DRY_RATIO = 0.05
"""Share of its water that a bunch still has when its stems snap."""


class Weather(NamedTuple):
    """One day: low of the night before, high, the forecast for tonight, dew point at dawn, F; wind, mph; hard rain."""

    low: int
    high: int
    tonight: int
    dew: int
    wind: int
    rain: bool
    muggy: bool


def days_from(first: date, last: date) -> Iterator[date]:
    """Every day from one to another, both included."""
    return (first + timedelta(n) for n in range((last - first).days + 1))


def make_sky(chance: Chance) -> dict[date, Weather]:
    """The weather of the demo's days, and of some before and after."""
    lows: dict[date, int] = {}
    departs, sky, first, last = 0.0, {}, FIRST_DAY - timedelta(14), DEMO_DAY + timedelta(1)
    for day in days_from(first, last + timedelta(1)):
        departs = LINGERS * departs + 8 * chance.spread("low", day)
        least = [-15, *(least for since, least in NEVER_BELOW_F.items() if since <= f"{day:%m-%d}")][-1]
        known = on(day, "low")
        lows[day] = round(known.amount) if known else max(round(_usual(USUAL_LOW_F, day) + departs), least)
    for day in days_from(first, last):
        low, rain, blows = lows[day], bool(on(day, "rain")), on(day, "wind")
        muggy = bool(on(day, "muggy") or rain or on(day - timedelta(1), "rain"))
        muggy = muggy or chance.happens(0.06, "muggy", day)
        gust = 18 + chance.whole(0, 6, "gusts", day) if chance.happens(0.06, "windy", day) else 0
        high = max(round(_usual(USUAL_HIGH_F, day) + 9 * chance.spread("high", day)), low + 8)
        high = round(hot.amount) if (hot := on(day, "high")) else high
        tonight = lows[day + timedelta(1)] + round(1.2 * chance.spread("forecast", day))
        dew = low - chance.whole(*((0, 1) if muggy else (5, 12)), "dew at dawn", day)
        wind = round(blows.amount) if blows else gust or chance.whole(2, 13, "wind", day)
        sky[day] = Weather(low, low + 9 if rain else high, tonight, dew, wind, rain, muggy)
    return sky


def station_lines(last: date, sky: Mapping[date, Weather], chance: Chance) -> Iterator[str]:
    """The station's file up to that day; cold nights late in May come in some of its years."""
    yield "date,min_f,max_f"
    departs = 0.0
    for day in days_from(STATION_FROM, last):
        departs = LINGERS * departs + 9.8 * chance.spread("mill", day)
        low, high = (
            _usual(USUAL_LOW_F, day) + departs,
            _usual(USUAL_HIGH_F, day) + 8 * chance.spread("mill high", day),
        )
        if here := sky.get(day):
            low, high = here.low + 2 * chance.spread("mill beside farm", day), here.high
        yield f"{day},{round(low) + MILDER_F},{max(round(high), round(low) + MILDER_F + 1)}"


def _usual(means: tuple[int, ...], day: date) -> float:
    """The usual of a day, on the line between the means of two months."""
    months = day.month - 1 + (day.day - 15) / 30.4
    before = int(months // 1)
    return means[before % 12] + (means[(before + 1) % 12] - means[before % 12]) * (months - before)


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
        self._sky, self._chance = sky, chance
        # in muggy air, when its doors stand open, the shed keeps less of the day's warmth
        self._lows = {
            d: w.low + (7 if w.muggy else 10) + chance.spread("shed low", d) for d, w in sky.items()
        }
        self._highs = {d: w.high + 3 + chance.spread("shed high", d) for d, w in sky.items()}

    def shed(self, day: date, hour: float) -> tuple[int, int]:
        """Degrees F and percent humidity in the drying shed."""
        if hour < COLDEST:
            day, hour = day - timedelta(1), hour + 24
        after, low, high = day + timedelta(1), self._lows[day], self._highs[day]
        along = (hour - COLDEST) / (WARMEST - COLDEST)
        if hour > WARMEST:
            low, along = self._lows[after], 1 + (hour - WARMEST) / (24 - WARMEST + COLDEST)
        degrees = low + (high - low) * (1 - cos(pi * along)) / 2
        dew = self._sky[day].dew + (self._sky[after].dew - self._sky[day].dew) * (hour - COLDEST) / 24
        humidity = 100 * saturation_kpa(c_from_f(dew)) / saturation_kpa(c_from_f(degrees))
        return round(degrees), round(min(max(humidity, 25), 97))

    def shed_range(
        self, since: date, since_hour: float, until: date, hour: float
    ) -> tuple[int, int, int, int]:
        """Low and high F, low and high percent, from one reading of the shed to another, both included."""
        span = (day for day in days_from(since, until) for _ in range(24))
        hours = [
            (day, n % 24) for n, day in enumerate(span) if (since, since_hour) < (day, n % 24) < (until, hour)
        ]
        degrees, humidity = zip(
            *(self.shed(*at) for at in [(since, since_hour), *hours, (until, hour)]), strict=True
        )
        return min(degrees), max(degrees), min(humidity), max(humidity)

    def cooler(self, day: date) -> tuple[int, int]:
        """Degrees F and percent humidity in the cooler."""
        warm = on(day, "warm cooler")
        degrees = round(warm.amount) if warm else 37 + round(self._chance.spread("cooler", day) / 2)
        return degrees, 88 + round(2 * self._chance.spread("cooler air", day))

    def curve(self, crop: str, lot: str, per: int, hung_on: date, sheet: Sheet) -> Curve:
        """How a bunch of `per` stems of that lot dries, hung on that day: slower than usual in cool and in damp air."""
        habit, spread = CROPS[crop], self._chance.spread
        least, most = sheet.drying_days.value if sheet.drying_days else (7, 21)
        days = least + (most - least) * self._chance.between(0.2, 0.75, "dries", lot)
        shown = (hung_on + timedelta(n) for n in range(round(days)) if hung_on + timedelta(n) <= DEMO_DAY)
        seen = [self.shed(day, hour) for day in shown for hour in (1, 7, 13, 19)]
        degrees, humidity = (sum(column) / len(seen) for column in zip(*seen, strict=True))
        slower = 50 / (100 - humidity) * 1.4 ** ((75 - degrees) / 18)
        fresh_g, kept = (
            habit.grams * (1 + 0.06 * spread("bunch", lot)),
            habit.kept * (1 + 0.05 * spread("kept", lot)),
        )
        return Curve(per * fresh_g, kept, 24 * days * slower, habit.shape)
