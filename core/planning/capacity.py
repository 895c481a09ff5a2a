"""The room a plan takes, week by week, beside what the farm has in hand; clashes, each with what would solve
it.

Bed feet from planting to the last cut; trays under lights from sowing to hardening, then on the hardening
spaces until they go out; feet of line in the shed while bunches dry, 6 in apart [S105]. A 1020 tray is 22 x
11 in, four to a 4 ft shelf (common practice), so a shelf foot holds one tray.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from math import ceil
from typing import Literal

from core.crops.sheet import Sheet
from core.farm import Farm
from core.growing.bed_rows import bed_rows
from core.growing.hardening import ladder
from core.growing.spacing import feet_for_plants
from core.growing.tray_rows import tray_rows
from core.planning.chain import plan_back
from core.planning.plan import USUAL_BUNCH, Plan
from core.planning.wish import Ask
from core.problems import Problem
from core.sheets import farm_sheet
from core.stems.hanging import shelf_rows
from core.units import number, short_day

What = Literal["bed", "lights", "hardening", "line"]
WHATS: tuple[What, ...] = ("bed", "lights", "hardening", "line")
UNITS: dict[What, str] = {
    "bed": "ft of bed",
    "lights": "trays under lights",
    "hardening": "tray spaces for hardening",
    "line": "ft of line",
}
ONE: dict[What, str] = {"lights": "tray under lights", "hardening": "tray space for hardening"}
FEET_A_BUNCH = 0.5
"""Bunches hang 6 in apart [S105]."""
SHELF_FEET_A_TRAY = 1.0
"""Four 1020 trays, 22 x 11 in, on a 4 ft shelf (common practice)."""
STANDS_ON_DAYS = 366
"""A planting with no known end stands for all of the time looked at."""
ROUNDING = 0.05

SHIFTS_EARLIER = (7, 14, 21, 28)
SHIFTS_LATER = (7, 14, 21, 28, 35, 42)


@dataclass(frozen=True, slots=True)
class Use:
    """So much of one kind of room, taken from one day to another, both included, and by whom."""

    what: What
    start: date
    end: date
    amount: float
    who: str
    bed: str | None = None


@dataclass(frozen=True, slots=True)
class Room:
    """What the farm has: beds {code: (feet, width in)}, and trays or feet of the rest; None where not
    said."""

    beds: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    lights: float | None = None
    hardening: float | None = None
    line: float | None = None

    def of(self, what: What, bed: str | None = None) -> float | None:
        """How much there is; of one bed where it is named. None where it was never said."""
        if what == "bed":
            if bed is not None:
                return self.beds[bed][0] if bed in self.beds else 0.0
            return sum(feet for feet, _ in self.beds.values()) if self.beds else None
        limits = {"lights": self.lights, "hardening": self.hardening, "line": self.line}
        return limits[what]


@dataclass(frozen=True, slots=True)
class Week:
    """One week of one kind of room: taken already, needed by the plan, and what there is in all."""

    monday: date
    what: What
    taken: float
    needed: float
    room: float | None


@dataclass(frozen=True, slots=True)
class Clash:
    """Weeks in which more is needed than is free; `change` is the first that would solve it, "" for none."""

    what: What
    first_week: date
    last_week: date
    short: float
    sentence: str
    change: str


def room_of(farm: Farm, capacity: Mapping[str, float] | None = None) -> Room:
    """The farm's beds, and its own `capacity` ("lights", "hardening", "line")."""
    known = capacity or {}
    beds = {bed.code: (bed.feet, bed.width_in) for bed in farm.beds.values()}
    return Room(beds, known.get("lights"), known.get("hardening"), known.get("line"))


# What is taken


def uses_of_plan(plan: Plan, bed: str | None = None) -> list[Use]:
    """The room that a plan takes; `bed` where it is to stand."""
    who = _called(plan)
    uses = [Use("bed", plan.in_bed_from, plan.occupied_to, plan.feet, who, bed)]
    if plan.trays is not None and plan.sow_on is not None and plan.set_out_on is not None:
        harden = plan.harden_on or plan.set_out_on
        uses += in_trays(plan.trays, plan.sow_on, harden, plan.set_out_on, who)
    if plan.wish.use == "dry" and plan.drying_days is not None:
        for week in plan.by_week:
            bunches = ceil(week.stems / plan.per_bunch)
            start = max(week.monday, plan.cut_from)
            end = min(week.monday + timedelta(days=6), plan.cut_to) + timedelta(days=plan.drying_days)
            uses.append(Use("line", start, end, bunches * FEET_A_BUNCH, who))
    return [use for use in uses if use.end >= use.start and use.amount > 0]


def uses_of_farm(farm: Farm, day: date) -> list[Use]:
    """The room that is taken from `day` on by what stands in beds, grows in trays and hangs in the shed."""
    return [*_beds(farm, day), *_trays(farm, day), *_lines(farm, day)]


