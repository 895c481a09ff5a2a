"""A plan as printed: its chain back to the seed; a weekly one as a table of its sowings and one of its weeks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from typing import Any

from core.pieces.making import part_text
from core.plans.plan import Plan, times_in_100
from core.plans.planned_pieces import PiecePlan
from core.plans.succession import usual_gap
from core.plans.weekly import Week
from core.text import wrapped
from core.units import long_day, plural, short_day
from core.units_told import meters
from tui.table import Column, printed_table


def _plan(name: str) -> Callable[[tuple[int, Plan]], Any]:
    return lambda numbered: getattr(numbered[1], name)


SOWINGS = (
    Column("", "sowing", show=lambda numbered: numbered[0]),
    Column("", "sow", show=_plan("sow_on")),
    Column("", "set out", show=_plan("set_out_on")),
    Column("", "cut from", show=_plan("cut_from")),
    Column("", "cut to", show=_plan("cut_to")),
    Column("", "seeds", show=_plan("seeds")),
    Column("", "plants", show=_plan("plants_out")),
    Column("", "feet", show=_plan("feet"), metric=lambda plan: meters(plan.feet)),
)
WEEKS = (
    Column("start", "week of"),
    Column("end", "to"),
    Column("wanted", "wanted"),
    Column("expected", "expected"),
    Column("chance", "kept %", show=lambda chance: round(100 * chance)),
    Column("plan", "sowing", show=lambda plan: None if plan is None else plan + 1),
)


def plan_lines(plan: Plan) -> list[str]:
    """The chain of one plan."""
    wish = plan.wish
    name = f"{wish.crop}, {wish.way}" if wish.way else wish.crop
    lines = [f"{name}: {plural(wish.stems, 'stem')}, {wish.use}, by {long_day(wish.by)}"]
    return lines + [f"  {step.name:18} {step.says}" for step in plan.steps]


def piece_lines(pieces: PiecePlan, plans: Sequence[Plan]) -> list[str]:
    """What pieces take, what of it is there, and the chain of each part that is to be grown."""
    asked = pieces.wanted
    lines = [f"{asked.count} {asked.recipe.code} by {long_day(asked.by)}"]
    lines += [f"  {'takes':18} {part_text(need.what, need.form, need.count)}" for need in pieces.needs]
    if pieces.there:
        lines.append(
            f"  {'there already':18} {plural(pieces.there, 'stem')}, less what store will cost till then"
        )
    lines.append(f"  {'stems ready':18} {long_day(pieces.stems_by)}")
    lines.append(f"  {'chance':18} all parts there {times_in_100(pieces.chance)}")
    return lines + [line for plan in plans for line in ("", *plan_lines(plan))]


def weekly_lines(plans: Sequence[Plan], weeks: Sequence[Week]) -> list[str]:
    """Its sowings in a table, and its weeks in another."""
    lines = [*printed_table(SOWINGS, list(enumerate(plans, start=1))), "", *printed_table(WEEKS, weeks)]
    return lines + wrapped([*_notes(weeks), *filter(None, (usual_gap(plan.ask.sheet) for plan in plans[:1]))])


def _notes(weeks: Sequence[Week]) -> Iterator[str]:
    """What is to be known of the weeks; once for weeks on end of which the same is to be known."""
    for note, run in groupby(weeks, key=lambda week: week.note if week.plan is not None else None):
        of = list(run)
        if note == "":
            continue
        first, last = short_day(of[0].start), short_day(of[-1].start)
        span = f"week of {first}" if len(of) == 1 else f"weeks of {first} to {last}"
        yield f"{span}: {note if note is not None else of[0].note}"
