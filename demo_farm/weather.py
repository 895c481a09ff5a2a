"""Invented weather at about 44 N: lows, highs, forecasts and wind, with the nights the story needs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from demo_farm.chance import Chance

USUAL_LOW_F = (11, 12, 22, 33, 45, 55, 60, 58, 49, 38, 28, 18)
USUAL_HIGH_F = (28, 32, 42, 56, 69, 77, 82, 80, 71, 58, 45, 33)
"""Means of each month, on its 15th: invented, of the order that is usual far from the sea at 44 N."""

LINGERS = 0.55
"""How much of one day's departure from the usual is still there on the next."""
DEPARTS_F = 8.0
WINDY_MPH = 18

LOWS_F = {
    "2025-05-03": 29,
    "2025-05-21": 30,  # the last frost of 2025, a week late
    # a mild first week of June: the tender trays get their nights out
    "2025-06-01": 52,
    "2025-06-02": 53,
    "2025-06-03": 55,
    "2025-06-04": 54,
    "2025-06-05": 56,
    "2025-06-06": 53,
    "2025-09-27": 33,
    "2025-10-01": 30,  # the first
    "2025-10-11": 27,
    "2025-10-25": 22,
    # a mild end of March: the early strawflowers get their nights out
    "2026-03-22": 33,
    "2026-03-23": 35,
    "2026-03-24": 36,
    "2026-03-25": 34,
    "2026-03-26": 35,
    "2026-03-27": 33,
    "2026-03-28": 35,
    "2026-03-29": 36,
    "2026-04-03": 22,  # and the night that follows such an end of March
    "2026-04-04": 25,
    "2026-05-16": 31,
    "2026-05-17": 30,  # the last frost of 2026
    # cold nights hold the tender trays
    "2026-06-11": 45,
    "2026-06-12": 46,
    "2026-06-21": 54,
    "2026-06-22": 52,
    "2026-06-23": 51,
    "2026-06-24": 47,
}
"""Nights that the story needs, by the morning they are read on."""

NEVER_BELOW_F = (("03-26", 20), ("04-24", 25), ("05-08", 29), ("05-22", 36), ("06-05", 42), ("06-25", 46))
"""From that day of the year, to the end of August, no low is colder than this."""

WINDY = {
    "2025-05-12": 24,
    "2025-05-13": 21,
    "2025-07-08": 31,
    "2026-03-11": 23,
    "2026-04-12": 22,
    "2026-04-13": 19,
    "2026-05-27": 26,
    "2026-06-17": 21,
}
"""Miles an hour on days that stand in the story; other days now and then blow too."""

RAINY = {"2025-06-19", "2025-07-22", "2025-07-23", "2025-07-24", "2025-09-09", "2026-04-18", "2026-06-06"}
"""Days of hard rain."""

MUGGY = {
    "2025-07-25",
    "2025-07-26",
    "2025-08-12",
    "2025-08-13",
    "2025-09-10",
    "2025-09-11",
    "2025-09-12",
    # the week in which the fan of line 6 fails
    "2026-06-15",
    "2026-06-16",
    "2026-06-17",
    "2026-06-18",
}
"""Days of close, wet air without hard rain; the day after hard rain is one too."""
MUGGY_ODDS = 0.06
BELOW_DAWN_F = {True: (0, 1), False: (5, 12)}
"""By so much the dew point lies below the low of the night, F: on muggy days, and on others."""


@dataclass(frozen=True, slots=True)
class Weather:
    """One day: low of the night before, high, the forecast for tonight, dew point at dawn, F; wind, mph; hard rain."""

    low: int
    high: int
    tonight: int
    wind: int
    rain: bool
    dew: int
    muggy: bool


def weather(first: date, last: date, chance: Chance) -> dict[date, Weather]:
    """The weather of every day from `first` to `last`."""
    lows = dict(_lows(first, last + timedelta(days=1), chance))
    return {
        day: Weather(
            low=low,
            high=_high(day, low, chance),
            tonight=lows[day + timedelta(days=1)] + round(1.2 * chance.spread("forecast", day)),
            wind=_wind(day, chance),
            rain=day.isoformat() in RAINY,
            dew=low - chance.whole(*BELOW_DAWN_F[_is_muggy(day, chance)], "dew at dawn", day),
            muggy=_is_muggy(day, chance),
        )
        for day, low in lows.items()
        if day <= last
    }


def _is_muggy(day: date, chance: Chance) -> bool:
    before = (day - timedelta(days=1)).isoformat()
    known = {day.isoformat(), before} & RAINY or day.isoformat() in MUGGY
    return bool(known) or chance.happens(MUGGY_ODDS, "muggy", day)


def usual(means: tuple[int, ...], day: date) -> float:
    """The usual of a day, on the line between the means of two months."""
    months = day.month - 1 + (day.day - 15) / 30.4
    before = int(months // 1)
    return means[before % 12] + (means[(before + 1) % 12] - means[before % 12]) * (months - before)


def _lows(first: date, last: date, chance: Chance) -> Iterator[tuple[date, int]]:
    departs = 0.0
    day = first
    while day <= last:
        departs = LINGERS * departs + DEPARTS_F * chance.spread("low", day)
        low = max(round(usual(USUAL_LOW_F, day) + departs), _floor(day))
        yield day, LOWS_F.get(day.isoformat(), low)
        day += timedelta(days=1)


def _floor(day: date) -> int:
    if day.month > 8:
        return 31 if (day.month, day.day) < (9, 27) else -15
    known = [least for since, least in NEVER_BELOW_F if since <= day.strftime("%m-%d")]
    return known[-1] if known else -15


def _high(day: date, low: int, chance: Chance) -> int:
    if day.isoformat() in RAINY:
        return low + 9
    return max(round(usual(USUAL_HIGH_F, day) + 9 * chance.spread("high", day)), low + 8)


def _wind(day: date, chance: Chance) -> int:
    if day.isoformat() in WINDY:
        return WINDY[day.isoformat()]
    if chance.happens(0.06, "windy", day):
        return WINDY_MPH + chance.whole(0, 6, "gusts", day)
    return chance.whole(2, 13, "wind", day)
