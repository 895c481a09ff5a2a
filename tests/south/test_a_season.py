"""A season south of the equator, from the seed in August over New Year to what is sold dried in July.

Frost dates of a plain of the South Island of New Zealand, invented; the day lengths are checked in
tests/climate/test_sun.py against published tables.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.cases import first_of
from tests.shell import Shell
from tests.south.season import HALF_A_YEAR, moved, to_north, until

PAGES = {
    "2026-07-07": ("plan", "plan N01", "plan N02", "seeds --order", "plan 60 statice dry by 2027-03-10"),
    "2026-08-25": ("trays", "beds"),
    "2026-10-05": ("trays", "beds"),
    "2026-12-01": ("beds", "cutlist", "plan"),
    "2026-12-31": ("beds", "cutlist", "buckets", "shelf"),
    "2027-01-02": ("beds", "cutlist", "trays", "plan N01", "plan N02", "learn --all"),
    "2027-02-15": ("beds", "cutlist", "shelf", "orders"),
    "2027-03-28": (
        "beds",
        "season",
        "takings --by crop",
        "takings --by week",
        "learn --all",
        "losses",
        "draft",
    ),
    "2027-06-20": (
        "beds",
        "season 2026",
        "takings --by crop --year 2026",
        "losses --year 2026",
        "draft 2026",
    ),
    "2027-07-05": (
        "beds",
        "season 2026",
        "season 2027",
        "orders --all",
        "learn --all",
        "draft 2026",
        "draft",
    ),
}
ISO = re.compile(r"\d{4}-\d\d-\d\d")
TOLD = (
    "because",
    "id",
    "entry",
    "says",
    "assumed",
    "why",
    "remarks",
    "chance",
    "text",
    "name",
    "name_before",
    "line",
)
"""Fields with days told in words, ids, or chances, which are of seasons that are made up anew for each year."""


def facts(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every plain value of an answer with where it stands, those told in words left out."""
    if isinstance(value, dict):
        for name, held in value.items():
            if name not in TOLD:
                yield from facts(held, f"{path}.{name}")
    elif isinstance(value, list):
        yield f"{path}#", len(value)
        for n, held in enumerate(value):
            yield from facts(held, f"{path}[{n}]")
    else:
        yield path, value


def both(one: Any, other: Any) -> Iterator[tuple[str, tuple[Any, Any]]]:
    """Every plain value of either answer, with that of the other."""
    here, there = dict(facts(one)), dict(facts(other))
    for path in {**here, **there}:
        yield path, (here.get(path), there.get(path))


def alike(one: Any, other: Any) -> bool:
    """Whether two values are the same; of days three apart, as months are not of one length."""
    if isinstance(one, str) and isinstance(other, str) and ISO.fullmatch(one) and ISO.fullmatch(other):
        return abs((date.fromisoformat(one) - date.fromisoformat(other)).days) <= 3
    return one == other or (
        isinstance(one, int) and isinstance(other, int) and one > 100 and abs(one - other) <= 3
    )


