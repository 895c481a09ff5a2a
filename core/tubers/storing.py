"""What is written of how tubers lie in store: washed, and put away, where, in what and how warm."""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.dialect import told_degrees
from core.farm import Farm
from core.kinds import DEGREES_F, Kind, may, needs
from core.problems import Problem
from core.text import named
from core.tubers.stock import Tubers, roots_of

FREEZING_F = 32.0
WARM_F = 60.0
"""Above it what rests in store begins to grow or shrivels (common practice)."""


def check_in_store(farm: Farm, draft: Draft) -> Problem | None:
    """Why nothing can be done to it in store: none of it lies there."""
    f = draft.fields
    if any(stock.there > 0 for stock in farm.part(Tubers).of(f["crop"], f.get("variety"))):
        return None
    called, word = named(f["crop"], f.get("variety")), roots_of(farm, f["crop"])
    return Problem(f"No {called} {word} are in store: lift them or write what was bought first.", "unknown")


def _washed(farm: Farm, entry: Entry) -> None:
    for stock in farm.part(Tubers).of(entry.fields["crop"], entry.fields.get("variety")):
        if stock.there > 0:
            stock.washed_on = max(entry.on, stock.washed_on or "")
            stock.handle(entry.on)


def _too_cold_or_warm(farm: Farm, draft: Draft) -> str | None:
    degrees = draft.fields.get("cold_f")
    if degrees is None or FREEZING_F < degrees <= WARM_F:
        return None
    what = "freeze" if degrees <= FREEZING_F else "grow or shrivel"
    return f"{roots_of(farm, draft.fields['crop']).capitalize()} kept at {told_degrees(degrees)} {what}"


def _stored(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    for stock in farm.part(Tubers).of(f["crop"], f.get("variety")):
        if stock.there > 0:
            stock.stored_on, stock.stored_in, stock.stored_f = entry.on, f["where"], f.get("cold_f")
            stock.handle(entry.on)


_OF_ANY = needs(crop="text") | may(variety="text")

STORING = (
    Kind("tubers washed", "washed {crop}[ {variety}] in store", _OF_ANY, _washed, check=check_in_store),
    Kind(
        "tubers stored",
        "{crop}[ {variety}] put away: {where}[ at {cold_f}]",
        _OF_ANY | needs(where="text") | may(cold_f=DEGREES_F),
        _stored,
        check=check_in_store,
        slip=_too_cold_or_warm,
    ),
)
