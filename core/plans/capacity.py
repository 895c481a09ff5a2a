"""The room a plan takes, week by week, beside what the farm has in hand.

Bed feet from planting to the last cut; trays under lights from sowing to hardening, then on the hardening
spaces until they go out; feet of line in the shed while bunches dry, 6 in apart [S105]. A 1020 tray is 22 x
11 in, four to a 4 ft shelf (common practice), so a shelf foot holds one tray. A tray whose size of cell was never
written is counted at the size that suits its crop, and `assumed` says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil
from typing import Literal

from core.beds.rows import bed_rows
from core.crops.hardening import ladder
from core.crops.sheet import Sheet
from core.crops.spacing import feet_for_plants
from core.dialect import told_feet, told_length
from core.drying.rows import shelf_rows
from core.farm import Farm
from core.marked import with_figures
from core.plans.cells import cells_that_suit, trays_for
from core.plans.plan import Plan
from core.settings.sheets import farm_sheet
from core.shed.line_room import FEET_A_BUNCH, feet_taken, line_feet
from core.trays.rows import tray_rows
from core.units import monday_of, number, short_day

What = Literal["bed", "lights", "hardening", "line"]
WHATS: tuple[What, ...] = ("bed", "lights", "hardening", "line")
_UNITS: dict[What, str] = {
    "bed": "{length_unit} of bed",
    "lights": "trays under lights",
    "hardening": "tray spaces for hardening",
    "line": "{length_unit} of line",
}
ONE: dict[What, str] = {"lights": "tray under lights", "hardening": "tray space for hardening"}
NAMED = 4
"""So many trays are named in a sentence."""
STANDS_ON_DAYS = 366
"""A planting with no known end stands for all of the time looked at."""
ROUNDING = 0.05


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


def room_of(farm: Farm) -> Room:
    """The farm's beds, its trays' room as it was said, and its feet of line."""
    beds = {bed.code: (bed.feet, bed.width_in) for bed in farm.beds.values()}
    return Room(beds, farm.capacity.get("lights"), farm.capacity.get("hardening"), line_feet(farm))


# What is taken


def uses_of_plan(plan: Plan, bed: str | None = None) -> list[Use]:
    """The room that a plan takes; `bed` where it is to stand."""
    who = called(plan)
    uses = [Use("bed", plan.in_bed_from, plan.occupied_to, plan.feet, who, bed)]
    if plan.trays is not None and plan.sow_on is not None and plan.set_out_on is not None:
        harden = plan.harden_on or plan.set_out_on
        uses += in_trays(plan.trays, plan.sow_on, harden, plan.set_out_on, who)
    if plan.wish.use == "dry" and plan.drying_days is not None:
        for week in plan.by_week:
            bunches = ceil(week.stems * (1 - plan.ask.given.cull.value) / plan.per_bunch)
            start = max(week.monday, plan.cut_from)
            end = min(week.monday + timedelta(days=6), plan.cut_to) + timedelta(days=plan.drying_days)
            uses.append(Use("line", start, end, bunches * FEET_A_BUNCH, who))
    return [use for use in uses if use.end >= use.start and use.amount > 0]


def uses_of_farm(farm: Farm, day: date) -> list[Use]:
    """The room that is taken from `day` on by what stands in beds, grows in trays and hangs in the shed.

    A tray sown for a plan will go to the bed of that plan.
    """
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
    planned = {code: plan.bed for plan in farm.plans.values() if plan.is_live for code, _, _ in plan.sown}
    for row in tray_rows(farm, day):
        tray = farm.trays.get(row.tray)
        assert tray is not None
        count = trays_for(tray.crop, tray.cells, tray.cell_size)
        who = f"{row.crop} ({row.tray})"
        if row.harden_on is None or row.set_out_on is None:
            uses.append(Use("lights", day, day + timedelta(days=STANDS_ON_DAYS), count, who))
            continue
        out = date.fromisoformat(row.set_out_on)
        uses += in_trays(count, day, max(date.fromisoformat(row.harden_on), day), out, who)
        sheet = farm_sheet(farm, row.crop, row.way, row.variety)
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
            last = out + timedelta(days=round(days))
            uses.append(Use("bed", out, last, feet, f"{who}, to be set out", planned.get(row.tray)))
    return [use for use in uses if use.end >= use.start]


def _lines(farm: Farm, day: date) -> list[Use]:
    return [
        Use(
            "line",
            day,
            max(date.fromisoformat(row.due), day),
            feet_taken(row.stems, row.per),
            f"{row.crop} ({row.lot})",
        )
        for row in shelf_rows(farm, day)
    ]


def assumed(farm: Farm) -> tuple[str, ...]:
    """What is counted in the room without having been written, a sentence each."""
    by_size: dict[int, list[str]] = {}
    for tray in farm.trays.live():
        if not tray.cell_size:
            by_size.setdefault(cells_that_suit(tray.crop), []).append(tray.code)
    return tuple(
        f"{_listed(codes)}: cells to a tray not written, counted as trays of {size}. When sowing, write it: {size}s."
        for size, codes in sorted(by_size.items())
    )


def _listed(codes: list[str]) -> str:
    more = len(codes) - NAMED
    return ", ".join(codes) if more <= 0 else f"{', '.join(codes[:NAMED])} and {more} more"


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


def _peak_of_beds(uses: Sequence[Use], room: Room, monday: date) -> float:
    """The most feet of all beds that are taken on any day of the week; a bed that is more than full takes no more than
    it has, and nothing of the others."""
    sunday = monday + timedelta(days=6)
    here = [use for use in uses if use.what == "bed" and use.start <= sunday and use.end >= monday]

    def on(day: date) -> float:
        of_bed: dict[str | None, float] = {}
        for use in here:
            if use.start <= day <= use.end:
                of_bed[use.bed] = of_bed.get(use.bed, 0.0) + use.amount
        anywhere = of_bed.pop(None, 0.0)
        return anywhere + sum(min(feet, room.of("bed", bed) or 0.0) for bed, feet in of_bed.items())

    return max((on(max(use.start, monday)) for use in here), default=0.0)


def weeks(plan: Plan, room: Room, taken: Sequence[Use], bed: str | None = None) -> list[Week]:
    """Every week of every kind of room that the plan needs."""
    mine = uses_of_plan(plan, bed)
    found = []
    for what in WHATS:
        own = [use for use in mine if use.what == what]
        if not own:
            continue
        where = bed if what == "bed" else None
        monday = monday_of(min(use.start for use in own))
        while monday <= max(use.end for use in own):
            needed = peak(own, what, monday)
            if needed:
                every = [*taken, *own]
                on_farm = what == "bed" and bed is None
                together = _peak_of_beds(every, room, monday) if on_farm else peak(every, what, monday, where)
                found.append(Week(monday, what, together - needed, needed, room.of(what, where)))
            monday += timedelta(days=7)
    return found


def called(plan: Plan) -> str:
    wish = plan.wish
    return " ".join(filter(None, (wish.crop, wish.way, wish.variety)))


def unit_of_room(what: What) -> str:
    """ "ft of bed", "trays under lights"."""
    return with_figures(_UNITS[what])


def how_much(what: What, count: float) -> str:
    """So much room, without its unit: a length in the farm's own."""
    return told_length(count) if what in ("bed", "line") else number(count)


def amount(what: What, count: float) -> str:
    """ "13.9 ft of bed", "1 tray under lights"."""
    return f"{how_much(what, count)} {ONE[what] if count == 1 and what in ONE else unit_of_room(what)}"


def more_room(what: What, short: float, bed: str | None = None) -> str:
    """ "2 more trays under lights", "3.5 ft more of bed": what there must be where nothing else helps."""
    if what == "bed":
        return f"{told_feet(ceil(short * 10) / 10)} more {f'in bed {bed}' if bed else 'of bed'}"
    if what == "line":
        return f"{told_feet(ceil(short * 2) / 2)} more of line"
    return f"{ceil(short)} more {ONE[what] if ceil(short) == 1 else unit_of_room(what)}"


def span_of_weeks(first: date, last: date) -> str:
    """ "in the week of 4 May", "in the weeks of 4 May to 18 May"."""
    if first == last:
        return f"in the week of {short_day(first)}"
    return f"in the weeks of {short_day(first)} to {short_day(last)}"
