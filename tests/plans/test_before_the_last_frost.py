"""What flowers before the last frost is of the spring that comes: bulbs planted in the fall before it, perennials and
shrubs that stand, on both halves of the globe."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from core.crops.course import goes_out_before, stays
from core.crops.library import crop_names
from core.crops.library import sheet as library_sheet
from core.crops.sheet import Sheet
from core.plans.preview import Preview
from core.plans.save_plan import season_frost
from core.problems import Problem
from core.promising.answer import Answer
from core.promising.telephone import ask
from tests.farms import Pencil, beds
from tests.plans.test_standing import seen, stand

EARLY = tuple(
    sheet
    for sheet in map(library_sheet, crop_names())
    if isinstance(sheet, Sheet)
    and stays(sheet)
    and sheet.flowers_weeks is not None
    and sheet.flowers_weeks.value[0] < 0
)
"""Every crop of the library that stands for years and begins to flower before the last frost."""
BULBS = tuple(sheet for sheet in EARLY if goes_out_before(sheet))


def farm(start: str, last: str, first: str) -> Pencil:
    return beds("b1", "b2", start=start, last_frost=last, first_frost=first)


def told(pencil: Pencil, line: str) -> Answer:
    replies = ask(pencil.farm, pencil.today, line)
    assert not isinstance(replies, Problem), replies
    return replies[0].answer


NORTH = ("2025-10-01", "05-18", "09-28", date(2026, 5, 18))
SOUTH = ("2026-06-05", "10-10", "05-01", date(2026, 10, 10))
WARM = ("2025-11-20", "02-15", "11-15", date(2026, 2, 15))
PLACES = (NORTH, SOUTH, WARM)


@pytest.mark.parametrize("place", PLACES, ids=("north", "south", "warm"))
@pytest.mark.parametrize("sheet", EARLY, ids=lambda sheet: sheet.crop)
def test_its_season_is_that_of_the_last_frost_that_comes(
    sheet: Sheet, place: tuple[str, str, str, date]
) -> None:
    pencil = farm(*place[:3])
    assert sheet.flowers_weeks is not None
    first, last = (place[3] + timedelta(weeks=count) for count in sheet.flowers_weeks.value)
    for day in (first, last, last + timedelta(days=10)):
        assert season_frost(pencil.farm, day, sheet).last_frost == place[3]
    # until the year before it is over, and those of that year for what is dried of them
    assert season_frost(pencil.farm, first - timedelta(days=200), sheet).last_frost != place[3]
    assert season_frost(pencil.farm, first - timedelta(days=1), sheet, "dry").last_frost != place[3]


@pytest.mark.parametrize("place", PLACES, ids=("north", "south", "warm"))
@pytest.mark.parametrize("sheet", BULBS, ids=lambda sheet: sheet.crop)
def test_bulbs_for_a_day_before_the_last_frost_go_into_the_ground_now(
    sheet: Sheet, place: tuple[str, str, str, date]
) -> None:
    pencil, last = farm(*place[:3]), place[3]
    assert sheet.flowers_weeks is not None
    if sheet.spacing_in is None:
        pencil.write("sheet", crop=sheet.crop, figure="spacing_in", value="4", source="own record")
    by = last + timedelta(weeks=sum(sheet.flowers_weeks.value) / 2, days=7)
    found = seen(pencil, f"plan 100 {sheet.crop} fresh by {by.isoformat()}")
    assert isinstance(found, Preview), found
    assert found.plans[0].set_out_on is not None
    assert timedelta() <= found.plans[0].set_out_on - pencil.today <= timedelta(days=42)
    assert found.plans[0].promise.chance > 0.2


def test_a_day_before_the_first_flower_is_too_early_in_the_spring_that_comes() -> None:
    refused = seen(farm(*NORTH[:3]), "plan 100 tulip fresh by 2026-03-10")
    assert isinstance(refused, Problem)
    assert "too late for 10 Mar" in refused.sentence and "2024" not in refused.sentence
    assert "May 2026 would do" in refused.sentence


@pytest.mark.parametrize(
    ("place", "out", "by"),
    [(NORTH, "2025-10-01", "2026-05-16"), (SOUTH, "2026-06-05", "2026-10-05")],
    ids=("north", "south"),
)
def test_bulbs_in_the_ground_are_promised_for_the_spring_that_comes(
    place: tuple[str, str, str, date], out: str, by: str
) -> None:
    pencil = farm(*place[:3])
    stand(pencil, "tulip", 400, out)
    answer = told(pencil, f"100 tulip fresh {by}")
    assert answer.sources and answer.chance > 0.3, answer
    # on the day of the first cut, what was cut is there, and more to come
    pencil.today = date.fromisoformat(by) - timedelta(days=2)
    pencil.write("cut", lot="L001", crop="tulip", bed="b1", planting="P01", use="fresh", stems=90)
    answer = told(pencil, f"100 tulip fresh {by}")
    assert answer.sources and answer.free_on_day >= 90, answer


@pytest.mark.parametrize(
    ("crop", "out", "by"),
    [("peony", "2022-04-20", "2026-06-16"), ("lilac", "2020-04-20", "2026-05-20")],
)
def test_what_stands_for_years_and_was_never_cut_is_expected_in_the_weeks_of_its_sheet(
    crop: str, out: str, by: str
) -> None:
    pencil = farm("2020-03-01", "05-18", "09-28")
    pencil.write("sheet", crop=crop, figure="stems_per_plant", value="6 to 10", source="own record")
    stand(pencil, crop, 60, out)
    pencil.today = date(2026, 4, 1)
    answer = told(pencil, f"30 {crop} fresh {by}")
    assert answer.sources and answer.chance > 0.3, answer
    assert answer.uncounted == ()
    # it is less sure than where its first cut is on record
    pencil = farm("2020-03-01", "05-18", "09-28")
    pencil.write("sheet", crop=crop, figure="stems_per_plant", value="6 to 10", source="own record")
    stand(pencil, crop, 60, out, first_cut=f"2025{by[4:8]}{int(by[8:]) - 8:02d}")
    pencil.today = date(2026, 4, 1)
    known = told(pencil, f"30 {crop} fresh {by}")
    assert known.chance > answer.chance
