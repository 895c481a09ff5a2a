"""The mornings of whole years: one screen each, nothing lost from it, and no page that contradicts another."""

from __future__ import annotations

import csv
import math
import random
from collections.abc import Mapping
from datetime import date, timedelta
from functools import cache
from itertools import islice

import pytest

from core.asks import Sight
from core.book.book import Book
from core.book.entry import Entry
from core.today import Morning, morning
from demo_farm import plan
from demo_farm.make import READY_MADE
from demo_farm.plan import DEMO_DAY, FIRST_DAY
from tests.cases import first_of, some_of
from tests.climate.made import DATA
from tests.mornings import ON_SCREEN, PRINTED, contradictions, dawns, faults_of
from tests.second_farm import SecondFarm


@cache
def clemson_lows() -> Mapping[date, float]:
    """Lows of Clemson, South Carolina, F (NOAA daily record, public domain)."""
    with (DATA / "USC00381770_1981-2010.csv").open(encoding="utf-8", newline="") as file:
        found = {date.fromisoformat(r["date"]): r["tmin_c"] for r in csv.DictReader(file)}
    return {day: float(c) * 1.8 + 32 for day, c in found.items() if c}


def made_up_lows(year: int, seed: int) -> Mapping[date, float]:
    """Lows of a colder place, made with a sawtooth of fronts on a lopsided year: no wave and noise of ours."""
    rng, front, lows = random.Random(seed), 0.0, {}
    for n in range(380):
        day = date(year, 1, 1) + timedelta(n)
        if rng.random() < 0.14:
            front = rng.uniform(-16, 4)
        front = min(front + rng.uniform(0.5, 3.5), 10)
        lows[day] = (
            36 + 24 * math.sin(2 * math.pi * (n - 115) / 365 + 0.25 * math.sin(2 * math.pi * n / 365)) + front
        )
    return lows


def a_year(name: str) -> SecondFarm:
    """The second farm in a year of real weather, or of weather made up."""
    if name.startswith("made"):
        seed = int(name[4:].removesuffix("hope"))
        if name.endswith(
            "hope"
        ):  # a last frost hoped for a month too early: trays are ready, and frosts still come
            return SecondFarm(made_up_lows(2026, seed), 2026, "04-10", "09-30", seed)
        return SecondFarm(made_up_lows(2026, seed), 2026, "05-10", "09-30", seed)
    year = int(name)
    lows = clemson_lows()
    days = (date(year, 1, 1) + timedelta(n) for n in range(380))
    known = {day: lows.get(day, 40.0) for day in days}
    return SecondFarm(known, year, "04-06", "11-05", year)


FEW, MANY = (
    ["1996", "made3hope"],
    ["made1", "made1hope", *map(str, range(1982, 2009, 2)), *(f"made{n}" for n in range(2, 12))],
)


def look_at_every_day(name: str, days: int = 400) -> None:
    faults = []
    for sight, found in islice(a_year(name).days(), days):
        faults += faults_on(sight, found)
    assert faults == []


def faults_on(sight: Sight, found: Morning) -> list[str]:
    """Of one morning; the page as printed on one day, as on the screen on the next."""
    room = (PRINTED, ON_SCREEN)[sight.day.day % 2]
    return [f"{sight.day} {fault}" for fault in (*contradictions(sight, found), *faults_of(found, room))]


@pytest.mark.part
@pytest.mark.parametrize("name", first_of(FEW, 1))
def test_a_year_of_the_second_farm(name: str) -> None:
    """Always to the end of June, when all is out that a frost can hurt."""
    look_at_every_day(name, len(some_of(range(366), 0, 2)))


@pytest.mark.long
@pytest.mark.parametrize("name", MANY)
def test_many_years_of_the_second_farm(name: str) -> None:
    look_at_every_day(name)


@cache
def demo_entries() -> tuple[Entry, ...]:
    return tuple(Book.open(READY_MADE, device=plan.SHED).entries())


@pytest.mark.part
def test_every_morning_of_the_demo_is_one_screen_and_holds_all_that_is_asked() -> None:
    faults = []
    looked_at = {*some_of(range(FIRST_DAY.toordinal(), DEMO_DAY.toordinal() + 1), 0, 9)}
    for sight in dawns(demo_entries(), FIRST_DAY, DEMO_DAY):
        if sight.day.toordinal() in looked_at:
            faults += faults_on(sight, morning(sight))
    assert faults == []
