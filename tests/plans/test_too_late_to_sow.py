"""A plan that was never sown is asked for until its last sowing day has gone by, and then told once, in one line."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from core.plans.rows import plan_rows
from core.seeds.rows import order_rows
from core.session import Session
from core.settings.sheets import farm_sheet
from tests.farms import farm_in, page_lines

LINES = {
    "2026-02-01": (
        "farm zone UTC",
        "last frost 10 may",
        "first frost 5 oct",
        "bed b1 100ft",
        "bought 50 statice seeds",
        "plan 240 statice dry by 11-29 b1",
    ),
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return farm_in(tmp_path_factory.mktemp("late") / "farm", LINES).folder


def told(folder: Path, day: str) -> tuple[list[str], int]:
    """The lines of Today about the plan, and the seeds that are to be ordered for it."""
    session = Session.open(folder, by="ml", on=date.fromisoformat(day))
    lines = [line.text for line in page_lines(session) if "N01" in line.text]
    return lines, sum(row.order for row in order_rows(session.farm, session.today))


def test_late_but_in_time_it_is_still_asked_for(folder: Path) -> None:
    lines, seeds = told(folder, "2026-04-10")
    assert len(lines) == 1 and "sow" in lines[0] and "late" in lines[0] and "too late" not in lines[0], lines
    assert seeds > 0


@pytest.mark.parametrize("day", ["2026-08-05", "2026-11-01", "2026-11-22"])
def test_too_late_it_is_one_line_and_orders_no_seed(folder: Path, day: str) -> None:
    lines, seeds = told(folder, day)
    assert (
        len(lines) == 1 and "too late to sow: drop it or buy in" in lines[0] and "days late" not in lines[0]
    )
    assert seeds == 0


def test_it_is_hopeless_on_the_day_on_which_its_first_cut_would_come_too_late(folder: Path) -> None:
    """By its own days: from one day on, and for good."""
    farm = Session.open(folder, by="ml", on=date(2026, 11, 1)).farm
    days = [date.fromordinal(n) for n in range(date(2026, 3, 1).toordinal(), date(2026, 11, 29).toordinal())]
    hopeless = [plan_rows(farm, day)[0].is_hopeless for day in days]
    assert hopeless == sorted(hopeless) and hopeless[-1] and not hopeless[0]
    (plan,) = farm.plans.values()
    assert plan.sow_on is not None and plan.cut_from is not None
    room = date(2026, 10, 5) - date.fromisoformat(plan.cut_from)
    last = date.fromisoformat(plan.sow_on) + room
    first = days[hopeless.index(True)]
    assert first > last, "as long as it comes in time by its usual days it is asked for"
    sheet = farm_sheet(farm, "statice", None, None)
    assert sheet is not None and sheet.weeks_in_tray is not None
    assert first + timedelta(weeks=sheet.weeks_in_tray.value[0]) + room > date(2026, 10, 5)


def test_what_was_killed_for_it_is_not_asked_to_be_cut(tmp_path: Path) -> None:
    farm_in(
        tmp_path / "farm",
        {
            **LINES,
            "2026-05-15": ("plant statice b1 20ft 150 plants",),
            "2026-10-01": ("low 20",),
        },
    )
    session = Session.open(tmp_path / "farm", by="ml", on=date(2026, 10, 20))
    (row,) = plan_rows(session.farm, session.today)
    assert row.set_out is not None and row.set_out.done_on, "the planting counts for the plan"
    assert (row.next, row.behind) == ("", 0) and "low 20 F" in row.says
    assert not [line for line in page_lines(session) if "N01" in line.text]
