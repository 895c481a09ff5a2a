"""The plans as they stand today: what was planned, what is done, what is behind, and the days that follow."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Literal, NamedTuple, TypeAlias

from core.crops.calendar import crop_dates
from core.crops.course import summer_year
from core.crops.windows import Calendar
from core.farm import Farm
from core.happened import OutFor, SownFor
from core.marked import typed_length
from core.plan_rows import Kept, KeptPieces
from core.plans.cells import cells_that_suit
from core.plans.defaults import stems_to_take
from core.plans.no_longer import gone, is_hopeless, too_late
from core.plans.serving import changed, order_text, served
from core.settings.sheets import bounds, farm_sheet, frosts, in_south, season_year
from core.trays.rows import out_day
from core.units import day_text, plural, short_day

PlanStep: TypeAlias = Literal["", "sow", "drill", "set out", "cut"]
"""What is to be done next for a plan; "" when nothing is left."""

Outcome: TypeAlias = Literal["", "met", "short"]

SHOWN_AFTER_DAYS = 14
"""A plan stays on the page so many days after the day it was promised for."""


class Part(NamedTuple):
    """One part of a plan: its planned day, the day now expected, and when and as what it was done.

    `behind` counts the days since the planned day while it is not done; `says` is the part in a few words.
    """

    planned_on: str | None
    due_on: str | None
    done_on: str | None
    codes: tuple[str, ...]
    behind: int
    says: str


class PlanRow(NamedTuple):
    """One plan today.

    `next` is "sow", "drill", "set out", "cut" or "" where all of it is done; `stems_cut` stems have been
    cut for its use. `line` is what to write when the next part is done, as far as the plan knows it (with a
    blank before it where the count of stems belongs), and `because` why its day is when it is.
    """

    plan: str
    crop: str
    variety: str | None
    way: str | None
    use: str
    stems: int
    by: str
    bed: str | None
    seeds: int | None
    cells: int | None
    plants: int | None
    feet: float | None
    sow: Part | None
    set_out: Part | None
    cut: Part
    stems_cut: int
    next: PlanStep
    next_on: str | None
    behind: int
    says: str
    line: str
    because: str
    outcome: Outcome = ""
    """What has become of it: it stays listed until that is known, and two weeks more."""
    parts: tuple[str, ...] = ()
    """Of pieces: the plans of what is grown for them."""
    part_of: str | None = None
    """The plan of pieces that it grows stems for."""
    too_late: str = ""
    """Where the first cut now expected comes too late for the day promised: by how much."""
    serves: str = ""
    """The code of the order that it is for, and in words whose: "for O014 Fern Hollow"."""
    serves_says: str = ""
    order_changed: str = ""
    """Where that order asks for something else now: what, and what can be done."""
    order_changed_short: str = ""

    is_hopeless: bool = False
    """Whether nothing is sown for it yet, and the last day for that has gone by."""

    @property
    def asks_count(self) -> bool:
        """Whether how many is to be filled in before `line`."""
        return self.next == "cut"


def plan_rows(farm: Farm, day: date) -> list[PlanRow]:
    """Every plan that is kept and not yet long past; what is due first comes first."""
    oldest = (day - timedelta(days=SHOWN_AFTER_DAYS)).isoformat()
    rows = [
        _with_order(farm, plan, _row(farm, plan, day))
        for plan in farm.plans.values()
        if plan.is_live and plan.by >= oldest
    ]
    pieces = [plan for plan in farm.piece_plans.values() if plan.is_live and plan.by >= oldest]
    rows += [
        _with_order(farm, plan, _row_of_pieces(plan, [row for row in rows if row.part_of == plan.code], day))
        for plan in pieces
    ]
    first: dict[str, str] = {}
    for row in rows:
        whole = row.part_of or row.plan
        first[whole] = min(first.get(whole, "9"), row.next_on or "9")

    def order(row: PlanRow) -> tuple[str, str, bool, str, str]:
        whole = row.part_of or row.plan
        return first[whole], whole, row.part_of is not None, row.next_on or "9", row.plan

    return sorted(rows, key=order)


def _row_of_pieces(plan: KeptPieces, parts: Sequence[PlanRow], day: date) -> PlanRow:
    """Pieces as one plan, above the plans of their parts."""
    made = f"{plan.made} of {plan.count} made"
    outcome: Outcome = "met" if plan.made >= plan.count else "short" if plan.by < day.isoformat() else ""
    there = f"; {plural(plan.there, 'stem')} there when it was planned" if plan.there else ""
    grown = f"; parts {', '.join(row.plan for row in parts)}" if parts else ""
    says = f"{outcome}: {made}" if outcome else f"{made}{grown}{there}"
    return PlanRow(
        plan=plan.code,
        crop=plan.recipe,
        variety=None,
        way=None,
        use="pieces",
        stems=plan.count,
        by=plan.by,
        bed=None,
        seeds=None,
        cells=None,
        plants=None,
        feet=None,
        sow=None,
        set_out=None,
        cut=Part(None, None, None, (), 0, made),
        stems_cut=0,
        next="",
        next_on=None,
        behind=0,
        says=says,
        line="",
        because="",
        outcome=outcome,
        parts=tuple(row.plan for row in parts),
    )


def _with_order(farm: Farm, plan: Kept | KeptPieces, row: PlanRow) -> PlanRow:
    """The row with what is to be said of the order that the plan is for."""
    if (found := served(farm, plan)) is None or plan.serves is None:
        return row
    other = changed(farm, plan)
    return row._replace(
        serves=found.order.code if found.order is not None else plan.serves.order,
        serves_says=order_text(farm, plan),
        order_changed=other.says if other is not None else "",
        order_changed_short=other.short if other is not None else "",
    )


def _row(farm: Farm, plan: Kept, day: date) -> PlanRow:
    drilled = plan.set_out_on is None
    sow, out, cut = _sow(plan, day), None, None
    calendar = _calendar_as_done(farm, plan)
    if not drilled:
        out = _set_out(plan, day, sow, _from_tray(farm, plan, day, calendar))
    cut = _cut(plan, day, sow, out, calendar, south=in_south(farm))
    first: PlanStep = "drill" if drilled else "sow"
    steps: tuple[tuple[PlanStep, Part | None], ...] = ((first, sow), ("set out", out), ("cut", cut))
    todo = [(name, part) for name, part in steps if part is not None and part.done_on is None]
    # plants that were bought in, or raised from seed sown before the plan, need no sowing any more
    if out is not None and out.done_on is not None:
        todo = [(name, part) for name, part in todo if name == "cut"]
    outcome, told = _outcome(plan, day)
    if outcome:
        todo = []
    if todo and todo[0][0] == "cut" and (ended := gone(farm, plan, day)):
        told, todo = f"{ended}: {plan.stems_cut} of {plural(plan.stems, 'stem')} cut", []
    name: PlanStep = todo[0][0] if todo else ""
    part = todo[0][1] if todo else None
    late = "" if outcome else too_late(farm, plan, cut.due_on)
    return PlanRow(
        plan=plan.code,
        crop=plan.crop,
        variety=plan.variety,
        way=plan.way,
        use=plan.use,
        stems=plan.stems,
        by=plan.by,
        bed=plan.bed,
        seeds=plan.seeds,
        cells=plan.cells,
        plants=plan.plants,
        feet=plan.feet,
        sow=sow,
        set_out=out,
        cut=cut,
        stems_cut=plan.stems_cut,
        next=name,
        next_on=part.due_on if part else None,
        behind=part.behind if part else 0,
        says=part.says if part else told or cut.says,
        line=_line(plan, name),
        because=_because(farm, plan, name, calendar),
        too_late=late,
        is_hopeless=bool(late) and name in ("sow", "drill") and is_hopeless(farm, plan, day),
        outcome=outcome,
        part_of=plan.part_of,
    )


def _outcome(plan: Kept, day: date) -> tuple[Outcome, str]:
    """Whether a plan is met, or its day has gone by and it is short, and by how much."""
    wanted = stems_to_take(plan.stems, plan.use)
    cut = f"{plan.stems_cut} of {plural(wanted, 'stem')} cut"
    if plan.stems_cut >= wanted:
        return "met", f"met: {cut}" + (f" to keep {plan.stems}" if wanted > plan.stems else "")
    if plan.by < day.isoformat():
        return "short", f"short by {wanted - plan.stems_cut}: {cut} by {day_text(plan.by)}"
    return "", ""


def _line(plan: Kept, doing: str) -> str:
    variety = f"'{plan.variety}'" if plan.variety else None
    name = " ".join(filter(None, (plan.crop, plan.way, variety)))
    where = " ".join(filter(None, (plan.bed, typed_length(plan.feet) if plan.feet else None)))
    if doing == "sow":
        size = plan.cell_size or cells_that_suit(plan.crop)
        return f"sow {plan.cells} {name} {size}s {plan.seeds} seeds"
    if doing == "drill":
        return f"drill {name} {where}"
    if doing == "set out":
        if plan.sown:
            return f"set out {plan.sown[0].code} {where}"
        return f"plant {name} {where} {plan.plants} plants"
    if doing == "cut":
        return f"{plan.out[-1].planting if plan.out else name} {plan.use}"
    return ""


WINDOW_OF = {"sow": "sow", "drill": "direct_sow", "set out": "set_out", "cut": "first_cut"}


def _because(farm: Farm, plan: Kept, doing: str, as_done: Calendar | None) -> str:
    """What the day of the next part hangs on: the work done so far, else the crop's own windows."""
    calendar = as_done
    if plan.sow_on is None and plan.set_out_on is None:
        return f"it stands already: {', '.join(code for code, _, _ in plan.out)}" if plan.out else ""
    if calendar is None:
        sheet = farm_sheet(farm, plan.crop, plan.way, plan.variety)
        first = plan.set_out_on or plan.sow_on
        if sheet is None or first is None:
            return ""
        frost = frosts(farm, season_year(farm, date.fromisoformat(first)))
        calendar = crop_dates(sheet, frost, direct=plan.set_out_on is None, bounds=bounds(farm))
    window = calendar.windows.get(WINDOW_OF.get(doing, ""))
    if window is None:
        return ""
    if doing == "cut" or plan.cut_from is None:
        return window.because.rstrip(".")
    cut = day_text(plan.cut_from)
    opens = f"its window opens {short_day(window.start)}: {window.because.rstrip('.')}"
    return f"it is to be cut from {cut} for {day_text(plan.by)}; {opens}"


