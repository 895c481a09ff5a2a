"""What the kept plans ask of the morning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from core.asks import Asked, Part, Sight, late_text
from core.plans.rows import PlanRow, plan_rows
from core.settings.sheets import farm_sheet
from core.text import named
from core.units import day_text, plural, short_day
from core.weather.night import kept_from_ground

SOON_DAYS = 10
"""How long before its day a promise that is not met yet is told (ours)."""
AFTER_DAYS = 3
"""How long after its day one that fell short is told (ours)."""
AFTER_ORDERS = 1.5
"""Work for a plan stands after the orders of today and tomorrow, however late it is: a buyer waits for those."""


class PlanTask(NamedTuple):
    """One part of a plan that is due or behind; `line` is what to write when it is done, as in `PlanRow`."""

    plan: str
    crop: str
    variety: str | None
    what: str
    because: str
    line: str
    do: str = ""
    """The same in few words, as the page tells it; `behind` days late."""
    behind: int = 0
    asks_count: bool = False
    """As of `PlanRow`."""
    has_day: bool = True
    """Whether it is due on a day: that an order has changed is not."""


def _tasks(sight: Sight) -> tuple[PlanTask, ...]:
    rows = plan_rows(sight.farm, sight.day)
    found = (_order_task(row) or _plan_task(sight, row) or _promise_task(sight, row) for row in rows)
    return tuple(task for task in found if task is not None)


def _order_task(row: PlanRow) -> PlanTask | None:
    """That the order it is for asks for something else now."""
    if not row.order_changed or row.outcome:
        return None
    return PlanTask(
        row.plan,
        row.crop,
        row.variety,
        row.order_changed,
        row.serves_says,
        "",
        row.order_changed_short,
        has_day=False,
    )


def _promise_task(sight: Sight, row: PlanRow) -> PlanTask | None:
    """A promise that is near and not met, or was not: how much of it is there."""
    due = date.fromisoformat(row.by)
    left = (due - sight.day).days
    is_met = row.outcome == "met" or (row.use != "pieces" and row.stems_cut >= row.stems)
    if is_met or not (0 <= left <= SOON_DAYS or (row.outcome and -AFTER_DAYS <= left < 0)):
        return None
    if row.use != "pieces" and not row.stems_cut:
        return None  # what is next of it is told, or that it is late
    there = row.cut.says if row.use == "pieces" else f"{row.stems_cut} of {row.stems} cut"
    because = f"promised for {day_text(row.by)}"
    return PlanTask(
        row.plan, row.crop, row.variety, f"{there}, by {short_day(due)}", because, "", there, -left
    )


def _plan_task(sight: Sight, row: PlanRow) -> PlanTask | None:
    """The next part of a plan where it is due; a tray of its own says itself when it goes out."""
    if row.is_hopeless:
        doing = f"too late to {row.next}: drop it or buy in"
        told = f"too late to {row.next} for {row.plan}: drop it or buy in"
        drop = f"drop {row.plan}"
        return PlanTask(row.plan, row.crop, row.variety, told, row.too_late, drop, doing, has_day=False)
    is_due = row.next_on is not None and row.next_on <= sight.day.isoformat()
    is_told_elsewhere = row.next in ("set out", "cut") and row.sow is not None and not row.behind
    if not row.next or not is_due or is_told_elsewhere:
        return None
    doing = {
        "sow": f"sow {plural(row.seeds or 0, 'seed')}",
        "drill": f"drill {plural(row.seeds or 0, 'seed')}",
        "set out": f"set out {plural(row.plants or 0, 'plant')}",
    }.get(row.next, row.next)
    if row.next == "set out":
        sheet = farm_sheet(sight.farm, row.crop, row.way, row.variety)
        kind = sheet.hardiness_class if sheet else "tender"
        if (kept := kept_from_ground(sight.farm, sheet, kind, sight.day)) is not None:
            doing = f"wait with setting out: {kept.says}"
    when = f"behind by {plural(row.behind, 'day')}" if row.behind else "today"
    whose = f", {row.serves_says}" if row.serves_says else ""
    because = f"planned for {plural(row.stems, 'stem')}, {row.use}, by {day_text(row.by)}{whose}"
    return PlanTask(
        row.plan,
        row.crop,
        row.variety,
        f"{doing}: {when}",
        because,
        row.line,
        doing,
        row.behind,
        row.asks_count,
    )


def _asked(tasks: Sequence[PlanTask]) -> Iterator[Asked]:
    for task in tasks:
        yield Asked(
            ("plan", task.plan),
            task,
            task.plan,
            task.do,
            named(task.crop, task.variety),
            when=late_text(-task.behind) if task.has_day else "",
            days=max(-task.behind, AFTER_ORDERS),
            zone="promised",
        )


PARTS = (Part("plans", "Plan", 10, _tasks, _asked),)
