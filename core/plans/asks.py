"""What the kept plans ask of the morning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from core.asks import PageLine, Part, Sight, item
from core.plans.rows import PlanRow, plan_rows
from core.text import named
from core.units import day_text, plural


class PlanTask(NamedTuple):
    """One part of a plan that is due or behind; `line` is what to write when it is done, as in `PlanRow`."""

    plan: str
    crop: str
    variety: str | None
    what: str
    because: str
    line: str


def _tasks(sight: Sight) -> tuple[PlanTask, ...]:
    rows = plan_rows(sight.farm, sight.day)
    return tuple(task for row in rows if (task := _plan_task(row, sight.day)) is not None)


def _plan_task(row: PlanRow, day: date) -> PlanTask | None:
    """The next part of a plan where it is due; a tray of its own says itself when it goes out."""
    is_due = row.next_on is not None and row.next_on <= day.isoformat()
    is_told_elsewhere = row.next in ("set out", "cut") and row.sow is not None and not row.behind
    if not row.next or not is_due or is_told_elsewhere:
        return None
    doing = {
        "sow": f"sow {plural(row.seeds or 0, 'seed')}",
        "drill": f"drill {plural(row.seeds or 0, 'seed')}",
        "set out": f"set out {plural(row.plants or 0, 'plant')}",
    }.get(row.next, row.next)
    when = f"behind by {plural(row.behind, 'day')}" if row.behind else "today"
    promised = day_text(row.by)
    because = f"planned for {plural(row.stems, 'stem')}, {row.use}, by {promised}"
    return PlanTask(row.plan, row.crop, row.variety, f"{doing}: {when}", because, row.line)


def _lines(tasks: Sequence[PlanTask]) -> Iterator[PageLine]:
    for task in tasks:
        yield item(task.plan, named(task.crop, task.variety), task.what, ("plan", task.plan), task)


PARTS = (Part("plans", "Plan", 10, _tasks, _lines),)