@pytest.fixture
def farms(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Iterator[Any]:
    def opened(day: str) -> tuple[Shell, Shell]:
        south = Shell(tmp_path / f"south {day}", capsys, day).begin(until(day))
        north = Shell(tmp_path / f"north {day}", capsys, to_north(day)).begin(until(day, north=True))
        return south, north

    yield opened


@pytest.mark.parametrize("day", first_of(sorted(PAGES, key=[*PAGES][1::2].__contains__), 5))
def test_a_page_says_in_the_south_what_it_says_half_a_year_earlier_in_the_north(day: str, farms: Any) -> None:
    south, north = farms(day)
    for verb in PAGES[day]:
        here = south(*verb.split(), "--json")[1]
        there = north(*to_north(verb).split(), "--json")[1]
        assert here.startswith(("{", "[")), (verb, here)
        told, twin = json.loads(here), json.loads(moved(there, HALF_A_YEAR))
        apart = {path: pair for path, pair in both(told, twin) if not alike(*pair)}
        assert not apart, verb


def test_it_is_planned_back_from_a_frost_in_october_over_new_year(farms: Any) -> None:
    south, _ = farms("2026-07-07")
    straw, zinnia = (south.json("plan", code) for code in ("N01", "N02"))
    assert "2026-08-01" <= straw["sow"]["planned_on"] <= "2026-09-01"
    assert straw["set_out"]["planned_on"] == "2026-10-10" and straw["by"] == "2027-03-01"
    assert "2026-10-10" < zinnia["set_out"]["planned_on"] < zinnia["cut"]["planned_on"] <= "2027-01-15"


def test_the_season_is_called_by_both_of_its_years_and_is_told_whole(farms: Any) -> None:
    south, _ = farms("2027-07-05")
    page = south.json("season", "2026")
    assert page["name"] == "2026-27" and page["until"] is None
    assert south.text("season", "2026").startswith("Season 2026-27, beside 2025-26")
    by_crop = {row["of"]: row["cut"] for row in page["rows"]}
    # by hand, of the lines of the season
    assert by_crop == {"strawflower": 160, "zinnia": 135, "lavender": 80, "statice": 60, "peony": 24}
    sold = 20 * 200 + (30 + 40 + 45 + 20) * 80
    assert page["taken"] == sold
    takings = south.json("takings", "--by", "crop", "--year", "2026")["rows"]
    assert sum(row["cents"] for row in takings) == sold
    after = south.json("takings", "--by", "crop", "--year", "2027")["rows"]
    assert {row["of"]: row["cents"] for row in after} == {"strawflower": 3600, "statice": 1800}


def test_the_morning_says_until_when_it_is_cool_in_summer_and_not_in_winter(farms: Any) -> None:
    winter, _ = farms("2026-08-25")
    assert "cool to" not in winter("today")[1]
    summer, _ = farms("2027-01-12")
    page = summer("today", on="2027-01-12")[1]
    assert "cool to" in page.splitlines()[0] or "sun up" in page.splitlines()[0]


def test_what_stands_for_years_waits_since_the_season_before_and_is_not_late(farms: Any) -> None:
    """Lavender cut in December and January: in November it is no 300 days since the last cut."""
    south, _ = farms("2027-07-05")
    rows = south.json("cutlist", on="2027-11-30")
    assert "lavender" not in json.dumps(rows) or "3" not in str(
        [row.get("days_since") for row in rows.get("worth", []) if row.get("crop") == "lavender"]
    )
    beds = {row["bed"]: row for row in south.json("beds", on="2027-12-22")["rows"]}
    lavender = beds["b4"]["plantings"][0]
    assert "2027-12-10" <= lavender["cut_from"] <= "2027-12-31"


def test_a_biennial_planted_in_march_flowers_in_the_spring_that_follows(farms: Any) -> None:
    south, _ = farms("2027-07-05")
    beds = {row["bed"]: row for row in south.json("beds", on="2027-07-05")["rows"]}
    william = beds["b6"]["plantings"][0]
    assert "2027-10-01" <= william["cut_from"] <= "2027-12-15"


def test_a_promise_reaches_over_new_year(farms: Any) -> None:
    south, north = farms("2026-12-21")
    for day in ("2027-01-20", "2027-03-01"):
        here = south.json("promise", "strawflower", "dry", "40", day)
        there = north.json("promise", "strawflower", "dry", "40", to_north(day))
        usual = [answer["why"].split(" by then")[0] for answer in (here, there)]
        assert usual[0] == usual[1] and usual[0].startswith("about "), day


def test_a_season_is_asked_for_by_the_name_under_which_it_is_told(farms: Any) -> None:
    south, _ = farms("2027-07-05")
    for verb in (
        ("season",),
        ("draft",),
        ("takings", "--by", "bed", "--year"),
        ("losses", "--year"),
        ("cost", "--year"),
    ):
        assert south(*verb, "2026-27")[1] == south(*verb, "2026")[1] != "", verb
        assert south(*verb, "2026-2027")[0] == 0
    assert "2026-27" in south.text("season", "2026-27")
    status, _, told = south("season", "2026-28")
    assert status and "2026 or 2026-27" in told


def test_the_draft_in_winter_is_of_the_summer_that_is_to_come_and_drops_none_of_the_last(farms: Any) -> None:
    south, _ = farms("2027-07-02")
    rows = south.json("draft", "2026", on="2027-06-20")["rows"]
    assert rows == south.json("draft", on="2027-06-20")["rows"]
    zinnia = next(row for row in rows if row["crop"] == "zinnia")
    # sold fresh from 28 December 2026 to 28 March 2027
    assert zinnia["start"] == "2027-12-27" or zinnia["by"] == "2027-12-27", zinnia
    assert "135 sold without an order" in zinnia["because"]


def test_a_plan_of_many_plants_says_in_its_remark_that_a_cheaper_way_is_there(farms: Any) -> None:
    south, _ = farms("2026-07-05")
    written = south.write("plan 100 zinnia fresh by 2027-01-10")
    (cheaper,) = [said for said in written["remarks"] if " plants would do" in said]
    # "promised for ..., 141 plants would do in place of 300"
    few, many = (
        int(number) for number in re.findall("([0-9]+) plants would do in place of ([0-9]+)", cheaper)[0]
    )
    assert few < many * 2 / 3, cheaper
    # what takes about as many is not told
    few = south.write("plan 100 zinnia dry by 2027-04-10")
    assert not [said for said in few["remarks"] if "would do" in said]
