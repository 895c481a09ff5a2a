"""A farm with a station of thirty invented years near it, and her own thermometer in a hollow."""

from __future__ import annotations

import random
from datetime import date, timedelta
from functools import cache
from pathlib import Path

from core.reckon.climate.record import Record
from core.session import Session
from tests.climate.made import climate, days
from tests.farms import TODAY, farm_in, write


@cache
def station(last: date = TODAY, years: int = 30) -> Record:
    """The invented station: warm summers, cold winters, readings in whole degrees F."""
    made = climate(46, 26, 6, years=years, seed=4, first=date(last.year - years, 8, 1))
    keep = last.toordinal() - made.start + 1
    return Record(
        "EASTON", "EASTON MILL", 44.0, made.start, made.lows[:keep], made.highs[:keep], made.whole_f
    )


def station_file(folder: Path, record: Record | None = None) -> Path:
    """The station as a plain file of degrees F."""
    record = record or station()
    lines = ["date,min_f,max_f"]
    for day in range(record.start, record.end):
        low, high = record.low_f(day), record.high_f(day)
        if low is not None and high is not None:
            lines.append(f"{date.fromordinal(day)},{low:.1f},{high:.1f}")
    path = folder / "EASTON.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


DAYS = {
    "2026-03-01": (
        "farm zone America/New_York latitude 44.1 longitude -72.6",
        "last frost 14 may",
        "first frost 28 sep",
        "bed b1 50ft",
        "bed b2 50ft",
    ),
    "2026-05-20": ("plant zinnia b1 25ft", "plant peony b2 10ft on 2024-10-01"),
    "2026-05-28": ("sow 72 cosmos", "up 60 S01"),
    "2026-06-23": (),
}
"""Frost typed by hand, a tender and a hardy crop in beds, a tray hardening."""


def farm(folder: Path) -> Session:
    """A farm in its second month."""
    return farm_in(folder, DAYS)


def own_lows(session: Session, record: Record, colder_by: float, first: date, last: date) -> None:
    """Every morning's low of those days: colder than the station by so much, give or take a degree."""
    rng = random.Random(2)
    for day in days(first, last):
        there = record.low_f(day.toordinal())
        if there is not None:
            write(session, f"low {there - colder_by + rng.choice((-1, 0, 1)):.0f} on {day}")


def clear_nights(session: Session, last: date, count: int) -> None:
    """Dusk readings of so many clear nights before `last`, each with the low it led to: dusk less 12, and a bit
    more where the air was dry.
    """
    for back in range(count, 0, -1):
        evening = last - timedelta(days=back)
        dusk, dew = 50 + back % 7, 38 + back % 5
        low = round(dusk - 12 + (dew - 40) * 0.5)
        write(
            session,
            f"dusk {dusk} dew {dew} clear on {evening}",
            f"low {low} on {evening + timedelta(days=1)}",
        )
