"""The wiring bench: fresh heads onto wire, and the makings that go into them, counted down."""

from __future__ import annotations

from datetime import date

from core.book.entry import Draft, Entry
from core.farm import Farm
from core.makings.kinds import check_enough, spend
from core.places import BENCH, FRESH_PLACES, in_place
from core.problems import Problem
from core.reckon.wire_gauges import gauge_text
from core.stems.kinds import check_source, enter, find_lot, lot_or_matter, put, take

GAUGES = (20, 24)
"""Thickest and thinnest wire for heads of everlastings [S02]; strawflower is wired on 20 [S33]."""
USUAL_GAUGE = 22
"""What is taken where no gauge is said (common practice)."""
FRESH_DAYS = 1
"""A head takes the wire while its base is soft: the day of the cut and the next (common practice)."""
HEADS_PER_ROLL = 70
"""Heads taped with one roll of 30 yd: about 60 to 80 (from memory)."""
TAPE = "tape"


def wire_name(gauge: int) -> str:
    """The name of a wire among the makings; one piece is a 24-inch length, doubled through the head."""
    return f"wire {gauge}"


def check_wired(farm: Farm, draft: Draft) -> Problem | None:
    """Whether those heads are there, fresh, and that wire suits them."""
    f = draft.fields
    if problem := check_source(farm, draft, f["heads"]):
        return problem
    lot = find_lot(farm, draft)
    assert lot is not None
    if lot.holdings[f["source"]].form == "wired":
        return Problem(
            f"{lot.code} {in_place(f['source'])} is on wire already: {lot.whereabouts}.",
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
        sold_by = farm.settings.wire
        if not GAUGES[0] <= f["gauge"] <= GAUGES[1]:
            return Problem(
                f"Heads want wire of {GAUGES[0]} to {GAUGES[1]} gauge ({gauge_text(GAUGES[0], sold_by)}), not "
                f"{f['gauge']}. Add 'anyway' to insist.",
                "impossible",
                tuple(f"{g}g" for g in GAUGES),
            )
    return check_enough(farm, wire_name(f["gauge"]), f["wires"])


def wired(farm: Farm, entry: Entry) -> None:
    """Heads go onto wire and lie on the bench; the wire and the tape are counted down."""
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
