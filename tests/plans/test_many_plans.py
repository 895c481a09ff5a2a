"""Thousands of plans that a merge brings at once: each takes its own work, and what fills a plan is gathered once."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from core.book.entry import Entry
from core.fold import fold
from core.plans import kinds
from tests.farms import STRAW, Pencil, frozen

FIRST = date(2026, 3, 20)


def season(pencil: Pencil, count: int, *, days_apart: int) -> list[Entry]:
    """A tray, and plans it may fill, so many days apart."""
    pencil.write("sown", tray="S01", crop="strawflower", variety="apricot", cells=72, seeds=72)
    made = []
    for n in range(count):
        on = FIRST + timedelta(days=n * days_apart)
        days = {"sow_on": on.isoformat(), "set_out_on": (on + timedelta(days=50)).isoformat()}
        due = (on + timedelta(days=180)).isoformat()
        fields = {**STRAW, **days, "due_on": due, "plan": f"N{n + 1:02d}"}
        fields.pop("cut_from")
        made.append(pencil.made("planned", on=on.isoformat(), **fields))
    return [*pencil.entries, *made]


def test_a_tray_fills_one_of_many_plans_and_the_plans_are_gone_through_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    scans = []
    without_old = kinds._without_old

    def counted(plans: dict[str, object], made_on: str) -> dict[str, object]:
        left: dict[str, object] = without_old(plans, made_on)  # type: ignore[type-var]
        scans.append(left is not plans)
        return left

    monkeypatch.setattr(kinds, "_without_old", counted)
    farm = fold(season(Pencil(), 400, days_apart=0))
    assert len(farm.plans) == 400 and len(scans) == 400 and not any(scans)
    assert [plan.code for plan in farm.plans.values() if plan.sown] == ["N01"]


@pytest.mark.parametrize("days_apart", [0, 1, 40])
def test_what_fills_a_plan_is_what_the_plans_say_and_those_of_long_ago_go(days_apart: int) -> None:
    entries = season(Pencil(), 60, days_apart=days_apart)
    farm = fold(entries)
    held = {code for plan in farm.plans.values() for code, _, _ in (*plan.sown, *plan.out)}
    assert farm.in_plans in (None, held)
    oldest = (date.fromisoformat(entries[-1].on) - timedelta(days=kinds.KEPT_DAYS)).isoformat()
    due = {entry.fields["plan"] for entry in entries[1:] if entry.fields["due_on"] >= oldest}
    assert set(farm.plans) == due
    assert frozen(fold(entries[::-1])) == frozen(farm)


def test_thousands_of_planned_pieces_of_one_day_are_gone_through_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    pencil, copied = Pencil(), []
    without_old = kinds._without_old
    monkeypatch.setattr(
        kinds,
        "_without_old",
        lambda plans, on: copied.append(without_old(plans, on) is not plans) or without_old(plans, on),
    )
    fields = {"recipe": "wreath", "sort": "wreath", "count": 3, "due_on": "2026-12-01"}
    made = [pencil.made("planned pieces", on="2026-03-20", plan=f"N{n:02d}", **fields) for n in range(1, 300)]
    farm = fold(made)
    assert len(farm.piece_plans) == 299 and len(copied) == 299 and not any(copied)
