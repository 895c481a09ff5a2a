"""The room that is spoken for: by what stands, grows and hangs, and by kept plans."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import ceil

from core.farm import Farm
from core.plan_rows import Kept
from core.plans.backward_plan import stems_by_week
from core.plans.capacity import Use, hardening_from, in_trays, uses_of_farm
from core.plans.cells import trays_for
from core.plans.plan import stems_a_bunch
from core.plans.save_plan import ask_on
from core.plans.wish import Wish, stems_to_take
from core.problems import Problem
from core.settings.sheets import farm_sheet
from core.shed.line_room import FEET_A_BUNCH

USUAL_WEEKS = 6
"""Weeks in the bed from the first cut on, of a kept plan whose end is not known (common practice)."""


def uses_taken(farm: Farm, day: date) -> list[Use]:
    """All room that is spoken for from `day` on."""
    uses = uses_of_farm(farm, day)
    for plan in farm.plans.values():
        uses += uses_of_kept(farm, plan, day)
    return uses


def uses_of_kept(farm: Farm, plan: Kept, day: date) -> list[Use]:
    """The room that a kept plan still takes; none once it is dropped or its promised day has gone by."""
    if not plan.is_live or plan.by < day.isoformat():
        return []
    return [*_growing(farm, plan, day), *_hanging(farm, plan, day)]


def is_begun(plan: Kept) -> bool:
    """Whether something of it is in trays or beds already."""
    return bool(plan.sown or plan.out)


def _growing(farm: Farm, plan: Kept, day: date) -> list[Use]:
    """Its trays and its bed. Once it is sown its trays are counted as trays, and its bed with them.

    What should have been begun by now and is not, is begun today, and all that follows moves with it.
    """
    start = plan.set_out_on or plan.sow_on
    if is_begun(plan) or start is None:
        return []
    late = max(day - date.fromisoformat(plan.sow_on or start), timedelta())
    into_bed = date.fromisoformat(start) + late
    first = date.fromisoformat(plan.cut_from or start) + late
    sheet = farm_sheet(farm, plan.crop, plan.way, plan.variety)
    weeks = sheet.cut_weeks.value[0] if sheet is not None and sheet.cut_weeks is not None else USUAL_WEEKS
    end = min(first + timedelta(days=round(weeks * 7)), max(date.fromisoformat(plan.by), first))
    who = _called(plan)
    uses = [Use("bed", into_bed, end, plan.feet or 0, who, plan.bed)]
    if plan.cells and plan.sow_on and plan.set_out_on:
        trays = trays_for(plan.crop, plan.cells, plan.cell_size)
        sow = date.fromisoformat(plan.sow_on) + late
        uses += in_trays(trays, sow, hardening_from(sheet, into_bed), into_bed, who)
    return [use for use in uses if use.end >= use.start and use.amount > 0]


def _hanging(farm: Farm, plan: Kept, day: date) -> list[Use]:
    """The line that stems still to be cut will take, week by week as they are expected, from this week on."""
    sheet = farm_sheet(farm, plan.crop, plan.way, plan.variety)
    wanted = stems_to_take(plan.stems, plan.use)
    if plan.use != "dry" or sheet is None or sheet.drying_days is None or plan.stems_cut >= wanted:
        return []
    drying = timedelta(days=round(sheet.drying_days.value[1]))
    left = 1 - plan.stems_cut / wanted
    uses = []
    for monday, stems in _to_hang(farm, plan, day):
        bunches = ceil(stems * left / stems_a_bunch(sheet, plan.use) - 1e-9)
        sunday = monday + timedelta(days=6)
        if sunday >= day and bunches:
            uses.append(Use("line", max(monday, day), sunday + drying, bunches * FEET_A_BUNCH, _called(plan)))
    return uses


def _to_hang(farm: Farm, plan: Kept, day: date) -> list[tuple[date, float]]:
    """(Monday, stems to hang) of the weeks of cutting: what its plants give, less those culled."""
    begins = plan.out[0].on if plan.out else plan.set_out_on or plan.sow_on
    ask = ask_on(farm, Wish(plan.crop, plan.stems, plan.use, date.fromisoformat(plan.by), way=plan.way), day)
    if begins is None or not plan.plants or isinstance(ask, Problem):
        return []
    ask = replace(ask, direct=plan.set_out_on is None)
    standing = plan.plants * (1 - ask.given.bed_loss.value)
    weeks = stems_by_week(ask, date.fromisoformat(begins), standing)
    if isinstance(weeks, Problem):
        return []
    return [(week.monday, week.stems * (1 - ask.given.cull.value)) for week in weeks]


def _called(plan: Kept) -> str:
    return f"{plan.crop} ({plan.code})"
