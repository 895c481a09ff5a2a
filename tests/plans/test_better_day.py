"""A day far from the crop's best costs many plants: a better one near it, and its plants, are told first of all."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from core.language.read import Reading, read_line
from core.plans.preview import Preview
from tests.farms import Pencil, beds
from tests.plans.test_standing import seen

pytestmark = pytest.mark.usefixtures("reckoned_once")


def farm() -> Pencil:
    return beds("b1", start="2025-10-01", last_frost="05-18", first_frost="09-28")


def first_step(line: str) -> tuple[str, str]:
    found = seen(farm(), line)
    assert isinstance(found, Preview), found
    return found.steps[0].name, found.steps[0].says


@pytest.mark.parametrize(
    ("stems", "crop", "by"), [(100, "tulip", date(2026, 5, 10)), (60, "zinnia", date(2026, 7, 13))]
)
def test_the_first_line_says_which_day_and_how_many_plants_then(stems: int, crop: str, by: date) -> None:
    name, says = first_step(f"plan {stems} {crop} fresh by {by.isoformat()}")
    assert name == "a better day"
    told = re.search(r"by \w+ (\d+ \w+ \d+) (\d+) plants would do; by .* it takes (\d+)", says)
    assert told is not None, says
    better, plants, takes = told.groups()
    assert 2 * int(plants) < int(takes)
    # it is so: asked for that day, as many keep it as surely
    day = next(
        on for n in range(-14, 15) if f"{(on := by + timedelta(days=n)).day} {on:%b} {on.year}" == better
    )
    then = seen(farm(), f"plan {stems} {crop} fresh by {day.isoformat()}")
    now = seen(farm(), f"plan {stems} {crop} fresh by {by.isoformat()}")
    assert isinstance(then, Preview) and isinstance(now, Preview)
    assert then.plans[0].promise.chance >= now.plans[0].promise.chance - 0.01
    reading = read_line(f"plan {stems} {crop} fresh by {by.isoformat()}", farm().farm, date(2025, 10, 1))
    assert isinstance(reading, Reading)
    assert reading.remarks[0].endswith(f"would do in place of {takes}")


def test_a_day_as_good_as_any_has_no_better_one() -> None:
    assert first_step("plan 40 snapdragon fresh by 2026-07-15")[0] != "a better day"
    assert first_step("plan 60 statice dry by 2026-10-10")[0] != "a better day"
