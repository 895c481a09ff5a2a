"""Where a plan finds too little room, and for each lack the first change that would solve it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil

from core.crops.sheet import Figure
from core.crops.spacing import feet_for_plants
from core.dialect import told_feet
from core.plans.backward_plan import plan_back
from core.plans.capacity import (
    ROUNDING,
    WHATS,
    Room,
    Use,
    Week,
    What,
    amount,
    called,
    how_much,
    more_room,
    span_of_weeks,
    weeks,
)
from core.plans.cells import closer_sizes
from core.plans.plan import Plan
from core.plans.wish import Ask
from core.problems import Problem
from core.units import monday_of, short_day

SHIFTS_EARLIER = (7, 14, 21, 28)
SHIFTS_LATER = (7, 14, 21, 28, 35, 42)
FEWER_BY_HALF = 0.5
"""Fewer stems than this share of those wished for are no answer to the wish."""


@dataclass(frozen=True, slots=True)
class Clash:
    """Weeks in which more is needed than is free, `short` by so much; `change` is the first that would solve it."""

    what: What
    first_week: date
    last_week: date
    short: float
    sentence: str
    change: str


def clashes(plan: Plan, room: Room, taken: Sequence[Use], bed: str | None = None) -> list[Clash]:
    """Where the plan needs more than is free, and for each the first change that would solve it.

    The changes tried, in this order: sowing earlier, another bed or two of them, smaller cells, fewer stems, a
    later week; each is reckoned anew. Where none solves it there must be more room. Without a bed named the
    plan must fit in some one bed. Room that was never said cannot clash.
    """
    found = _found(plan, room, taken, bed)
    return [replace(clash, change=_first_change(plan, clash, found, room, taken, bed)) for clash in found]


def beds_with_room(plan: Plan, room: Room, taken: Sequence[Use]) -> list[str]:
    """The beds in which the whole plan can stand, from its planting to its last cut; those that fit best
    first.

    A bed of another width takes other feet.
    """
    left = [(feet, code) for code, _, feet in _left_in_beds(plan, room, taken) if feet >= -ROUNDING]
    return [code for _, code in sorted(left)]


def _left_in_beds(plan: Plan, room: Room, taken: Sequence[Use]) -> Iterator[tuple[str, float, float]]:
    """(bed, feet the plan takes in it, feet left in its fullest week) for each bed, reckoned as if the plan stood
    there."""
    for code, (feet, width) in room.beds.items():
        here = _at_width(plan, width)
        if here is None:
            continue
        left = [
            feet - week.taken - week.needed for week in weeks(here, room, taken, code) if week.what == "bed"
        ]
        if left:
            yield code, here.feet, min(left)


def two_beds(plan: Plan, room: Room, taken: Sequence[Use]) -> tuple[str, str] | None:
    """The two beds with most room, where they hold the plan together."""
    shares = sorted(
        ((needs + left) / needs, code) for code, needs, left in _left_in_beds(plan, room, taken) if needs
    )
    if len(shares) < 2 or sum(min(share, 1) for share, _ in shares[-2:]) < 1 or shares[-2][0] <= 0:
        return None
    return shares[-1][1], shares[-2][1]


def _found(plan: Plan, room: Room, taken: Sequence[Use], bed: str | None) -> list[Clash]:
    found: list[Clash] = []
    if not plan.plants_out:
        return found  # what stands already has its room
    by_week = weeks(plan, room, taken, bed)
    for what in WHATS:
        over = [
            (week, lacking)
            for week in by_week
            if week.what == what and (lacking := _lacking(week)) is not None and lacking > ROUNDING
        ]
        if over:
            worst, short = max(over, key=lambda pair: pair[1])
            place = f"bed {bed}" if what == "bed" and bed else "the farm"
            span = span_of_weeks(over[0][0].monday, over[-1][0].monday)
            free = max((worst.room or 0) - worst.taken, 0)
            needs = f"{called(plan)} needs {amount(what, worst.needed)} {span}"
            sentence = f"{needs}; {place} has {how_much(what, free)} free."
            found.append(Clash(what, over[0][0].monday, over[-1][0].monday, round(short, 2), sentence, ""))
    is_clear = not any(clash.what == "bed" for clash in found)
    if bed is None and room.beds and is_clear and not beds_with_room(plan, room, taken):
        first, last = monday_of(plan.in_bed_from), monday_of(plan.occupied_to)
        needs = f"{called(plan)} needs {told_feet(plan.feet)} of bed {span_of_weeks(first, last)}"
        short = min((-left for _, _, left in _left_in_beds(plan, room, taken)), default=plan.feet)
        sentence = f"{needs}; no one bed has so much free."
        found.append(Clash("bed", first, last, round(short, 2), sentence, ""))
    return found


def _is_full(plan: Plan, room: Room, taken: Sequence[Use]) -> bool:
    """Whether all beds together have too little for the plan in some week."""
    return any((_lacking(week) or 0) > ROUNDING for week in weeks(plan, room, taken) if week.what == "bed")


def _lacking(week: Week) -> float | None:
    return None if week.room is None else week.taken + week.needed - week.room


def _first_change(
    plan: Plan, clash: Clash, found: Sequence[Clash], room: Room, taken: Sequence[Use], bed: str | None
) -> str:
    old = {c.what for c in found}

    def solves(other: Plan | Problem) -> bool:
        if isinstance(other, Problem):
            return False
        left = {c.what for c in _found(other, room, taken, bed)}
        return clash.what not in left and left <= old

    for earlier in SHIFTS_EARLIER:
        other = _shifted(plan, -earlier)
        if isinstance(other, Plan) and solves(other):
            verb = "sow" if other.sow_on else "plant"
            return f"{verb} {earlier} days earlier, {short_day(other.sow_on or other.in_bed_from)}"
    if clash.what == "bed" and bed is not None:
        for code in beds_with_room(plan, room, taken):
            if code != bed:
                return f"bed {code} has room"
    # where the farm has too little, a bed that is free is counted on by plans of no bed
    may_part = clash.what == "bed" and (bed is not None or not _is_full(plan, room, taken))
    if may_part and (two := two_beds(plan, room, taken)):
        return f"beds {two[0]} and {two[1]} have room together"
    if clash.what in ("lights", "hardening") and plan.cell_size is not None:
        for size in closer_sizes(plan.wish.crop, plan.cell_size):
            if solves(_in_cells(plan, size)):
                return f"trays of {size} cells instead of {plan.cell_size}"
    least = ceil(FEWER_BY_HALF * plan.wish.stems)
    if least < plan.wish.stems and solves(_of_stems(plan, least)):
        fewer = most_that(plan.wish.stems, lambda stems: stems <= least or solves(_of_stems(plan, stems)))
        return f"{fewer} stems instead of {plan.wish.stems}"
    for later in SHIFTS_LATER:
        other = _shifted(plan, later)
        if isinstance(other, Plan) and solves(other):
            verb = "set out" if other.set_out_on else "drill"
            return f"{verb} {later} days later, {short_day(other.in_bed_from)}"
    return more_room(clash.what, clash.short, bed)


def _shifted(plan: Plan, days: int) -> Plan | Problem:
    return _again(plan, replace(plan.ask, set_out_on=plan.in_bed_from + timedelta(days=days)))


def _in_cells(plan: Plan, size: int) -> Plan:
    assert plan.cells is not None
    given = replace(plan.ask.given, cells_per_tray=Figure(size, "what would solve a clash"))
    return replace(plan, ask=replace(plan.ask, given=given), cell_size=size, trays=ceil(plan.cells / size))


def _of_stems(plan: Plan, stems: int) -> Plan | Problem:
    wish = replace(plan.wish, stems=stems)
    return _again(plan, replace(plan.ask, wish=wish, set_out_on=plan.in_bed_from))


def _again(plan: Plan, ask: Ask) -> Plan | Problem:
    """Reckoned anew; one sowing of a weekly wish still stands for all of its weeks."""
    other = plan_back(ask, briefly=True)
    if isinstance(other, Problem) or ask.only_days is None:
        return other
    by_week = plan.by_week
    if other.to_cut != plan.to_cut:
        share = other.to_cut / plan.to_cut
        by_week = tuple(replace(week, stems=round(week.stems * share)) for week in by_week)
    return replace(other, cut_to=plan.cut_to, occupied_to=plan.occupied_to, by_week=by_week)


def most_that(count: int, does: Callable[[int], bool]) -> int:
    """The most, below `count`, of which `does` holds, where it holds of all that are fewer; 0 for none."""
    least, most = 0, count
    while most - least > 1:
        middle = (least + most) // 2
        least, most = (middle, most) if does(middle) else (least, middle)
    return least


def _at_width(plan: Plan, width_in: float) -> Plan | None:
    given = plan.ask.given
    if given.bed_width_in.value == width_in:
        return plan
    spacing = given.spacing_in or plan.ask.sheet.spacing_in
    if spacing is None:
        return None
    return replace(plan, feet=feet_for_plants(plan.plants_out, width_in, spacing.value))
