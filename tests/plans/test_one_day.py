"""A tray that was sown for a plan and the plan tell one day on which its plants go out."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from core.crops.hardening import ladder
from core.crops.library import sheet as library_sheet
from core.crops.sheet import Sheet
from core.plans.rows import plan_rows
from core.trays.rows import hardiness_of, tray_rows
from tests.farms import Pencil, beds
from tests.plans.test_standing import seen


def sown_for_a_plan(crop: str, stems: int, by: str, late: int = 0) -> Pencil:
    """A farm with a plan for a crop, its tray sown so many days after the plan's day."""
    pencil = beds("b1", "b2", start="2026-01-05", last_frost="05-18", first_frost="09-28")
    plan = seen(pencil, f"plan {stems} {crop} fresh by {by}")
    (draft,) = plan.drafts  # type: ignore[union-attr]
    pencil.write(draft.kind, **draft.fields)
    pencil.today = date.fromisoformat(draft.fields["sow_on"]) + timedelta(days=late)
    pencil.write("sown", tray="S01", crop=crop, cells=draft.fields["cells"], seeds=draft.fields["seeds"])
    return pencil


def days_told(pencil: Pencil) -> tuple[str | None, str | None, str | None]:
    """(the day the tray goes out by its own row, by the plan's, the plan's day as it was made)."""
    (tray,), (plan,) = tray_rows(pencil.farm, pencil.today), plan_rows(pencil.farm, pencil.today)
    assert plan.set_out is not None
    return tray.set_out_on, plan.set_out.due_on, plan.set_out.planned_on


@pytest.mark.parametrize(
    ("crop", "stems", "by"),
    [
        ("lisianthus", 40, "2026-09-05"),
        ("snapdragon", 40, "2026-08-15"),
        ("zinnia", 60, "2026-09-10"),
        ("cosmos", 60, "2026-09-10"),
    ],
)
def test_a_tray_goes_by_the_day_of_its_plan_and_hardens_in_time_for_it(
    crop: str, stems: int, by: str
) -> None:
    pencil = sown_for_a_plan(crop, stems, by)
    tray, plan, planned = days_told(pencil)
    assert tray == plan == planned
    (row,) = tray_rows(pencil.farm, pencil.today)
    kind = hardiness_of(pencil.farm, pencil.farm.trays.get("S01"))  # type: ignore[arg-type]
    assert row.harden_on is not None and tray is not None
    steps = len(ladder(kind))
    assert date.fromisoformat(row.harden_on) == date.fromisoformat(tray) - timedelta(days=steps)
    # while it hardens, a day missed puts both off
    pencil.later(10).write("up", tray="S01", count=60)
    pencil.today = date.fromisoformat(row.harden_on)
    for n in range(3):
        pencil.write("step", tray="S01", step=n + 1)
        assert days_told(pencil)[0] == days_told(pencil)[1] == planned
        pencil.later(1)
    pencil.later(3)
    tray, plan, _ = days_told(pencil)
    assert tray == plan and tray > planned  # type: ignore[operator]


@pytest.mark.parametrize("late", [7, 21])
@pytest.mark.parametrize("crop", ["cosmos", "zinnia"])
def test_sown_late_both_wait_for_the_weeks_in_the_tray(crop: str, late: int) -> None:
    pencil = sown_for_a_plan(crop, 40, "2026-09-05", late)
    found = library_sheet(crop)
    assert isinstance(found, Sheet) and found.weeks_in_tray is not None
    tray, plan, planned = days_told(pencil)
    assert tray == plan and planned is not None and tray is not None and tray >= planned
    assert date.fromisoformat(tray) >= pencil.today + timedelta(weeks=found.weeks_in_tray.value[0])


def test_a_tray_of_no_plan_goes_by_its_own_window() -> None:
    pencil = beds("b1", start="2026-02-09", last_frost="05-18", first_frost="09-28")
    pencil.write("sown", tray="S01", crop="snapdragon", cells=72, seeds=72)
    (row,) = tray_rows(pencil.farm, pencil.today)
    assert row.set_out_on == row.window_from
