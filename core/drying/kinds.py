"""The drying shelf: hung on a line, tried with the snap test, boxed into bunches."""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.boxes.kinds import GRADES
from core.drying.weighing import DAMP, note_dry, tests_of
from core.farm import BENCH, BOX, FRESH_PLACES, LINE, Farm, Holding
from core.kinds import RESULTS
from core.places import in_place
from core.problems import Problem
from core.rules import Rule, unknown
from core.stems.kinds import (
    DRY,
    check_alike,
    check_lot,
    check_source,
    enter,
    find_lot,
    keep_days,
    lot_or_matter,
    put,
    take,
)


def _check_hung(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if not f["line"].startswith(LINE):
        return Problem("Stems are hung on a line: say which, such as 'line 2'.", "unreadable")
    if f["source"] not in FRESH_PLACES and not f["source"].startswith(BOX):
        return Problem(
            f"What is {in_place(f['source'])} is hung or dry already; 'move' takes it to another line.",
            "impossible",
            ("move",),
        )
    if problem := check_source(farm, draft, f["stems"]):
        return problem
    lot = find_lot(farm, draft)
    assert lot is not None
    if f["source"].startswith(BOX) and lot.holdings[f["source"]].form != DRY:
        return Problem(
            f"{lot.code} in {f['source']} is wired: heads dry standing up, out of the box.", "impossible"
        )
    there = lot.holdings.get(f["line"])
    if there and f.get("per") and there.per and there.per != f["per"]:
        return Problem(
            f"{f['line']} holds {lot.code} in bunches of {there.per}: hang these on another line, or bunch "
            "them alike.",
            "impossible",
        )
    return None


def _hung(farm: Farm, entry: Entry) -> None:
    if lot := lot_or_matter(farm, entry):
        f = entry.fields
        take(farm, lot, f["source"], f["stems"], entry)
        there = put(lot, f["line"], f["stems"], entry.on, per=f.get("per", 0))
        if f["source"].startswith(BOX):
            # no earlier snap speaks for what was damp in its box, and the days on that line begin anew
            lot.tests.append([entry.on, DAMP, f["line"]])
            lot.holdings[f["line"]] = there._replace(since=entry.on)
        enter(lot, there.form, f["stems"])


def _check_tested(farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["result"] not in RESULTS:
        return unknown("result", draft.fields["result"], list(RESULTS))
    if problem := check_lot(farm, draft):
        return problem
    lot = find_lot(farm, draft)
    assert lot is not None
    if not any(place.startswith(LINE) and h.stems > 0 for place, h in lot.holdings.items()):
        return Problem(f"{lot.code} has nothing hanging: there is nothing to test.", "impossible")
    return None


def _tested(farm: Farm, entry: Entry) -> None:
    if lot := lot_or_matter(farm, entry):
        lot.tests.append([entry.on, entry.fields["result"], entry.fields.get("place", "")])
        if entry.fields["result"] == "snaps":
            note_dry(farm, lot, entry.on)


def _check_boxed(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["bunches"] < 1 or f["per"] < 1:
        return Problem("Boxing needs at least one bunch of at least one stem.", "impossible")
    if not f["box"].startswith(BOX):
        return Problem("Say which box, such as 'box 7'.", "unreadable")
    if f["source"] != BENCH and not f["source"].startswith(LINE):
        return Problem(f"What is {in_place(f['source'])} is not dry: hang it first.", "impossible", ("hang",))
    if problem := check_source(farm, draft, f["bunches"] * f["per"]):
        return problem
    lot = find_lot(farm, draft)
    assert lot is not None
    tests = tests_of(lot, f["source"])
    if tests and tests[-1][1] != "snaps" and f["source"] != BENCH:
        was = "still bent" if tests[-1][1] == "bends" else "came damp out of a box"
        return Problem(
            f"{lot.code} {was} on {tests[-1][0]}: boxed damp it moulds. Test it again "
            f"('snap {lot.code}') when it snaps.",
            "impossible",
            (f"snap {lot.code}",),
        )
    grade = f.get("grade", "")
    if grade and grade not in GRADES:
        return unknown("grade", grade, list(GRADES))
    return check_alike(lot, f["box"], Holding(0, f["per"], draft.on, _boxed_form(f["source"]), grade))


def _boxed_form(source: str) -> str:
    return "wired" if source == BENCH else "dry"


def _boxed(farm: Farm, entry: Entry) -> None:
    if lot := lot_or_matter(farm, entry):
        f = entry.fields
        stems = f["bunches"] * f["per"]
        if f["source"].startswith(LINE):
            note_dry(farm, lot, entry.on)
        take(farm, lot, f["source"], stems, entry)
        form = _boxed_form(f["source"])
        there = put(lot, f["box"], stems, entry.on, per=f["per"], form=form, grade=f.get("grade", ""))
        if form == DRY:
            enter(lot, form, stems)
        keep_days(lot, there.form, stems, entry.on)


RULES = {
    "hung": Rule(_hung, _check_hung),
    "tested": Rule(_tested, _check_tested),
    "boxed": Rule(_boxed, _check_boxed),
}
