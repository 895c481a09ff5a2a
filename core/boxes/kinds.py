"""Boxes of dry stock: where they stand, the looks into them for moth and damp, and what is done about either."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Literal, NamedTuple, TypeAlias

from core.book.entry import Draft, Entry
from core.dialect import told_degrees
from core.drying.weighing import note_dry, tests_of
from core.farm import Box, Farm, Lot
from core.happened import Look, Treated
from core.kinds import DAYS, HOURS, REF, Kind, may, needs
from core.marked import with_figures
from core.places import BENCH, Form, Holding, Place, in_place
from core.problems import Problem
from core.refusals import unknown
from core.stems.kinds import (
    DRY,
    check_alike,
    check_source,
    enter,
    find_lot,
    keep_days,
    lot_or_matter,
    put,
    take,
)
from core.text import clean, natural
from core.units import dated_text, day_text, plural

BoxAsk: TypeAlias = Literal["", "treat", "dry", "close", "take out", "look"]
"""What a box asks for: see `ASKS`."""

BOX_RESULTS = ("sound", "moth", "beetles", "damp", "mice")
"""What a look into a box may find."""
TREATMENTS = ("frozen", "warmed")
"""What is done to a box for moths."""

GRADES = ("first", "second", "third")
"""How good the bunches of a box are; a box holds a lot in one grade."""
CHECK_DAYS = 30
"""Days between two looks into a box (common practice)."""
CHECK_DAYS_WORST = 14
"""Days between two looks where moths come first, and after a moth or damp was found (common practice)."""
MOTH_FIRST = (
    "safflower",
    "sunflower",
    "broom corn",
    "ornamental millet",
    "bunny tail grass",
    "quaking grass",
)
"""Grain heads, safflower and sunflower: what the moths of stored grain eat first [S56]."""
FREEZE_DAYS = 7.0
"""Days in the freezer against moths [S139]."""
WARM_HOURS = 3.0
"""Hours at 125 to 130 F against moths [S57]."""
KEPT = 24
"""Looks and treatments kept in mind for a box; older ones are left to the entries."""
MOTH, BEETLES, DAMP, MICE = "moth", "beetles", "damp", "mice"
PESTS = (MOTH, BEETLES)
"""What is frozen or warmed out of a box: moths of stored grain [S56], and beetles (cigarette beetle: from memory)."""
FREEZE_HOW = "at {degrees:0}, in a shut bag, opened only when it is warm again: else it draws damp [S178]"
"""How a box is frozen; the degrees are a household freezer's (common practice)."""

DO = {
    "treat": "freeze it a week at {degrees:0} in a shut bag, or warm it 3 h at {degrees:125 to 130}",
    "dry": "hang it again and dry it",
    "close": "into a tight box, and count what is left",
}
"""What is to be done about what was found in a box."""
ASKS = {
    "treat": f"moth or beetles: {DO['treat']}",
    "dry": f"damp: {DO['dry']}",
    "close": f"mice: {DO['close']}",
    "take out": "out of the freezer: open it when it is warm again, and look into it",
    "look": "look for moth and damp",
}
"""What a box may ask for, the most pressing first."""
CARE = {
    "treat": "warm it watched, away from flames and bare heaters: dry bunches burn like hay",
    "dry": "moldy dust hurts lungs: carry what is moldy out wetted, in a two-strap N95 mask or better",
}
"""The usual cautions for doing it."""


class BoxRow(NamedTuple):
    """One box. `ask` is a word of `ASKS` or "", `says` the same in words, `care` the caution for doing it.

    `bunches` counts whole bunches, `heads` wired heads, `stems` all stems and heads. An empty box has no `next_check`.
    """

    box: Place
    lots: tuple[str, ...]
    crops: tuple[str, ...]
    bunches: int
    heads: int
    stems: int
    where: str | None
    light: bool | None
    last_check: str | None
    last_result: str | None
    treated: str | None
    next_check: str | None
    ask: BoxAsk
    says: str
    care: str
    because: str


def box_rows(farm: Farm, day: date) -> list[BoxRow]:
    """Every box that holds something or was described, by its number."""
    held: dict[Place, list[tuple[Lot, Holding]]] = {name: [] for name in farm.boxes}
    for lot in farm.lots.live():
        for place, holding in lot.holdings.items():
            if place.is_box:
                held.setdefault(place, []).append((lot, holding))
    rows = [_row(farm.boxes.get(name) or Box(name), inside, day) for name, inside in held.items()]
    return sorted(rows, key=lambda r: natural(r.box))


