"""The season as a strip of weeks: what each plan does in which week, and the room there is under it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from core.farm import Farm
from core.plan_rows import Kept
from core.plans.capacity import ROUNDING, hardening_from
from core.plans.plan_usage import USUAL_WEEKS
from core.plans.room_weeks import RoomRow, RoomWeeks, room_weeks
from core.plans.rows import Part, PlanRow, plan_rows
from core.settings.sheets import farm_sheet
from core.units import monday_of
from core.units import weeks as weeks_of

IN_TRAY, IN_BED, PROMISED = "-", "=", "*"
"""In the strip of a plan: stands in trays, stands in the bed, the week it is promised for. "S" is the week it
is sown, "H" hardened, "O" set out, "C" cut, small letters where that is done."""
NOT_SAID, SHORT = ".", "!"
"""In the strip of a room: the total was never said, too little. A digit is the tenths that are free."""
WEEKS_BEFORE = 8
"""Weeks before this one that are shown where the whole season does not fit."""
FEWEST_WEEKS = 8


@dataclass(frozen=True, slots=True)
class PlanStrip:
    """One plan with one character a week, blank where nothing of it is on."""

    row: PlanRow
    cells: str


@dataclass(frozen=True, slots=True)
class RoomStrip:
    """One kind of room with one character a week; weeks gone by are blank."""

    row: RoomRow
    cells: str


@dataclass(frozen=True, slots=True)
class SeasonStrip:
    """The weeks that begin on `mondays`; `this_week` is the place of today's among them."""

    mondays: tuple[date, ...]
    this_week: int
    plans: tuple[PlanStrip, ...]
    rooms: tuple[RoomStrip, ...]
    room: RoomWeeks


def season_strip(farm: Farm, day: date, most_weeks: int) -> SeasonStrip:
    """Every kept plan, from the first sowing on, in at most so many weeks; this week is among them."""
    rows = plan_rows(farm, day)
    monday = monday_of(day)
    most = max(most_weeks, FEWEST_WEEKS)
    starts = [monday_of(start) for row in rows if (start := _start(row)) is not None]
    ends = [monday_of(date.fromisoformat(row.by)) for row in rows]
    first, last = min([monday, *starts]), max([monday, *ends])
    if (last - first).days // 7 + 1 > most:
        first = max(first, monday - timedelta(days=7 * min(WEEKS_BEFORE, most // 2)))
    mondays = tuple(first + timedelta(days=7 * i) for i in range(most))
    ahead = mondays.index(monday)
    room = room_weeks(farm, day, most - ahead)
    return SeasonStrip(
        mondays,
        ahead,
        tuple(PlanStrip(row, _plan_cells(farm, farm.plans.get(row.plan), row, mondays, day)) for row in rows),
        tuple(RoomStrip(row, " " * ahead + _room_cells(row)) for row in room.rows),
        room,
    )


def _plan_cells(farm: Farm, plan: Kept | None, row: PlanRow, mondays: tuple[date, ...], day: date) -> str:
    if plan is None:  # of pieces: their parts have strips of their own
        by = monday_of(date.fromisoformat(row.by))
        return "".join(PROMISED if monday == by else " " for monday in mondays)
    sow, out = _day(row.sow), _day(row.set_out)
    into_bed = out or sow
    first, last = _cutting(farm, plan, row)
    cells: dict[date, str] = {}

    def fill(start: date | None, end: date | None, sign: str) -> None:
        if start is not None and end is not None:
            week = monday_of(start)
            while week <= end:
                cells[week] = sign
                week += timedelta(days=7)

    fill(sow, out, IN_TRAY)
    fill(into_bed, last, IN_BED)
    cells[monday_of(date.fromisoformat(row.by))] = PROMISED
    fill(first, last, _letter("C", bool(row.stems_cut)))
    if out is not None and sow is not None:
        harden = hardening_from(farm_sheet(farm, plan.crop, plan.way, plan.variety), out)
        fill(harden, out, _letter("H", harden < day and row.sow is not None and bool(row.sow.done_on)))
    for part, at, sign in ((row.sow, sow, "S"), (row.set_out, out, "O")):
        if part is not None and at is not None:
            cells[monday_of(at)] = _letter(sign, part.done_on is not None)
    return "".join(cells.get(monday, " ") for monday in mondays)


def _cutting(farm: Farm, plan: Kept, row: PlanRow) -> tuple[date | None, date | None]:
    """First and last day of cutting, as now expected: as long as the crop is surely cut, or until the promise."""
    first = _day(row.cut)
    if first is None:
        return None, None
    sheet = farm_sheet(farm, plan.crop, plan.way, plan.variety)
    cut_weeks = sheet.cut_weeks.value[0] if sheet is not None and sheet.cut_weeks else USUAL_WEEKS
    drying = 0.0
    if plan.use != "fresh" and sheet is not None and sheet.drying_days is not None:
        drying = sheet.drying_days.value[1]
    until = date.fromisoformat(plan.by) - timedelta(days=round(drying))
    return first, max(first, min(first + weeks_of(cut_weeks), until))


def _room_cells(row: RoomRow) -> str:
    """A character a week: "!" short, a digit for the tenths free (9: nine or more), "." where no total is known."""
    cells = []
    for i in range(len(row.taken)):
        free = row.free(i)
        if row.total is None or free is None:
            cells.append(NOT_SAID)
        elif free < -ROUNDING:
            cells.append(SHORT)
        else:
            cells.append(str(min(int(10 * max(free, 0) / row.total), 9) if row.total else 0))
    return "".join(cells)


def _letter(sign: str, is_done: bool) -> str:
    return sign.lower() if is_done else sign


def _start(row: PlanRow) -> date | None:
    return _day(row.sow) or _day(row.set_out) or _day(row.cut)


def _day(part: Part | None) -> date | None:
    return date.fromisoformat(part.due_on) if part is not None and part.due_on else None
