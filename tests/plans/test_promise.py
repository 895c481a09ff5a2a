"""The whole promise at once: kept as often as it is said to be, in seasons made up by another hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from core.crops.frost_dates import Frost
from core.crops.library import sheet
from core.crops.sheet import Figure, Sheet
from core.plans.backward_plan import plan_back
from core.plans.plan import Plan
from core.plans.wish import Ask, Wish
from tests.plans.other_hand import WORLDS, kept

FROST = Frost.average(date(2026, 5, 14), date(2026, 9, 28))

WISHES = (
    ("strawflower", 120, "dry", (9, 19)),
    ("statice", 100, "dry", (10, 5)),
    ("globe amaranth", 200, "dry", (10, 1)),
    ("celosia plume", 150, "dry", (10, 5)),
    ("celosia wheat", 100, "dry", (10, 10)),
    ("larkspur", 150, "dry", (10, 1)),
    ("ammi", 100, "fresh", (7, 20)),
    ("bachelor's button", 150, "dry", (9, 1)),
    ("celosia crested", 60, "dry", (10, 5)),
    ("zinnia", 100, "fresh", (8, 25)),
    ("cosmos", 120, "fresh", (8, 20)),
    ("feverfew", 100, "dry", (9, 20)),
    ("marigold", 200, "dry", (10, 1)),
    ("calendula", 100, "dry", (9, 1)),
    ("scabiosa", 150, "fresh", (8, 25)),
    ("rudbeckia", 100, "fresh", (8, 20)),
    ("winged everlasting", 150, "dry", (9, 25)),
    ("bunny tail grass", 300, "dry", (9, 20)),
    ("craspedia", 100, "dry", (10, 10)),
    ("xeranthemum", 120, "dry", (9, 20)),
)
"""(crop, stems, use, day) of 2026: twenty crops, fresh and dried."""


def planned(crop: str, stems: int, use: str, day: tuple[int, int]) -> Plan:
    found = sheet(crop)
    assert isinstance(found, Sheet)
    made = plan_back(Ask(Wish(found.crop, stems, use, date(2026, *day)), found, FROST))
    assert isinstance(made, Plan), made
    return made


NOT_SO_SURE = (
    ("snapdragon", 100, "fresh", (7, 25)),
    ("feverfew", 100, "fresh", (8, 1)),
    ("stock", 50, "fresh", (6, 20)),
    ("dahlia", 100, "fresh", (9, 12)),
)
"""Wishes that no count of plants makes as sure as was asked: some seasons come too early or too late for the day."""


@pytest.mark.parametrize("wish", WISHES, ids=lambda wish: f"{wish[0]} {wish[2]}")
def test_a_promise_is_kept_as_often_as_it_is_said_to_be(wish: tuple[str, int, str, tuple[int, int]]) -> None:
    made = planned(*wish)
    worlds = {world: kept(made, world) for world in WORLDS}
    # 2,000 seasons in each of four worlds: sampling alone is a quarter of a point
    assert sum(worlds.values()) / len(worlds) == pytest.approx(made.ask.given.sure.value, abs=0.02), worlds


@pytest.mark.parametrize("wish", NOT_SO_SURE, ids=lambda wish: f"{wish[0]} {wish[2]}")
def test_what_cannot_be_so_sure_says_how_sure_it_is(wish: tuple[str, int, str, tuple[int, int]]) -> None:
    made = planned(*wish)
    said = next(step for step in made.steps if step.name == "chance")
    assert "no count of plants makes it so sure" in said.says and "most of the doubt" in said.because
    mean = sum(kept(made, world) for world in WORLDS) / len(WORLDS)
    assert made.promise.chance < 0.94
    # nothing is published of the shape of a flush, on which such a wish hangs most
    assert mean == pytest.approx(made.promise.chance, abs=0.05)


def test_a_promise_less_sure_needs_fewer_plants_and_is_kept_so_often() -> None:
    ask = planned("cosmos", 120, "fresh", (8, 20)).ask
    counts = []
    for sure in (0.6, 0.8, 0.9):
        made = plan_back(replace(ask, given=replace(ask.given, sure=Figure(sure, "said"))))
        assert isinstance(made, Plan)
        counts.append(made.plants_out)
        assert sum(kept(made, world) for world in WORLDS) / len(WORLDS) == pytest.approx(sure, abs=0.04)
    assert counts == sorted(counts) and counts[0] < counts[-1]


def test_the_same_wish_has_the_same_answer_twice() -> None:
    first, second = (planned("zinnia", 100, "fresh", (8, 25)) for _ in range(2))
    assert first == second


def test_the_day_falls_in_the_middle_of_the_flush() -> None:
    # One stem a plant, cut over some ten days: half of them before the middle of the days that count, half after.
    made = planned("sunflower", 100, "fresh", (8, 15))
    middle = (
        made.in_bed_from.toordinal() + sum((day - made.in_bed_from).days for day in made.first_cut) / 2 + 5
    )
    assert abs(date(2026, 8, 15).toordinal() - 3.5 - middle) <= 2
