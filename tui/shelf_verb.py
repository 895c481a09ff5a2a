"""`shedbook shelf`: what hangs, how far it has dried and by what, and what stands in the bucket."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from core.text import named, wrapped
from core.units import day_text
from tui import out
from tui.doorway import open_door
from tui.tables import share_bar, table

if TYPE_CHECKING:
    from core.drying.rows import ShelfRow
    from core.fresh.rows import FreshRow

BAR = 8
HEADS = ("line", "lot", "crop", "stems", "days", "done", "test", "dry by", "by", "now")
CSV_HEADS = ("line", "lot", "crop", "variety", "stems", "hung d", "test from", "due", "status", "dry from", "dry by",
             "by", "share", "water left", "weighings", "note", "because")  # fmt: skip
BY = {"handbook": "book", "handbook and shed air": "book, air", "weighings": "weights", "snap test": "snap"}


def shelf(args: Namespace) -> int:
    """What hangs, by line, and the bucket."""
    door = open_door(args)
    hanging, fresh = door.shelf(), door.fresh()
    if args.json:
        out.rows(hanging, bucket=fresh)
    elif args.csv:
        out.csv(CSV_HEADS, [_all_cells(row) for row in hanging])
    else:
        out.lines(table(HEADS, [_cells(row) for row in hanging]) or ["Nothing hangs."])
        out.lines(wrapped(_notes(hanging)))
        out.lines(_bucket(fresh))
        out.lines(wrapped(asks(fresh)))
    return out.DONE


def _cells(row: ShelfRow) -> tuple[object, ...]:
    crop, done = named(row.crop, row.variety), share_bar(row.share, BAR)
    return (row.line, row.lot, crop, row.stems, row.days_hung, done, day_text(row.test_from), day_text(row.dry_by),
            BY[row.speaks], row.status)  # fmt: skip


def _all_cells(row: ShelfRow) -> tuple[object, ...]:
    return (row.line, row.lot, row.crop, row.variety, row.stems, row.days_hung, row.test_from, row.due, row.status,
            row.dry_from, row.dry_by, row.speaks, row.share, row.water_left, row.weighings, row.note, row.because,
            )  # fmt: skip


def _notes(rows: Sequence[ShelfRow]) -> Iterator[str]:
    """What weighings say and ask for, a line a lot."""
    for row in rows:
        if row.speaks == "weighings":
            yield f"  {row.lot}: {row.because}"
        if row.note:
            yield f"  {row.lot}: {row.note}"


def _bucket(rows: Sequence[FreshRow]) -> list[str]:
    cells = [(r.lot, r.crop, r.variety, r.place, r.use, r.stems, r.age_days, r.status) for r in rows]
    found = table(("fresh", "crop", "variety", "in", "for", "stems", "age d", "now"), cells)
    return ["", *found] if found else []


def asks(rows: Sequence[FreshRow]) -> Iterator[str]:
    """Why something is asked of what is fresh, a line a lot; the whole of it is in `shedbook buckets`."""
    for row in rows:
        if row.status != "fresh":
            yield f"  {row.lot}: {row.because.removesuffix(f': {row.warmth}').partition('; about ')[0]}"
