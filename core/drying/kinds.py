"""The drying shelf: hung on a line, tried with the snap test, boxed into bunches."""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.drying.weighing import DAMP, check_weighed, note_dry, weighed
from core.farm import Farm
from core.happened import Hung, SnapTest
from core.kinds import REF, SIZE, Kind, may, needs
from core.places import FRESH_PLACES, Place, in_place
from core.problems import Problem
from core.refusals import unknown
from core.stems.kinds import (
    DRY,
    check_source,
    enter,
    find_lot,
    lot_or_matter,
    need_lot,
    put,
    take,
)
from core.usual import too_many

RESULTS = ("snaps", "bends")


def _check_hung(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if not Place(f["line"]).is_line:
        return Problem("Stems are hung on a line: say which, such as 'line 2'.", "unreadable")
    if f["source"] not in FRESH_PLACES and not Place(f["source"]).is_box:
        return Problem(
            f"What is {in_place(f['source'])} is hung or dry already; 'move' takes it to another line.",
            "impossible",
            ("move",),
        )
    if problem := check_source(farm, draft, f["stems"]):
        return problem
    lot = find_lot(farm, draft)
    assert lot is not None
    if Place(f["source"]).is_box and lot.holdings[f["source"]].form != DRY:
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
        lot.hung.append(Hung(entry.on, Place(f["line"]), f["stems"]))
        if Place(f["source"]).is_box:
            # no earlier snap speaks for what was damp in its box, and the days on that line begin anew
            lot.tests.append(SnapTest(entry.on, DAMP, Place(f["line"])))
            lot.holdings[Place(f["line"])] = there._replace(since=entry.on)
        enter(lot, there.form, f["stems"])


def _check_tested(farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["result"] not in RESULTS:
        return unknown("result", draft.fields["result"], list(RESULTS))
    lot = need_lot(farm, draft)
    if isinstance(lot, Problem):
        return lot
    if not any(place.is_line and h.stems > 0 for place, h in lot.holdings.items()):
        return Problem(f"{lot.code} has nothing hanging: there is nothing to test.", "impossible")
    return None


def _tested(farm: Farm, entry: Entry) -> None:
    if lot := lot_or_matter(farm, entry):
        lot.tests.append(SnapTest(entry.on, entry.fields["result"], Place(entry.fields.get("place", ""))))
        if entry.fields["result"] == "snaps":
            note_dry(farm, lot, entry.on)


def _weighs_too_much(farm: Farm, draft: Draft) -> str | None:
    lot = find_lot(farm, draft)
    most = max((weighing.grams for weighing in lot.weighings), default=0) if lot is not None else 0
    return too_many(draft.fields["grams"], most, f"g of {draft.fields['lot']}")


KINDS = (
    Kind(
        "hung",
        "hung {stems} of {lot} on {line}[ in bunches of {per}][, at {clock}]",
        needs(lot="code", stems="count", source="code", line="code") | may(per="count", clock="clock") | REF,
        _hung,
        check=_check_hung,
    ),
    Kind(
        "weighed",
        "weighed {lot} on {source}: {grams} g[, at {clock}]",
        needs(lot="code", source="code", grams=SIZE) | may(clock="clock") | REF,
        weighed,
        check=check_weighed,
        slip=_weighs_too_much,
    ),
    Kind(
        "tested",
        "snap test of {lot}[ on {place}]: {result}",
        needs(lot="code", result="code") | may(place="code") | REF,
        _tested,
        check=_check_tested,
    ),
)
