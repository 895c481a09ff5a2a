"""An invented weather station near the farm: a quarter of a century of lows and highs on milder ground."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from demo_farm.chance import Chance
from demo_farm.hand import Hand, RefusedError
from demo_farm.weather import LINGERS, USUAL_HIGH_F, USUAL_LOW_F, Weather, usual

STATION = "Hither Mill"
FIRST_DAY = date(2001, 8, 1)
SWINGS_F = 9.8
"""How far a day departs from the usual: cold nights late in May come in some of the years."""
MILDER_F = 2
"""The mill stands higher than the farm, whose cold air drains away from it."""

BROUGHT_IN = {"2025-01-11": "2024-12-31", "2026-06-19": "2026-06-18"}
"""The day a file was brought in, and the last day in it."""


def bring_in(hand: Hand, day: date, sky: Mapping[date, Weather], chance: Chance) -> None:
    """The station's file, on the days on which it was fetched."""
    last = BROUGHT_IN.get(day.isoformat())
    if last is None:
        return
    with TemporaryDirectory() as scratch:
        file = Path(scratch) / f"{STATION}.csv"
        file.write_text("\n".join(_lines(date.fromisoformat(last), sky, chance)) + "\n", encoding="utf-8")
        written = hand.door.import_weather(file)
    if not hasattr(written, "entries"):
        raise RefusedError(f"{day}: {written}")


def _lines(last: date, sky: Mapping[date, Weather], chance: Chance) -> Iterator[str]:
    yield "date,min_f,max_f"
    departs = 0.0
    day = FIRST_DAY
    while day <= last:
        departs = LINGERS * departs + SWINGS_F * chance.spread("mill", day)
        here = sky.get(day)
        if here is not None:
            low = here.low + MILDER_F + round(2 * chance.spread("mill beside farm", day))
            high = max(here.high + round(chance.spread("mill high", day)), low + 1)
        else:
            low = round(usual(USUAL_LOW_F, day) + MILDER_F + departs)
            high = max(round(usual(USUAL_HIGH_F, day) + 9 * chance.spread("mill high", day)), low + 6)
        yield f"{day},{low},{high}"
        day += timedelta(days=1)
