"""`shedbook losses`: what was lost at every hand-over and why, by the stage at the cut, and in store."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from typing import TYPE_CHECKING

from core.problems import Problem
from core.text import wrapped
from core.units import number, number_or_blank
from tui import out
from tui.doorway import open_door
from tui.tables import table

if TYPE_CHECKING:
    from core.stems.losses import Losses, LossRow

NOTHING = "Nothing is written as lost: write it with its cause, such as 'lost 6 mould L038'."
HEADS = ("crop", "hand-over", "cause", "stems", "of", "%", "lots")


def losses(args: Namespace) -> int:
    """Print the losses of all crops or of one, of the cuts of all years or of one."""
    door = open_door(args)
    found = door.losses(args.crop, args.year)
    if isinstance(found, Problem):
        return out.refuse(found)
    if args.json:
        out.rows(found.rows, hand_overs=found.hand_overs, stages=found.stages, shrink=found.shrink)
    elif args.csv:
        out.csv(HEADS, [loss_cells(row) for row in found.rows])
    else:
        out.lines(_page(found))
    return out.DONE


def _page(found: Losses) -> Iterator[str]:
    from core.stems.losses import HAND_OVERS

    if not found.rows:
        yield NOTHING
    else:
        totals = [
            (HAND_OVERS.get(row.form, row.form), row.stems, row.of, number_or_blank(row.share_pct))
            for row in found.hand_overs
        ]
        yield from table(("hand-over", "stems lost", "of", "%"), totals)
        yield ""
        yield from table(HEADS, [loss_cells(row) for row in found.rows])
    told = [row for row in found.stages if row.share_pct is not None]
    untold = [f"{row.crop} '{row.stage}' ({row.cause})" for row in found.stages if row.share_pct is None]
    if found.stages:
        yield from ("", "By the stage at the cut")
        yield from wrapped(f"  {row.crop}: {row.says}" for row in told)
        if untold:
            yield from wrapped([f"  too few lots to tell yet: {'; '.join(untold)}"])
    if found.shrink:
        yield from ("", "In store, stems")
        kept = [
            (row.crop or "all crops", row.boxed, row.lost, number(row.stem_years), row.per_year_pct)
            for row in found.shrink
            if row.per_year_pct is not None
        ]
        yield from table(("", "boxed", "lost", "times years", "% a year"), kept)
        yield from wrapped([f"  {_in_store(found)}"])


def _in_store(found: Losses) -> str:
    """What is usual, and which crops cannot be told yet."""
    from core.stems.losses import USUAL_SHRINK_PCT

    low, high = USUAL_SHRINK_PCT
    unknown = [row.crop or "all crops" for row in found.shrink if row.per_year_pct is None]
    silent = f"; too little kept, lost or counted to tell yet: {'; '.join(unknown)}" if unknown else ""
    return f"{low:g} to {high:g} % a year is usual (common practice){silent}"


def loss_cells(row: LossRow) -> tuple[object, ...]:
    """One loss under `HEADS`."""
    from core.stems.losses import HAND_OVERS

    cause = f"{row.cause}: found" if row.stems < 0 else row.cause
    return (
        row.crop,
        HAND_OVERS.get(row.form, row.form),
        cause,
        row.stems,
        row.of,
        number_or_blank(row.share_pct),
        row.lots,
    )
