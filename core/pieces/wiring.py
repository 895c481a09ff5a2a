"""The wiring bench: fresh heads onto wire, and the makings that go into them, counted down."""

from __future__ import annotations

from datetime import date

from core.book.entry import Draft, Entry
from core.farm import BENCH, FRESH_PLACES, Farm
from core.pieces.wire_gauges import gauge_text
from core.problems import Problem
from core.rules import Rule
from core.stems.ledger import check_source, enter, find_lot, in_place, lot_or_matter, places_of, put, take

GAUGES = (22, 24)
"""Thickest and thinnest wire for heads of everlastings (common practice; bulletins give 20 to 24)."""
FRESH_DAYS = 1
"""A head takes the wire while its base is soft: the day of the cut and the next (common practice)."""
HEADS_PER_ROLL = 70
"""Heads taped with one roll of 30 yd: about 60 to 80 (from memory)."""
TAPE = "tape"


def wire_name(gauge: int) -> str:
    """The name of a wire among the makings; one piece is a 24-inch length, doubled through the head."""
    return f"wire {gauge}"


def _check_wired(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if problem := check_source(farm, draft, f["heads"]):
        return problem
    lot = find_lot(farm, draft)
    assert lot is not None
    if lot.holdings[f["source"]].form == "wired":
        return Problem(
            f"{lot.code} {in_place(f['source'])} is on wire already: {places_of(lot)}.",
            "impossible",
            ("box",),
        )
    age = (date.fromisoformat(draft.on) - date.fromisoformat(lot.cut_on)).days
    if not f.get("insisted"):
        if f["source"] not in FRESH_PLACES:
            return Problem(
                f"{lot.code} has hung: a dry head splits on the wire. Wire heads fresh, or add 'anyway' "
                "to insist.",
                "impossible",
                ("anyway",),
            )
        if age > FRESH_DAYS:
            return Problem(
                f"{lot.code} was cut {age} days ago: heads take the wire only while fresh. Add 'anyway' "
                "to insist.",
                "impossible",
                ("anyway",),
            )
        sold_by = farm.settings.get("wire")
        if not GAUGES[0] <= f["gauge"] <= GAUGES[1]:
            return Problem(
                f"Heads want wire of {GAUGES[0]} to {GAUGES[1]} gauge ({gauge_text(GAUGES[0], sold_by)}), not "
                f"{f['gauge']}. Add 'anyway' to insist.",
                "impossible",
                tuple(f"{g}g" for g in GAUGES),
            )
    return check_enough(farm, wire_name(f["gauge"]), f["wires"])


def check_enough(farm: Farm, making: str, count: float) -> Problem | None:
    """Whether there is `count` of a making; one that the book does not count never runs short."""
    if making not in farm.makings or farm.makings[making] >= count:
        return None
    return Problem(
        f"The book has {farm.makings[making]:g} of {making} and {count:g} are needed: count what is there "
        f"('count {count:g} {making}') or write what was bought.",
        "impossible",
    )


OVERDRAWN = "making overdrawn"
"""The sort of matter that a count settles: more went than there was."""


def spend(farm: Farm, making: str, count: float, entry: str) -> None:
    """`count` of a making goes, where the book counts it; more than there is, is a matter to settle."""
    if making not in farm.makings or not count:
        return
    farm.makings[making] = round(farm.makings[making] - count, 3)
    if farm.makings[making] < 0:
        farm.note_matter(
            f"{-farm.makings[making]:g} more of {making} went than there was: count it ('count 0 {making}'), or "
            "strike what did not happen.",
            entry,
            OVERDRAWN,
            making,
            amount=-farm.makings[making],
        )


def _wired(farm: Farm, entry: Entry) -> None:
    if lot := lot_or_matter(farm, entry):
        f = entry.fields
        take(farm, lot, f["source"], f["heads"], entry)
        there = put(lot, BENCH, f["heads"], entry.on)
        enter(lot, there.form, f["heads"])
        if f["gauge"] not in lot.gauges:
            lot.gauges.append(f["gauge"])
        if f.get("insisted"):
            lot.insisted = f["insisted"]
    spend(farm, wire_name(entry.fields["gauge"]), entry.fields["wires"], entry.id)
    spend(farm, TAPE, entry.fields.get("tape", 0), entry.id)


def _check_bought(_farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["count"] <= 0:
        return Problem("Bought makings need a number above 0.", "impossible")
    return None


def _bought(farm: Farm, entry: Entry) -> None:
    making = entry.fields["making"]
    farm.makings[making] = farm.makings.get(making, 0) + entry.fields["count"]


def _stocktake(farm: Farm, entry: Entry) -> None:
    farm.makings[entry.fields["making"]] = entry.fields["count"]
    farm.settle(OVERDRAWN, entry.fields["making"])


RULES = {
    "wired": Rule(_wired, _check_wired),
    "bought": Rule(_bought, _check_bought),
    "stocktake": Rule(_stocktake),
}