def _row(box: Box, inside: list[tuple[Lot, Holding]], day: date) -> BoxRow:
    check = box.checks[-1] if box.checks else None
    treated = box.treated[-1] if box.treated else None
    crops = tuple(dict.fromkeys(lot.crop for lot, _ in inside))
    if inside:
        next_check, why = _next_check(box, inside, crops)
        ask, because = _asks(box, next_check, why, day)
    else:
        next_check, ask, because = None, "", "it is empty"
    return BoxRow(
        box=box.code,
        lots=tuple(dict.fromkeys(lot.code for lot, _ in inside)),
        crops=crops,
        bunches=sum(holding.on_hand for _, holding in inside if holding.unit == "bunches"),
        heads=sum(holding.on_hand for _, holding in inside if holding.unit == "heads"),
        stems=sum(holding.stems for _, holding in inside),
        where=box.where,
        light=box.light,
        last_check=check.on if check else None,
        last_result=check.result if check else None,
        treated=treatment_text(treated) if treated else None,
        next_check=next_check.isoformat() if next_check else None,
        ask=ask,
        says=with_figures(ASKS.get(ask, "")),
        care=CARE.get(ask, ""),
        because=because,
    )


def _next_check(box: Box, inside: list[tuple[Lot, Holding]], crops: tuple[str, ...]) -> tuple[date, str]:
    """When the box is looked into again, and why then."""
    # what lies in it now: looks into an earlier filling do not count
    filled = min(holding.since for _, holding in inside)
    last = max([filled, *(look.on for look in box.checks)])
    since = "looked into" if box.checks and box.checks[-1].on == last else "filled"
    worst = [crop for crop in crops if crop in MOTH_FIRST]
    troubled = [
        look.result for look in box.checks[-2:] if look.result in (*PESTS, DAMP) and look.on >= filled
    ]
    for treated in box.treated:
        back = _ends(treated).isoformat()
        if back > last:
            last, since = back, "treated"
    every = CHECK_DAYS_WORST if worst or troubled else CHECK_DAYS
    reason = (
        f"moths take {worst[0]} first [S56]" if worst else f"{troubled[-1]} was found" if troubled else ""
    )
    begun = date.fromisoformat(last)
    why = f"{since} {dated_text(last)}, looked into every {every} days" + (f": {reason}" if reason else "")
    return begun + timedelta(days=every), f"{why} (common practice)"


def _asks(box: Box, next_check: date, why: str, day: date) -> tuple[BoxAsk, str]:
    """(word of `ASKS` or "", because)."""
    look = box.checks[-1] if box.checks else Look("", "sound")
    if look.result in PESTS:
        after = [t for t in box.treated if t.on >= look.on]
        if not any(is_enough(t) for t in after):
            short = "; ".join(f"{treatment_text(t)} was too short" for t in after)
            found = f"{look.result} {'was' if look.result == MOTH else 'were'} seen on {dated_text(look.on)}"
            return "treat", f"{found}; {short or 'not treated yet'}; a week frozen [S139], 3 h warmed [S57]"
    elif look.result == DAMP:
        return "dry", f"damp was found on {dated_text(look.on)}: boxed damp it molds"
    elif look.result == MICE:
        return (
            "close",
            f"mice were found on {dated_text(look.on)}: tight boxes keep them out (common practice)",
        )
    if box.treated and (frozen := box.treated[-1]).how == "frozen":
        ends = _ends(frozen).isoformat()
        if ends <= day.isoformat() and look.on < ends and day < next_check:
            return (
                "take out",
                f"{treatment_text(frozen)}; looked into, it is done with: check {box.code} sound",
            )
    return ("look" if next_check <= day else ""), why


def _ends(treated: Treated) -> date:
    """The day on which it is out of the freezer or the warmth."""
    return date.fromisoformat(treated.on) + timedelta(days=round(treated.days))


def trouble_in(farm: Farm, place: Place, day: date) -> str:
    """What was found in a box and nothing is done about yet, and what to do, for her who takes stems out of it; ""
    where nothing is."""
    box = farm.boxes.get(place)
    if box is None or not box.checks:
        return ""
    row = _row(box, [(lot, lot.holdings[place]) for lot in farm.lots.live() if place in lot.holdings], day)
    if row.ask not in DO:
        return ""
    found, do = box.checks[-1], with_figures(DO[row.ask])
    return (
        f"! {found.result} in {place}, {dated_text(found.on)}: look through what is taken out. The box: {do}"
    )


def is_enough(treated: Treated) -> bool:
    """Whether a treatment was long enough to end moths: a week frozen [S139], 3 h at 125 to 130 F [S57]."""
    return treated.days >= (FREEZE_DAYS if treated.how == "frozen" else WARM_HOURS / 24)


def treatment_text(treated: Treated) -> str:
    """ "frozen 7 days from 4 Jan 2026", "warmed 3 h on 4 Jan 2026"."""
    on, how, days = treated
    if how == "frozen":
        return f"frozen {plural(round(days), 'day')} from {dated_text(on)}"
    return f"{how} {round(days * 24, 1):g} h on {dated_text(on)}"


# rules


def known_boxes(farm: Farm) -> list[Place]:
    """Every box that was described or holds something, by its number."""
    held = {place for lot in farm.lots.live() for place in lot.holdings if place.is_box}
    return sorted(held | set(farm.boxes), key=natural)


