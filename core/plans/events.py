"""The days of the plans, for the calendar: what is still to be sown, set out and cut, and pieces to be made."""

from __future__ import annotations

from collections.abc import Iterator

from core.asks import Sight
from core.dated import Dated
from core.farm import Farm
from core.plans.rows import PlanRow, plan_rows
from core.text import named
from core.units import day_text, plural


def _plans(sight: Sight) -> Iterator[Dated]:
    for row in plan_rows(sight.farm, sight.day):
        yield from _pieces(sight.farm, row) if row.use == "pieces" else _steps(sight.farm, row)


def _pieces(farm: Farm, row: PlanRow) -> Iterator[Dated]:
    if not row.outcome:
        made_by = farm.piece_plans[row.plan].made_by
        yield Dated((made_by, "make"), row.by, row.by, f"{row.plan}: {row.stems} {row.crop} made", row.says)


def _steps(farm: Farm, row: PlanRow) -> Iterator[Dated]:
    """What is still to be done for it; once a tray or a planting is there, that tells its own days."""
    made_by, name = farm.plans[row.plan].made_by, named(row.crop, row.variety, row.way)
    why = f"{plural(row.stems, 'stem')}, {row.use}, by {day_text(row.by)}"
    is_sown = row.sow is not None and row.sow.done_on is not None
    is_out = is_sown if row.set_out is None else row.set_out.done_on is not None
    doing = "drill" if row.set_out is None else "sow"
    if row.sow is not None and row.sow.due_on and not is_sown and not is_out:
        seeds = f": {plural(row.seeds, 'seed')}" if row.seeds else ""
        yield Dated(
            (made_by, "sow"),
            row.sow.due_on,
            row.sow.due_on,
            f"{doing} {name}{seeds} ({row.plan})",
            why,
        )
    if row.set_out is not None and row.set_out.due_on and not is_sown and not is_out:
        day = row.set_out.due_on
        bed = f" into {row.bed}" if row.bed else ""
        yield Dated((made_by, "set out"), day, day, f"set out {name}{bed} ({row.plan})", why)
    if row.cut.due_on and not is_out and not row.outcome:
        last = max(row.by, row.cut.due_on)
        yield Dated((made_by, "cut"), row.cut.due_on, last, f"cut {name} ({row.plan})", why)


EVENTS = {"plans": _plans}
