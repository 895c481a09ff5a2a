"""Where things are, in words: the places of the shed and what lies there, and what stands in a bed."""

from __future__ import annotations

from core.farm import BENCH, BUCKET, COOLER, LINE, Farm, Holding, Lot, Planting


def place_name(place: str) -> str:
    """ "the bucket", "line 2", "box 7", "the bench"."""
    return f"the {place}" if place in (BUCKET, COOLER, BENCH) else place


def in_place(place: str) -> str:
    """ "in the bucket", "on line 2", "in box 7", "on the bench"."""
    return f"{'on' if place.startswith(LINE) or place == BENCH else 'in'} {place_name(place)}"


def holding_text(held: Holding) -> str:
    """ "30 stems", "12 bunches of 10", "24 heads"."""
    if held.unit == "bunches":
        loose = held.stems - held.on_hand * held.per
        return f"{held.on_hand} bunches of {held.per}" + (f" and {loose} loose" if loose else "")
    return f"{held.stems} {held.unit}"


def places_of(lot: Lot) -> str:
    """ "30 stems on line 2 and 12 bunches of 10 in box 7"; empty where nothing is left."""
    return " and ".join(f"{holding_text(h)} {in_place(p)}" for p, h in lot.holdings.items() if h.stems)


def standing(farm: Farm, bed: str) -> list[Planting]:
    """The plantings that stand in a bed today, oldest first."""
    return [p for p in farm.plantings.live() if p.bed == bed]
