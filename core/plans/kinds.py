"""Plans kept in the book, and rooms: what is written of them, and what that does to the farm."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any, TypeVar

from core.book.entry import Draft, Entry
from core.codes import PLAN, free_name
from core.dialect import told_feet
from core.farm import Farm
from core.happened import PlannedFor
from core.kinds import REF, SIZE, Kind, may, needs
from core.places import USES
from core.plan_rows import Kept, KeptPieces
from core.plans.filling import HEARS as FILLING
from core.plans.filling import adopt, stand_beside, stand_for
from core.problems import Problem
from core.refusals import unknown
from core.units import dated_text, plainly
from core.usual import SLIP, most_of, most_so_far, note_most, too_many

CAPACITIES = ("lights", "hardening", "line")
"""Room that is counted: trays under lights, tray spaces for hardening off, feet of line in the shed."""

KEPT_DAYS = 730


def next_plan_code(farm: Farm, mark: str = "", *, after: int = 0) -> str:
    """The next unused code of a plan, or the one so many `after` it: "N01"; `mark` is this machine's letter."""
    return f"{PLAN}{farm.codes.get(PLAN, 0) + 1 + after:02d}{mark}"


FOR_ORDER = PlannedFor._fields
"""The fields of a plan that say which item of which order it is for."""
FOR = may(order="code", order_ref="code", item="count", item_ref="code", asked="count")

# Kept and dropped


