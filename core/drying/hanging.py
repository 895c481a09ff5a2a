"""The lot that a line means by the drying line on which it hangs."""

from __future__ import annotations

from core.farm import Lot
from core.language.line import Line, Refused, either
from core.language.names import has_lot, take_lot
from core.places import Place, in_place


def take_hanging(line: Line, place: Place | None, what: str) -> Lot:
    """The lot named; else the one that hangs on the line named, or on any where none is. `what` is done with it, such
    as "to test"."""
    hangs = {
        p: lot.code for lot in line.farm.lots.live() for p, held in lot.holdings.items() if held.stems > 0
    }
    lines = sorted(p for p in hangs if p.is_line)
    if place is not None and place not in hangs and not has_lot(line):
        there = f": {either([f'{hangs[p]} hangs {in_place(p)}' for p in lines], 'and')}" if lines else ""
        raise Refused(f"Nothing hangs {in_place(place)} {what}{there}.", "impossible", lines)
    where = in_place(place) if place is not None else f"on a line {what}"
    return take_lot(line, lambda p, held: p == place if place is not None else p.is_line, where)
