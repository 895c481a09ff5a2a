"""Biennials: sown the summer before, they stand through the winter and flower in their second year."""

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