def _check_planned(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if problem := _taken_or_gone(farm, draft):
        return problem
    if f["use"] not in USES:
        return unknown("use", f["use"], list(USES))
    if f["stems"] < 1:
        return Problem("A plan is for at least one stem.", "impossible")
    days = [f[name] for name in ("sow_on", "set_out_on", "cut_from", "due_on") if name in f]
    if days != sorted(days):
        return Problem("A plan sows, sets out, cuts and hands over in that order.", "impossible")
    if "bed" in f and f["bed"] not in farm.beds:
        return unknown("bed", f["bed"], list(farm.beds))
    return None


def _taken_or_gone(farm: Farm, draft: Draft) -> Problem | None:
    code, due_on = draft.fields["plan"], draft.fields["due_on"]
    if code in farm.plans or code in farm.piece_plans:
        return Problem(f"There is a plan {code} already.", "impossible")
    if due_on < draft.on:
        return Problem(f"{dated_text(due_on)} has gone by: a plan is for a day to come.", "impossible")
    return None


P = TypeVar("P", Kept, KeptPieces)


def _check_pieces(farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["count"] < 1:
        return Problem("At least one piece is planned.", "impossible")
    return _taken_or_gone(farm, draft)


def _planned_pieces(farm: Farm, entry: Entry) -> None:
    f = dict(entry.fields)
    code = _new_code(farm, entry, f.pop("plan"))
    note_most(farm, "planned pieces", f["recipe"], f["count"])
    serves = _served(f)
    kept = KeptPieces(code, entry.id, entry.on, by=f.pop("due_on"), **f, serves=serves)
    farm.piece_plans = _without_old(farm.piece_plans, kept.made_on)
    farm.piece_plans[code] = kept


def _new_code(farm: Farm, entry: Entry, given: str) -> str:
    """The code given, or one beside it where another machine gave it too."""
    code = free_name(farm, given, lambda name: name in farm.plans or name in farm.piece_plans, entry.id)
    farm.codes[PLAN] = max(farm.codes.get(PLAN, 0), _number(given))
    return code


def _planned(farm: Farm, entry: Entry) -> None:
    f = dict(entry.fields)
    code = _new_code(farm, entry, f.pop("plan"))
    named = {name: f.pop(name, None) for name in ("crop", "variety", "way")}
    stands, beside = f.pop("stands", "").split(), f.pop("beside", "").split()
    serves = _served(f)
    kept = Kept(code, entry.id, entry.on, by=f.pop("due_on"), **named, **f, serves=serves)
    if (left := _without_old(farm.plans, kept.made_on)) is not farm.plans:
        farm.plans, farm.in_plans = left, None
    farm.plans[code] = kept
    note_most(farm, PLANNED, kept.crop, _at_once(entry))
    if stands:
        stand_for(farm, kept, stands)
    else:
        stand_beside(farm, kept, beside)
        adopt(farm, kept)


def _served(f: dict[str, Any]) -> PlannedFor | None:
    """The item of an order that a plan says it is for, taken out of its fields."""
    said = [f.pop(name, None) for name in FOR_ORDER]
    return PlannedFor(*said) if None not in said else None


def _without_old(plans: dict[str, P], made_on: str) -> dict[str, P]:
    """Without those promised for a day long gone; `plans` itself where there are none.

    They go when a plan of a new day comes: of one day there may be thousands, brought by a merge.
    """
    newest = next(reversed(plans.values()), None)
    if newest is None or newest.made_on == made_on:
        return plans
    oldest = (date.fromisoformat(made_on) - timedelta(days=KEPT_DAYS)).isoformat()
    left = {name: plan for name, plan in plans.items() if plan.by >= oldest}
    return left if len(left) < len(plans) else plans


def _number(code: str) -> int:
    digits = "".join(c for c in code[1:] if c.isdecimal() and c.isascii())
    return int(digits) if code.startswith(PLAN) and 0 < len(digits) <= 6 else 0


def _plan(farm: Farm, item: Draft | Entry) -> Kept | KeptPieces | None:
    code, ref = item.fields["plan"], item.fields.get("ref")
    found = farm.plans.get(code) or farm.piece_plans.get(code)
    if ref and found is not None and found.made_by != ref:
        known: tuple[Kept | KeptPieces, ...] = (*farm.plans.values(), *farm.piece_plans.values())
        return next((plan for plan in known if plan.made_by == ref), found)
    return found


def _check_dropped(farm: Farm, draft: Draft) -> Problem | None:
    plan = _plan(farm, draft)
    if plan is None:
        return unknown("plan", draft.fields["plan"], [p.code for p in farm.plans.values() if p.is_live])
    if plan.dropped_on is not None:
        return Problem(f"Plan {plan.code} was dropped on {dated_text(plan.dropped_on)}.", "impossible")
    if draft.on < plan.made_on:
        return Problem(
            f"Plan {plan.code} was made on {dated_text(plan.made_on)}: it cannot be dropped before.",
            "impossible",
        )
    return None


def _dropped(farm: Farm, entry: Entry) -> None:
    plan = _plan(farm, entry)
    if plan is None:
        farm.note_unknown("plan", entry.fields["plan"], entry.id)
    else:
        plan.dropped_on = entry.on


def _check_capacity(_farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["what"] not in CAPACITIES:
        return unknown("room", draft.fields["what"], list(CAPACITIES))
    if draft.fields["count"] < 0:
        return Problem("Room is 0 or more.", "impossible")
    return None


def _capacity(farm: Farm, entry: Entry) -> None:
    farm.capacity[entry.fields["what"]] = entry.fields["count"]


# A figure too many

ACRE_FEET = 10_000
"""Feet of bed on an acre, with beds and paths four feet wide (an acre has 43,560 square feet)."""
FIRST_PIECES = 1_000
"""Pieces of the first plan for any, from which on they are asked about (ours)."""


PLANNED = "planned"


def _at_once(planned: Draft | Entry) -> float:
    """Stems of a plan; of fresh ones that are promised over weeks, those of a week."""
    f = planned.fields
    if f["use"] != "fresh" or "cut_from" not in f:
        return float(f["stems"])
    days = (date.fromisoformat(f["due_on"]) - date.fromisoformat(f["cut_from"])).days
    return float(round(f["stems"] / max(days / 7, 1)))


def _planned_too_many(farm: Farm, draft: Draft) -> str | None:
    """By what was planned of the crop so far; of the first plan for it by the beds there are."""
    stems, crop, feet = draft.fields["stems"], draft.fields["crop"], draft.fields.get("feet", 0)
    if most := most_of(farm, PLANNED, crop):
        return too_many(_at_once(draft), most, f"stems of {crop} at once")
    there = sum(bed.feet for bed in farm.beds.values())
    if feet < (SLIP * there or ACRE_FEET):
        return None
    beside = f"{feet / there:.0f} times what there is" if there else "as much as an acre has"
    return f"{stems} stems of {crop} would take {told_feet(round(feet))} of bed, {beside}"


def _pieces_too_many(farm: Farm, draft: Draft) -> str | None:
    count, recipe = draft.fields["count"], draft.fields["recipe"]
    most = most_so_far(farm, "planned pieces", recipe)
    if not most and count >= FIRST_PIECES:
        return f"{count} of {recipe} is many times what one plan is for"
    return too_many(count, most, f"of {recipe} planned")


def _room_too_large(farm: Farm, draft: Draft) -> str | None:
    what = draft.fields["what"]
    tells = told_feet if what == "line" else plainly
    return too_many(draft.fields["count"], farm.capacity.get(what, 0), f"of room for {what}", tells=tells)


KINDS = (
    Kind(
        "planned",
        "planned {plan}: {stems} {crop}[ {variety}][ ({way})] for {use} by {due_on}[, sow {sow_on}]"
        "[, set out {set_out_on}][, cut from {cut_from}][: {seeds} seeds][ in {cell_size}s]"
        "[, {plants} plants][, {feet}][ in bed {bed}][, of {stands} that stands]"
        "[, beside {beside} that stands][, for {part_of}][, for {order}]",
        needs(plan="code", crop="text", use="code", stems="count", due_on="day")
        | may(
            variety="text",
            way="code",
            sow_on="day",
            set_out_on="day",
            cut_from="day",
            cells="count",
            cell_size="count",
            seeds="count",
            plants="count",
            feet=SIZE,
            bed="code",
            stands="text",
            part_of="code",
            beside="text",
        )
        | FOR,
        _planned,
        check=_check_planned,
        slip=_planned_too_many,
        as_a_whole=True,
    ),
    Kind(
        "planned pieces",
        "planned {plan}: {count} {recipe}[ of {size_in}] by {due_on}[, {there} stems of it there][, for {order}]",
        needs(plan="code", recipe="code", sort="code", count="count", due_on="day")
        | may(size_in=SIZE, there="count")
        | FOR,
        _planned_pieces,
        check=_check_pieces,
        slip=_pieces_too_many,
    ),
    Kind("dropped", "dropped plan {plan}", needs(plan="code") | REF, _dropped, check=_check_dropped),
    Kind(
        "capacity",
        "room: {what} {count}",
        needs(what="code", count="number"),
        _capacity,
        check=_check_capacity,
        slip=_room_too_large,
        describes=True,
    ),
)

HEARS = FILLING
