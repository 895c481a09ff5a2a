"""Wiring in a line: "wire 24 L041 22g"."""

from __future__ import annotations

from datetime import date

from core.farm import Lot
from core.fresh.lots import take_fresh_lot
from core.language.line import Line, Reading, whole
from core.language.named_places import one_place, source_of
from core.language.names import has_bed, has_lot, names_crop
from core.language.tokens import Token
from core.language.verb import LIKELY, NOT, first_or_sure
from core.language.words import is_keyword
from core.pieces.wiring import FRESH_DAYS, GAUGES, HEADS_PER_ROLL, TAPE, USUAL_GAUGE
from core.places import FRESH_PLACES, place_name
from core.reckon.wire_gauges import gauge_text


def wire(line: Line) -> Reading:
    """ "wire 24 L041 22g": heads from the bucket onto wire, one 24-inch length doubled through each.

    Two ends of nearly a foot make the stem (common practice). Tape is reckoned only where the farm counts it.
    """
    gauge = line.take_unit("gauge", "gauge")
    named = one_place(line, "place")
    lot = take_fresh_lot(line, "wire", "to wire", named if named in FRESH_PLACES else None)
    fresh = next((place for place in FRESH_PLACES if place in lot.holdings), None)
    source = named or fresh or source_of(lot, None, lambda place: place in FRESH_PLACES)
    if source not in lot.holdings:
        source_of(lot, source)
    heads = line.take_count("heads", "stems")
    heads = lot.holdings[source].stems if heads is None else heads
    gauge = USUAL_GAUGE if gauge is None else whole(gauge, "gauge")
    line.remark(gauge_text(gauge, line.farm.settings.wire))
    return line.reading(
        line.draft(
            "wired",
            lot=lot.code,
            heads=heads,
            source=source,
            gauge=gauge,
            wires=heads,
            tape=round(heads / HEADS_PER_ROLL, 3) if TAPE in line.farm.makings else None,
            insisted=_overruled(line, lot, source, gauge) if line.insists else None,
            ref=lot.made_by,
        ),
        lot=lot.code,
    )


def _overruled(line: Line, lot: Lot, source: str, gauge: int) -> str | None:
    """What she overrules by insisting: heads no more fresh, wire of another gauge; None if nothing."""
    age = (line.on - date.fromisoformat(lot.cut_on)).days
    reasons = [
        f"from {place_name(source)}" if source not in FRESH_PLACES else "",
        f"cut {age} days before" if age > FRESH_DAYS else "",
        f"{gauge} gauge" if not GAUGES[0] <= gauge <= GAUGES[1] else "",
    ]
    return ", ".join(filter(None, reasons)) or None


def claims_wire(line: Line, token: Token) -> int:
    """ "wire" is also what a cut is for: it is done where a lot and no bed, or no crop is named; and where a line
    begins with it and names a crop that waits in the bucket."""
    before = line.after(token, -1)
    is_use = before is not None and before.low in ("for", "to")  # "40 strawflower for wiring"
    if token.low == "wiring" and (has_bed(line) or (is_use and not has_lot(line))):
        return NOT
    if token.low != "wire":
        return first_or_sure(line, token)
    first = line.words[0]
    if first is not token and first.is_word and not is_keyword(first.low):
        return NOT  # "ordered 500 wire": whatever was done, it is not said by "wire"
    if any(t.unit == "gauge" for t in line.words):
        return LIKELY
    if has_bed(line):
        return NOT
    return LIKELY if has_lot(line) or not names_crop(line) or (first is token and _waits(line)) else NOT


def _waits(line: Line) -> bool:
    """Whether there is some of the crop named in the bucket or the cooler."""
    return any(
        lot.crop == line.crop and any(place in lot.holdings for place in FRESH_PLACES)
        for lot in line.farm.lots.live()
    )