def in_trays(trays: float, start: date, harden: date, out: date, who: str) -> list[Use]:
    """Trays under lights until hardening begins, then on the hardening spaces until they go out."""
    one = timedelta(days=1)
    lights = Use("lights", start, min(harden, out) - one, trays, who)
    return [lights, Use("hardening", max(harden, start), out - one, trays, who)]


def hardening_from(sheet: Sheet | None, out: date) -> date:
    """The day on which hardening begins that ends the day before setting out."""
    return out - timedelta(days=len(ladder(sheet.hardiness_class if sheet is not None else "tender")))


def _beds(farm: Farm, day: date) -> list[Use]:
    uses = []
    for row in bed_rows(farm, day):
        for planting in row.plantings:
            last = date.fromisoformat(planting.cut_to) if planting.cut_to else day + timedelta(STANDS_ON_DAYS)
            who = f"{planting.crop} ({planting.planting})"
            uses.append(Use("bed", day, max(last, day), planting.feet, who, row.bed))
    return uses


def _trays(farm: Farm, day: date) -> list[Use]:
    uses: list[Use] = []
    width = max((bed.width_in for bed in farm.beds.values()), default=36.0)
    for row in tray_rows(farm, day):
        tray = farm.trays.get(row.tray)
        assert tray is not None
        count = ceil(tray.cells / tray.cell_size) if tray.cell_size else 1
        who = f"{row.crop} ({row.tray})"
        if row.harden_on is None or row.set_out_on is None:
            uses.append(Use("lights", day, day + timedelta(days=STANDS_ON_DAYS), count, who))
            continue
        out = date.fromisoformat(row.set_out_on)
        uses += in_trays(count, day, max(date.fromisoformat(row.harden_on), day), out, who)
        sheet = farm_sheet(farm, row.crop, row.way)
        if (
            sheet is not None
            and sheet.spacing_in is not None
            and sheet.spacing_in.value > 0
            and row.plants > 0
        ):
            feet = feet_for_plants(row.plants, width, sheet.spacing_in.value)
            days = (sheet.days_to_first_cut.value[1] if sheet.days_to_first_cut else 90) + 7 * (
                sheet.cut_weeks.value[1] if sheet.cut_weeks else 4
            )
            uses.append(Use("bed", out, out + timedelta(days=round(days)), feet, f"{who}, to be set out"))
    return [use for use in uses if use.end >= use.start]


def _lines(farm: Farm, day: date) -> list[Use]:
    return [
        Use(
            "line",
            day,
            max(date.fromisoformat(row.due), day),
            ceil(row.stems / (row.per or USUAL_BUNCH)) * FEET_A_BUNCH,
            f"{row.crop} ({row.lot})",
        )
        for row in shelf_rows(farm, day)
    ]


# Week by week


def peak(uses: Iterable[Use], what: What, monday: date, bed: str | None = None) -> float:
    """The most that is taken on any day of the week; of one bed where it is named."""
    sunday = monday + timedelta(days=6)
    here = [
        use
        for use in uses
        if use.what == what and use.start <= sunday and use.end >= monday and (bed is None or use.bed == bed)
    ]
    days = {max(use.start, monday) for use in here}
    return max((sum(use.amount for use in here if use.start <= day <= use.end) for day in days), default=0.0)


def weeks(plan: Plan, room: Room, taken: Sequence[Use], bed: str | None = None) -> list[Week]:
    """Every week of every kind of room that the plan needs."""
    mine = uses_of_plan(plan, bed)
    found = []
    for what in WHATS:
        own = [use for use in mine if use.what == what]
        if not own:
            continue
        where = bed if what == "bed" else None
        monday = _monday(min(use.start for use in own))
        while monday <= max(use.end for use in own):
            needed = peak(own, what, monday)
            if needed:
                together = peak([*taken, *own], what, monday, where)
                found.append(Week(monday, what, together - needed, needed, room.of(what, where)))
            monday += timedelta(days=7)
    return found


def beds_with_room(plan: Plan, room: Room, taken: Sequence[Use]) -> list[str]:
    """The beds in which the whole plan can stand, from its planting to its last cut; those that fit best
    first.

    A bed of another width takes other feet.
    """
    found = []
    for code, (feet, width) in room.beds.items():
        here = _at_width(plan, width)
        if here is None:
            continue
        left = [
            feet - week.taken - week.needed for week in weeks(here, room, taken, code) if week.what == "bed"
        ]
        if left and min(left) >= -ROUNDING:
            found.append((min(left), code))
    return [code for _, code in sorted(found)]


def clashes(plan: Plan, room: Room, taken: Sequence[Use], bed: str | None = None) -> list[Clash]:
    """Where the plan needs more than is free, and for each the first change that would solve it.

    The changes tried, in this order: sowing earlier, another bed, fewer stems, a later week. Without a bed
    named the plan must fit in some one bed. Room that was never said cannot clash.
    """
    return [
        replace(clash, change=_first_change(plan, clash, room, taken, bed))
        for clash in _found(plan, room, taken, bed)
    ]


