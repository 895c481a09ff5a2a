"""What of the stock can be picked for an item: the earliest to expire first, of what is good on the day it is due.

First the color or crop liked best, then the earliest to expire, then the earliest cut: the World Health Organization's
good distribution practices say first expired, first out. What expires on the day due counts as good on it (ours).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from core.farm import Farm, Lot
from core.fresh.good_through import good_through
from core.fresh.rows import TOO_OLD, fresh_rows
from core.order_rows import Item
from core.orders.open_items import accepts
from core.orders.picking import PIECE_PLACE
from core.pieces.taking import has_snapped
from core.places import BENCH, Holding, Place, in_place
from core.settings.sheets import farm_sheet
from core.stems.rows import keeping
from core.units import day_text

NEVER_ENDS = "9999-12-31"
"""The good-through day of what has none."""
LITTLE_LEFT = "has less left than a buyer needs"


class Pickable(NamedTuple):
    """Stems of a lot in a place, or pieces, that could be picked. `why_not` says why they had better not be, "" where
    they can; `good_through` is the last day on which they are good; `ref` the id of the entry that made them."""

    code: str
    ref: str
    place: Place
    free: int
    liking: int
    good_through: str
    since: str
    why_not: str = ""
    poor: str = ""
    """Why it is taken last of what can be picked, and told: it has little left, and goes today or never."""

    @property
    def where(self) -> str:
        """ "L035 in box 7", "M001"."""
        return f"{self.code} {in_place(self.place)}" if self.place else self.code


def pickable(farm: Farm, item: Item, due: date, day: date) -> list[Pickable]:
    """Everything that could be picked for an item, in the order in which it is; what had better not be comes last."""
    found = _pieces(farm, item) if item.form == "piece" else _stems(farm, item, due, day)
    return sorted(
        found,
        key=lambda p: (bool(p.why_not), bool(p.poor), p.liking, p.good_through, p.since, p.code, p.place),
    )


def _pieces(farm: Farm, item: Item) -> Iterator[Pickable]:
    for piece in farm.pieces.live():
        if item.recipe in (piece.recipe, piece.sort) and piece.free > 0:
            liking = int(piece.recipe != item.recipe)
            yield Pickable(
                piece.code, piece.made_by, PIECE_PLACE, piece.free, liking, NEVER_ENDS, piece.made_on
            )


def _stems(farm: Farm, item: Item, due: date, day: date) -> Iterator[Pickable]:
    liked = accepts(item)
    for lot in farm.lots.live():
        liking = next((i for i, one in enumerate(liked) if one.takes(lot.crop, lot.variety)), None)
        if liking is None or lot.cut_on > day.isoformat():
            continue
        for place, held in lot.holdings.items():
            if held.stems <= 0 or place.is_set_aside:
                continue
            good, why_not = _good_through(farm, lot, place, held, item, due, day)
            goes_now = why_not == LITTLE_LEFT and due <= day
            yield Pickable(
                lot.code,
                lot.made_by,
                place,
                held.stems,
                liking,
                good,
                lot.cut_on,
                "" if goes_now else why_not,
                LITTLE_LEFT if goes_now else "",
            )


def _good_through(
    farm: Farm, lot: Lot, place: Place, held: Holding, item: Item, due: date, day: date
) -> tuple[str, str]:
    """(last day it is good, why it will not do for the item)."""
    if place.is_fresh:
        return _fresh(farm, lot, place, item, due, day)
    if item.form == "fresh":
        return NEVER_ENDS, f"is {held.form}"
    if "wired" in (item.form, held.form) or place == BENCH:
        return NEVER_ENDS, "" if held.form == "wired" and item.form == "wired" else f"is {held.form}"
    if place.is_line:
        return NEVER_ENDS, "" if has_snapped(lot, place) else "hangs and has not snapped"
    if place.is_box:
        last = keeping(date.fromisoformat(held.since), farm_sheet(farm, lot.crop, lot.way)).compost_after
        return (
            last.isoformat(),
            "" if last >= due else f"is too long in the box by {day_text(due.isoformat())}",
        )
    return NEVER_ENDS, ""


def _fresh(farm: Farm, lot: Lot, place: Place, item: Item, due: date, day: date) -> tuple[str, str]:
    row = next(row for row in fresh_rows(farm, day, lots=[lot]) if row.place == place)
    good = good_through(row, farm_sheet(farm, lot.crop, lot.way, lot.variety), day).isoformat()
    if item.form != "fresh":
        return good, "is not dry yet" if item.form == "dry" else "is not wired yet"
    if row.status in TOO_OLD:
        return good, "is past its days in the vase"
    if lot.use != "fresh":
        return good, f"was cut to {lot.use}"
    if good < due.isoformat():
        return good, LITTLE_LEFT if due <= day else f"{LITTLE_LEFT} by {day_text(due.isoformat())}"
    return good, ""
