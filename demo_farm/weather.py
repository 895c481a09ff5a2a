"""Invented weather at about 44 N, and a station near the farm: a quarter of a century on milder ground."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from typing import NamedTuple

from demo_farm.chance import Chance
from demo_farm.troubles import NIGHTS, on

USUAL_LOW_F = (11, 12, 22, 33, 45, 55, 60, 58, 49, 38, 28, 18)
USUAL_HIGH_F = (28, 32, 42, 56, 69, 77, 82, 80, 71, 58, 45, 33)
"""Means of each month, on its 15th: invented, of the order that is usual far from the sea at 44 N."""
LINGERS = 0.55
"""How much of one day's departure from the usual is still there on the next."""
NEVER_BELOW_F = (("03-26", 20), ("04-24", 25), ("05-08", 29), ("05-22", 36), ("06-05", 42), ("06-25", 46))
NEVER_BELOW_F += (("09-01", 31), ("09-27", -15))
"""From that day of the year no low is colder than this."""
LOWS_F = {
    date.fromisoformat(first) + timedelta(days=n): low
    for first, *lows in NIGHTS
    for n, low in enumerate(lows)
}

STATION = "Hither Mill"
STATION_FROM = date(2001, 8, 1)
MILDER_F = 2
"""The mill stands higher than the farm, whose cold air drains away from it."""


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
    return (first + timedelta(days=n) for n in range((last - first).days + 1))


def weather(first: date, last: date, chance: Chance) -> dict[date, Weather]:
    """The weather of every day from `first` to `last`."""
    lows: dict[date, int] = {}
    departs, sky = 0.0, {}
    for day in days_from(first, last + timedelta(days=1)):
        departs = LINGERS * departs + 8.0 * chance.spread("low", day)
        least = next((f for since, f in reversed(NEVER_BELOW_F) if since <= f"{day:%m-%d}"), -15)
        lows[day] = LOWS_F.get(day, max(round(_usual(USUAL_LOW_F, day) + departs), least))
    for day in days_from(first, last):
        low, rain, blows = lows[day], on(day, "rain") is not None, on(day, "wind")
        muggy = on(day, "muggy") or rain or on(day - timedelta(days=1), "rain")
        muggy = bool(muggy) or chance.happens(0.06, "muggy", day)
        gust = 18 + chance.whole(0, 6, "gusts", day) if chance.happens(0.06, "windy", day) else 0
        high = round(_usual(USUAL_HIGH_F, day) + 9 * chance.spread("high", day))
        sky[day] = Weather(
            low,
            low + 9 if rain else max(high, low + 8),
            lows[day + timedelta(days=1)] + round(1.2 * chance.spread("forecast", day)),
            low - chance.whole(*((0, 1) if muggy else (5, 12)), "dew at dawn", day),
            round(blows.amount) if blows else gust or chance.whole(2, 13, "wind", day),
            rain,
            muggy,
        )
    return sky


def station_lines(last: date, sky: Mapping[date, Weather], chance: Chance) -> Iterator[str]:
    """The station's file up to that day; cold nights late in May come in some of its years."""
    yield "date,min_f,max_f"
    departs = 0.0
    for day in days_from(STATION_FROM, last):
        departs = LINGERS * departs + 9.8 * chance.spread("mill", day)
        if here := sky.get(day):
            low = here.low + MILDER_F + round(2 * chance.spread("mill beside farm", day))
            high = max(here.high + round(chance.spread("mill high", day)), low + 1)
        else:
            low = round(_usual(USUAL_LOW_F, day) + MILDER_F + departs)
            high = max(round(_usual(USUAL_HIGH_F, day) + 9 * chance.spread("mill high", day)), low + 6)
        yield f"{day},{low},{high}"


def _usual(means: tuple[int, ...], day: date) -> float:
    """The usual of a day, on the line between the means of two months."""
    months = day.month - 1 + (day.day - 15) / 30.4
    before = int(months // 1)
    return means[before % 12] + (means[(before + 1) % 12] - means[before % 12]) * (months - before)