def _found(plan: Plan, room: Room, taken: Sequence[Use], bed: str | None) -> list[Clash]:
    found = []
    by_week = weeks(plan, room, taken, bed)
    for what in WHATS:
        over = [
            (week, week.taken + week.needed - week.room)
            for week in by_week
            if week.what == what and week.room is not None and week.taken + week.needed > week.room + ROUNDING
        ]
        if over:
            worst, short = max(over, key=lambda pair: pair[1])
            place = f"bed {bed}" if what == "bed" and bed else "the farm"
            span = span_of_weeks(over[0][0].monday, over[-1][0].monday)
            free = max((worst.room or 0) - worst.taken, 0)
            needs = f"{_called(plan)} needs {amount(what, worst.needed)} {span}"
            sentence = f"{needs}; {place} has {number(free)} free."
            found.append(Clash(what, over[0][0].monday, over[-1][0].monday, round(short, 2), sentence, ""))
    is_clear = not any(clash.what == "bed" for clash in found)
    if bed is None and room.beds and is_clear and not beds_with_room(plan, room, taken):
        first, last = _monday(plan.in_bed_from), _monday(plan.occupied_to)
        needs = f"{_called(plan)} needs {number(plan.feet)} ft of bed {span_of_weeks(first, last)}"
        found.append(Clash("bed", first, last, plan.feet, f"{needs}; no one bed has so much free.", ""))
    return found


def _first_change(plan: Plan, clash: Clash, room: Room, taken: Sequence[Use], bed: str | None) -> str:
    old = {c.what for c in _found(plan, room, taken, bed)}

    def solves(other: Plan | Problem, where: str | None = bed) -> bool:
        if isinstance(other, Problem):
            return False
        left = {c.what for c in _found(other, room, taken, where)}
        return clash.what not in left and left <= old

    for earlier in SHIFTS_EARLIER:
        other = _shifted(plan, -earlier)
        if isinstance(other, Plan) and solves(other):
            return f"sow {earlier} days earlier, {short_day(other.sow_on or other.in_bed_from)}"
    if clash.what == "bed":
        for code in beds_with_room(plan, room, taken):
            if code != bed:
                return f"bed {code} has room"
    fewer = _fewer(plan, solves)
    if fewer:
        return f"{fewer} stems instead of {plan.wish.stems}"
    for later in SHIFTS_LATER:
        other = _shifted(plan, later)
        if isinstance(other, Plan) and solves(other):
            return f"set out {later} days later, {short_day(other.in_bed_from)}"
    return ""


def _shifted(plan: Plan, days: int) -> Plan | Problem:
    return _again(plan, replace(plan.ask, set_out_on=plan.in_bed_from + timedelta(days=days)))


def _again(plan: Plan, ask: Ask) -> Plan | Problem:
    """Reckoned anew; one sowing of a weekly wish still stands for all of its weeks."""
    other = plan_back(ask)
    if isinstance(other, Problem) or ask.only_days is None:
        return other
    by_week = plan.by_week
    if other.to_cut != plan.to_cut:
        share = other.to_cut / plan.to_cut
        by_week = tuple(replace(week, stems=round(week.stems * share)) for week in by_week)
    return replace(other, cut_to=plan.cut_to, occupied_to=plan.occupied_to, by_week=by_week)


def _fewer(plan: Plan, solves: Callable[[Plan | Problem], bool]) -> int:
    """The most stems, below those wished for, that fit; 0 where not even one does."""
    least, most = 0, plan.wish.stems
    while most - least > 1:
        middle = (least + most) // 2
        wish = replace(plan.wish, stems=middle)
        fixed = replace(plan.ask, wish=wish, set_out_on=plan.in_bed_from)
        least, most = (middle, most) if solves(_again(plan, fixed)) else (least, middle)
    return least


def _at_width(plan: Plan, width_in: float) -> Plan | None:
    given = plan.ask.given
    if given.bed_width_in.value == width_in:
        return plan
    spacing = given.spacing_in or plan.ask.sheet.spacing_in
    if spacing is None:
        return None
    return replace(plan, feet=feet_for_plants(plan.plants_out, width_in, spacing.value))


def _called(plan: Plan) -> str:
    wish = plan.wish
    return " ".join(filter(None, (wish.crop, wish.way, wish.variety)))


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def amount(what: What, count: float) -> str:
    """ "13.9 ft of bed", "1 tray under lights"."""
    return f"{number(count)} {ONE.get(what, UNITS[what]) if count == 1 else UNITS[what]}"


def span_of_weeks(first: date, last: date) -> str:
    """ "in the week of 4 May", "in the weeks of 4 May to 18 May"."""
    if first == last:
        return f"in the week of {short_day(first)}"
    return f"in the weeks of {short_day(first)} to {short_day(last)}"