def _check_box(farm: Farm, draft: Draft) -> Problem | None:
    if not Place(draft.fields["box"]).is_box:
        return Problem("Say which box, such as 'box 7'.", "unreadable")
    return None


def _check_known(farm: Farm, draft: Draft) -> Problem | None:
    box, known = draft.fields["box"], known_boxes(farm)
    if box not in known:
        near = tuple(known[:6])
        hint = f"; there is {', '.join(near)}." if near else " yet: 'box L038 3x10 box 7' fills one."
        return Problem(f"There is no {clean(box)}{hint}", "unknown", near)
    return None


def _check_checked(farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["result"] not in BOX_RESULTS:
        return unknown("result", draft.fields["result"], list(BOX_RESULTS))
    return _check_known(farm, draft)


def _check_treated(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["how"] not in TREATMENTS:
        return unknown("treatment", f["how"], list(TREATMENTS))
    if _days(draft) <= 0:
        return Problem(
            f"How long? A week in the freezer, or 3 hours at {told_degrees(125, 130)}.", "impossible"
        )
    return _check_known(farm, draft)


def _days(item: Draft | Entry) -> float:
    """How long a treatment took, in days."""
    return float(item.fields.get("days", 0)) + float(item.fields.get("hours", 0)) / 24


def _box_of(farm: Farm, entry: Entry) -> Box:
    box = Place(entry.fields["box"])
    return farm.boxes.setdefault(box, Box(box))


def _box(farm: Farm, entry: Entry) -> None:
    box = _box_of(farm, entry)
    box.where = entry.fields.get("where", box.where)
    box.light = entry.fields.get("light", box.light)


def _checked(farm: Farm, entry: Entry) -> None:
    checks = _box_of(farm, entry).checks
    checks.append(Look(entry.on, entry.fields["result"]))
    del checks[:-KEPT]


def _treated(farm: Farm, entry: Entry) -> None:
    treated = _box_of(farm, entry).treated
    treated.append(Treated(entry.on, entry.fields["how"], round(_days(entry), 4)))
    del treated[:-KEPT]


def _check_boxed(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["bunches"] < 1 or f["per"] < 1:
        return Problem("Boxing needs at least one bunch of at least one stem.", "impossible")
    if not Place(f["box"]).is_box:
        return Problem("Say which box, such as 'box 7'.", "unreadable")
    if f["source"] != BENCH and not Place(f["source"]).is_line:
        return Problem(f"What is {in_place(f['source'])} is not dry: hang it first.", "impossible", ("hang",))
    if problem := check_source(farm, draft, f["bunches"] * f["per"]):
        return problem
    lot = find_lot(farm, draft)
    assert lot is not None
    tests = tests_of(lot, f["source"])
    if tests and tests[-1].result != "snaps" and f["source"] != BENCH:
        was = "still bent" if tests[-1].result == "bends" else "came damp out of a box"
        return Problem(
            f"{lot.code} {was} on {day_text(tests[-1].on)}: boxed damp it molds. Test it again "
            f"('snap {lot.code}') when it snaps.",
            "impossible",
            (f"snap {lot.code}",),
        )
    grade = f.get("grade", "")
    if grade and grade not in GRADES:
        return unknown("grade", grade, list(GRADES))
    return check_alike(lot, Place(f["box"]), Holding(0, f["per"], draft.on, _boxed_form(f["source"]), grade))


def _boxed_form(source: str) -> Form:
    return "wired" if source == BENCH else "dry"


def _boxed(farm: Farm, entry: Entry) -> None:
    if lot := lot_or_matter(farm, entry):
        f = entry.fields
        stems = f["bunches"] * f["per"]
        if Place(f["source"]).is_line:
            note_dry(farm, lot, entry.on)
        take(farm, lot, f["source"], stems, entry)
        form = _boxed_form(f["source"])
        there = put(lot, f["box"], stems, entry.on, per=f["per"], form=form, grade=f.get("grade", ""))
        if form == DRY:
            enter(lot, form, stems)
        keep_days(lot, there.form, stems, entry.on)


KINDS = (
    Kind(
        "boxed",
        "boxed {bunches} of {lot}, {per} in each, from {source} into {box}[, {grade} grade]",
        needs(lot="code", source="code", box="code", bunches="count", per="count") | may(grade="code") | REF,
        _boxed,
        check=_check_boxed,
    ),
    Kind(
        "box",
        "{box}[: {where}][, in the light: {light}]",
        needs(box="code") | may(where="text", light="flag"),
        _box,
        check=_check_box,
        describes=True,
    ),
    Kind(
        "box checked",
        "looked into {box}: {result}",
        needs(box="code", result="code"),
        _checked,
        check=_check_checked,
    ),
    Kind(
        "box treated",
        "{box} {how}[ for {days} days][ for {hours} h]",
        needs(box="code", how="code") | may(days=DAYS, hours=HOURS),
        _treated,
        check=_check_treated,
    ),
)