def _calendar_as_done(farm: Farm, plan: Kept) -> Calendar | None:
    """The crop's calendar from the days on which it was really sown and set out; None before that."""
    sheet = farm_sheet(farm, plan.crop, plan.way, plan.variety)
    if sheet is None or not (plan.sown or plan.out):
        return None
    out = date.fromisoformat(plan.out[0].on) if plan.out else None
    sown = date.fromisoformat(plan.sown[0].on) if plan.sown else None
    frost = frosts(farm, season_year(farm, out or sown or date.fromisoformat(plan.by)))
    if plan.set_out_on is None:
        return crop_dates(sheet, frost, sown=sown or out, direct=True)
    return crop_dates(sheet, frost, sown=sown, set_out=out, bounds=bounds(farm))


def _part(
    planned: str | None, due: str | None, done: Sequence[SownFor | OutFor], day: date, verb: str, doing: str
) -> Part:
    """A part with its words: "sow 19 Mar", "sown S12 on 21 Mar", "behind by 5 days: sow"."""
    if done:
        codes = tuple(each[0] for each in done)
        on = done[0].on
        says = f"{verb} {', '.join(codes)} on {day_text(on)}"
        return Part(planned, on, on, codes, 0, says)
    if due is None:
        return Part(planned, None, None, (), 0, "not planned")
    behind = max((day - date.fromisoformat(due)).days, 0)
    if behind:
        return Part(planned, due, None, (), behind, f"behind by {plural(behind, 'day')}: {doing}")
    moved = f", planned {day_text(planned)}" if planned and planned != due else ""
    return Part(planned, due, None, (), 0, f"{doing} {day_text(due)}{moved}")


