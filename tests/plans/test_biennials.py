"""Biennials sown the summer before, and bulbs planted the fall before: they stand through the winter."""

from __future__ import annotations

from datetime import date

from core.crops.frost_dates import Frost
from core.crops.library import sheet
from core.crops.sheet import Sheet
from core.plans.backward_plan import plan_back
from core.plans.capacity import uses_of_plan
from core.plans.plan import Plan
from core.plans.wish import Ask, Wish
from core.problems import Problem

FROST = Frost.average(date(2027, 5, 14), date(2027, 9, 28))


def asked(today: date, by: date, way: str | None = None) -> Ask:
    found = sheet("Sweet William", way)
    assert isinstance(found, Sheet)
    return Ask(Wish("Sweet William", 60, "fresh", by, way=way), found, FROST, today=today)


def test_it_is_sown_the_summer_before_and_holds_its_bed_over_the_winter() -> None:
    made = plan_back(asked(date(2026, 3, 1), date(2027, 6, 15)))
    assert isinstance(made, Plan), made
    # out 6 to 8 weeks before the first frost of 28 September, 9 to 10 weeks in the tray before: seed in May or June
    assert made.set_out_on is not None and made.sow_on is not None
    assert date(2026, 8, 3) <= made.set_out_on <= date(2026, 8, 18)
    assert date(2026, 5, 20) <= made.sow_on <= date(2026, 6, 16)
    assert made.first_cut[0] >= date(2027, 5, 20) and made.cut_to <= date(2027, 6, 15)
    bed = next(use for use in uses_of_plan(made, None) if use.what == "bed")
    assert (bed.start, bed.end.year) == (made.set_out_on, 2027)


def test_too_late_for_seed_says_what_would_do() -> None:
    late = plan_back(asked(date(2026, 11, 10), date(2027, 6, 10)))
    assert isinstance(late, Problem)
    assert "too late for seed" in late.sentence and "Jun 2026" in late.sentence
    assert "annual" in late.sentence and "10 Jun 2028" in late.sentence
    assert "bought" not in late.sentence  # it freezes already
    in_august = plan_back(asked(date(2026, 8, 20), date(2027, 6, 10)))
    assert isinstance(in_august, Problem) and "plants bought" in in_august.sentence
    annual = plan_back(asked(date(2026, 11, 10), date(2027, 7, 20), way="annual"))
    assert isinstance(annual, Plan) and annual.sow_on is not None and annual.sow_on.year == 2027


def bulbs(today: date, by: date, crop: str = "tulip") -> Ask:
    found = sheet(crop)
    assert isinstance(found, Sheet)
    return Ask(Wish(crop, 60, "fresh", by), found, FROST, today=today)


def test_bulbs_are_planted_in_the_fall_before_and_cut_in_spring() -> None:
    """October is the month of planting in the North (Univ. of Delaware, S. Barton 2017: forcing bulbs)."""
    made = plan_back(bulbs(date(2026, 8, 1), date(2027, 5, 12)))
    assert isinstance(made, Plan), made
    assert made.sow_on is None and made.seeds is None
    assert made.set_out_on is not None and date(2026, 9, 28) <= made.set_out_on <= date(2026, 11, 9)
    assert (
        date(2027, 4, 20) <= made.first_cut[0] <= date(2027, 5, 14)
    )  # 3 weeks before the last frost to that day
    assert made.plants is not None and made.plants >= 60  # one stem a bulb
    bed = next(use for use in uses_of_plan(made, None) if use.what == "bed")
    assert (bed.start, bed.end.year) == (made.set_out_on, 2027)


def test_bulbs_that_should_be_in_the_ground_say_for_when_they_would_do() -> None:
    late = plan_back(bulbs(date(2027, 1, 10), date(2027, 5, 12)))
    assert isinstance(late, Problem)
    assert "Nov 2026" in late.sentence and "12 May 2028" in late.sentence and "seed" not in late.sentence


def test_lilies_go_out_in_spring() -> None:
    made = plan_back(bulbs(date(2027, 1, 10), date(2027, 8, 5), "lily"))
    assert isinstance(made, Plan) and made.set_out_on is not None and made.set_out_on.year == 2027
