"""`shedbook stock`: what is on hand, how long it keeps, the boxes and the makings."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from core.text import named, wrapped
from core.units import number
from tui import out
from tui.doorway import open_door
from tui.tables import table

if TYPE_CHECKING:
    from core.boxes.kinds import BoxRow
    from core.stems.rows import StockRow

HEADS = ("lot", "crop", "on hand", "unit", "age d", "place", "grade", "now")
CSV_HEADS = ("lot", "crop", "variety", "form", "on hand", "unit", "cut on", "age d", "place", "stage", "grade",
             "boxed on", "in store d", "prime until", "discount after", "compost after", "now")  # fmt: skip
BOX_HEADS = ("box", "bunches", "stems", "stands", "", "looked into", "found", "next look")
MAKING_HEADS = ("makings", "left", "", "wire")
LIGHT = {True: "light", False: "dark"}


def stock(args: Namespace) -> int:
    """The ledger, the boxes, and the makings."""
    door = open_door(args)
    rows, boxes = door.stock(), door.boxes()
    if args.json:
        out.rows(rows, makings=door.farm.makings, boxes=boxes)
    elif args.csv:
        out.csv(CSV_HEADS, [_all_cells(row) for row in rows])
    else:
        out.lines(table(HEADS, [_cells(row) for row in rows]) or ["Nothing is on hand."])
        if boxes:
            out.lines(["", *table(BOX_HEADS, [_box_cells(box) for box in boxes])])
            out.lines(wrapped(f"  {box.box}: {box.says}" for box in boxes if box.says))
        if door.farm.makings:
            makings = [(r.making, number(r.count), r.status, r.says) for r in door.makings()]
            out.lines(["", *table(MAKING_HEADS, makings)])
    return out.DONE


def _cells(r: StockRow) -> tuple[object, ...]:
    return (r.lot, named(r.crop, r.variety), r.on_hand, r.unit, r.age_days, r.place, r.grade, _keeps(r))


def _all_cells(r: StockRow) -> tuple[object, ...]:
    return (r.lot, r.crop, r.variety, r.form, r.on_hand, r.unit, r.cut_on, r.age_days, r.place, r.stage, r.grade,
            r.boxed_on, r.store_days, r.prime_until, r.discount_after, r.compost_after, r.status)  # fmt: skip


def _box_cells(b: BoxRow) -> tuple[object, ...]:
    light = None if b.light is None else LIGHT[b.light]
    return (b.box, b.bunches, b.stems, b.where, light, b.last_check, b.last_result, b.next_check)


def _keeps(row: StockRow) -> str:
    """ "prime to 2026-10-06": what a boxed lot is now, and the last day of it."""
    last = {"prime": row.prime_until, "sell first": row.discount_after, "discount": row.compost_after}
    return f"{row.status} to {last[row.status]}" if row.status in last else row.status