def _sow(plan: Kept, day: date) -> Part | None:
    if plan.sow_on is None:
        return None
    drilled = plan.set_out_on is None
    return _part(
        plan.sow_on,
        plan.sow_on,
        plan.sown,
        day,
        "drilled" if drilled else "sown",
        "drill" if drilled else "sow",
    )


def _from_tray(farm: Farm, plan: Kept, day: date, calendar: Calendar | None) -> date | None:
    """The first day on which what was sown for a plan can go out: that of its trays, once they are hardened off, else
    that of their weeks in the tray; None where nothing is sown."""
    trays = (farm.trays.get(sown.code) for sown in plan.sown)
    days = [
        out_day(farm, tray, plan, day) for tray in trays if tray is not None and tray.is_live and tray.ladder
    ]
    if known := [on for on in days if on is not None]:
        return min(known)
    window = calendar.windows.get("set_out") if calendar is not None else None
    return None if window is None else window.start


def _set_out(plan: Kept, day: date, sow: Part | None, ready: date | None) -> Part:
    """Moved with a sowing that was late, or is late already, and with the hardening; never put before its planned
    day."""
    assert plan.set_out_on is not None
    due = plan.set_out_on
    if sow is not None and sow.done_on is None and sow.behind:
        due = _later(due, sow.behind)
    elif ready is not None and not plan.out:
        due = max(due, ready.isoformat())
    return _part(plan.set_out_on, due, plan.out, day, "set out", "set out")


def _cut(
    plan: Kept, day: date, sow: Part | None, out: Part | None, calendar: Calendar | None, *, south: bool
) -> Part:
    before = out if out is not None else sow
    if plan.first_cut is not None:
        on = day_text(plan.first_cut)
        wanted = stems_to_take(plan.stems, plan.use)
        says = f"cut from {on}, {plan.stems_cut} of {plural(wanted, 'stem')}"
        if wanted > plan.stems:
            says += f" to keep {plan.stems}"
        done = plan.first_cut if plan.stems_cut >= wanted else None
        due = plan.first_cut
        return Part(plan.cut_from, due, done, (), 0, says)
    window = calendar.windows.get("first_cut") if calendar is not None else None
    is_growing = before is not None and before.done_on is not None
    days = [date.fromisoformat(on) for on in (plan.set_out_on, plan.cut_from) if on]
    if len({summer_year(on, south=south) for on in days}) == 2:
        is_growing = False  # of its second year: no day of the first says when
    if window is not None and is_growing:
        due_on: str | None = window.end.isoformat()
    else:
        due_on = plan.cut_from
        if due_on and before is not None and before.due_on and before.planned_on:
            due_on = _later(due_on, _days(before.planned_on, before.due_on) + before.behind)
    return _part(plan.cut_from, due_on, [], day, "cut", "cut")


def _later(on: str, days: int) -> str:
    return (date.fromisoformat(on) + timedelta(days=days)).isoformat()


def _days(start: str, end: str) -> int:
    return max((date.fromisoformat(end) - date.fromisoformat(start)).days, 0)
