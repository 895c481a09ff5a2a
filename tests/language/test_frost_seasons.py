"""A frost date that cannot be of its season is asked again, by the half of the world the farm lies in."""

from __future__ import annotations

import pytest

from core.language.read import Reading, read_line
from core.problems import Problem
from tests.farms import Pencil, small_farm

NORTH, SOUTH, UNKNOWN = {"latitude": 44.1}, {"latitude": -37.8}, None


def _farm(place: dict[str, float] | None) -> Pencil:
    pencil = Pencil("2026-03-01")
    if place is not None:
        pencil.write("farm", **place)
    return pencil


def _read(pencil: Pencil, line: str) -> Reading | Problem:
    return read_line(line, pencil.farm, pencil.today)


@pytest.mark.parametrize(
    ("place", "line"),
    [
        (UNKNOWN, "last frost 14 dec"),
        (UNKNOWN, "first frost 05-10"),
        (UNKNOWN, "first frost 36F 10% 20 april"),
        (NORTH, "last frost 14 dec"),
        (NORTH, "last frost 20 sep"),
        (NORTH, "first frost 05-10"),
        (NORTH, "frost spring 36F 10% 10-02"),
        (SOUTH, "last frost 14 may"),
        (SOUTH, "first frost 1 october"),
    ],
)
def test_a_frost_of_the_wrong_half_of_the_year_is_asked_again(
    place: dict[str, float] | None, line: str
) -> None:
    asked = _read(_farm(place), line)
    assert isinstance(asked, Problem) and asked.code == "impossible"
    assert "latitude" in asked.sentence and "check" in asked.sentence
    assert asked.sentence.count(". ") == 0 and asked.sentence.endswith(".")


@pytest.mark.parametrize(
    ("place", "line"),
    [
        (UNKNOWN, "last frost 14 may"),
        (UNKNOWN, "last frost 20 sep"),  # the first word of a farm in the south
        (UNKNOWN, "first frost 1 october"),
        (NORTH, "last frost 02-20"),
        (NORTH, "last frost 4 july"),
        (NORTH, "first frost 5 jan"),  # a mild coast
        (NORTH, "first frost 08-20"),
        (NORTH, "frost spring 24F 50% 12-20"),  # where a hard freeze is one of midwinter
        (SOUTH, "last frost 10 oct"),
        (SOUTH, "last frost 14 dec"),  # high country
        (SOUTH, "first frost 2 may"),
    ],
)
def test_a_frost_that_can_be_is_taken(place: dict[str, float] | None, line: str) -> None:
    assert isinstance(_read(_farm(place), line), Reading)


def test_a_farm_that_has_said_its_southern_spring_may_say_its_southern_fall() -> None:
    pencil = _farm(UNKNOWN)
    pencil.write("frost", season="spring", threshold_f=32, risk_pct=50, month_day="09-20")
    assert isinstance(_read(pencil, "first frost 25 april"), Reading)
    assert isinstance(_read(pencil, "first frost 1 october"), Problem)
    assert isinstance(_read(pencil, "last frost 14 may"), Reading), "a slip of the pen can be put right"


def test_a_northern_spring_leaves_no_first_frost_in_may() -> None:
    assert isinstance(_read(small_farm(), "first frost 10 may"), Problem)


def test_what_is_kept_from_a_record_or_merged_is_reckoned_as_it_is() -> None:
    pencil = small_farm()
    pencil.write(
        "frost",
        season="spring",
        threshold_f=32,
        risk_pct=50,
        month_day="12-14",
        source="WARM COAST, 30 years",
    )
    assert pencil.farm.matters == []
