"""A count that finds more than was ever cut."""

from __future__ import annotations

from core.farm import Lot
from core.places import Place
from core.stems.kinds import MISCOUNTED
from core.units import plural


def more_than_cut(lot: Lot, place: str, seen: int) -> str | None:
    """Why `seen` stems in that place cannot be: with what lies elsewhere and what is gone it is more than was cut."""
    held = lot.holdings.get(Place(place))
    if seen <= max(held.stems if held else 0, 0):
        return None  # no more than the book has there
    elsewhere = sum(max(held.stems, 0) for at, held in lot.holdings.items() if at != place)
    lost = sum(count for _, _, cause, count in lot.losses if cause != MISCOUNTED)
    gone = lot.sold + lot.used + lost
    if gone > lot.cut or (held and held.stems < 0):
        elsewhere = gone = (
            0  # more left than there was: the count settles that, and is held against the cut alone
        )
    over = seen + elsewhere + gone - lot.cut
    if over <= 0:
        return None
    also = [f"{gone} sold, used or lost"] if gone else []
    also += [f"{elsewhere} in other places"] if elsewhere else []
    rest = f", of which {' and '.join(also)}" if also else ""
    return (
        f"Of {lot.code} {plural(lot.cut, 'stem was', 'stems were')} cut{rest}: {seen} here is {over} too many"
    )
