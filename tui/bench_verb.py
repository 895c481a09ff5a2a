"""`shedbook bench`: what the bench has, what it can make, and what is short of an order."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from core.problems import Problem
from core.text import named, wrapped
from core.units import number, number_or_blank, plural
from tui import out
from tui.doorway import open_door
from tui.tables import table

if TYPE_CHECKING:
    from core.pieces.bench import Bench, RecipeRow
    from core.pieces.orders import Order
    from core.pieces.tracing import Trace

NOTHING = (
    "Nothing is on the bench and nothing was bought: begin with 'wire 24 L041 22g', 'bought 500 wire 22' or "
    "'recipe winter-wreath as wreath 12in'."
)


# the bench


def bench(args: Namespace) -> int:
    """The bench as it stands, or one order against it."""
    door = open_door(args)
    if args.make is not None:
        order = door.order(args.make, args.spare)
        if isinstance(order, Problem):
            return out.refuse(order)
        if args.json:
            out.as_json(order)
        else:
            out.lines(order_lines(order))
        return out.DONE
    if args.trace is not None:
        trace = door.trace(args.trace)
        if isinstance(trace, Problem):
            return out.refuse(trace)
        if args.json:
            out.as_json(trace)
        else:
            out.lines(trace_lines(trace))
        return out.DONE
    found = door.bench()
    if args.json:
        out.as_json(found)
    else:
        out.lines(bench_lines(found))
    return out.DONE


def trace_lines(trace: Trace) -> Iterator[str]:
    """What is in pieces made together, a line a lot, then the makings."""
    yield f"{trace.piece}: {trace.count} {trace.recipe}, made {trace.made_on}"
    heads = ("stems", "lot", "crop", "from", "cut", "bed", "set out", "tray", "sown")
    yield from table(
        heads,
        [
            (
                str(part.stems),
                part.lot,
                named(part.crop or "?", part.variety),
                part.source,
                part.cut_on or "",
                part.bed or "",
                part.out_on or "",
                part.tray or "",
                part.sown or "",
            )
            for part in trace.stems
        ],
    )
    if trace.makings:
        yield f"and {', '.join(f'{number(count)} {making}' for making, count in trace.makings)}"


def bench_lines(found: Bench) -> Iterator[str]:
    """The page; nothing but one sentence where the bench is bare."""
    sections = [
        (
            "To wire today",
            table(("lot", "crop", "variety", "heads", "in", "wire by", "minutes"), _to_wire(found)),
        ),
        ("Wired heads", table(("crop", "variety", "heads", "age d", "in", "wire"), _heads(found))),
        ("Pieces", table(("piece", "recipe", "on hand", "of", "age d", "min each", "lots"), _pieces(found))),
        ("Recipes", list(_recipes(found.recipes))),
        ("Makings", table(("", "makings", "left", "buy at", "wire"), _makings(found))),
    ]
    filled = [(head, lines) for head, lines in sections if lines]
    if not filled:
        yield from wrapped([NOTHING])
        return
    for head, lines in filled:
        yield head
        yield from lines
        yield ""
    yield from wrapped(f"! {caution}" for caution in found.cautions)


def _to_wire(found: Bench) -> list[tuple[object, ...]]:
    return [
        (r.lot, r.crop, r.variety, r.heads, r.place, r.wire_by, f"{r.minutes[0]} to {r.minutes[1]}")
        for r in found.to_wire
    ]


def _heads(found: Bench) -> list[tuple[object, ...]]:
    return [(r.crop, r.variety, r.heads, r.age_days, ", ".join(r.places), r.gauge) for r in found.heads]


def _pieces(found: Bench) -> list[tuple[object, ...]]:
    return [
        (r.piece, r.recipe, r.on_hand, r.made, r.age_days, number_or_blank(r.minutes_each), " ".join(r.lots))
        for r in found.pieces
    ]


def _makings(found: Bench) -> list[tuple[object, ...]]:
    return [
        (r.status, r.making, number(r.count), number_or_blank(r.reorder_at), r.says) for r in found.makings
    ]


def _recipes(rows: Iterable[RecipeRow]) -> Iterator[str]:
    for row in rows:
        size = f", {number(row.size_in)} in" if row.size_in else ""
        took = f", {number(row.minutes)} min" if row.minutes else ""
        own = f" (yours took {number(row.minutes_own)})" if row.minutes_own else ""
        yield from wrapped([f"{row.recipe}: {row.sort}{size}{took}{own}"])
        parts = ", ".join(part.text + (f" ({part.says})" if part.says else "") for part in row.parts)
        yield from wrapped([f"  {parts or 'no parts yet'}"])
        if row.can_make is not None:
            limit = f"; {row.limited_by} ends it" if row.limited_by else ""
            yield from wrapped([f"  what is there makes {row.can_make}{limit}"])
        if row.uncounted:
            yield from wrapped([f"  not counted: {', '.join(row.uncounted)}"])


# one order


def order_lines(order: Order) -> Iterator[str]:
    """What an order needs, part by part, and what is short."""
    size = f" of {number(order.size_in)} in" if order.size_in else ""
    spare = f", {number(order.spare_pct)} % spare" if order.spare_pct else ""
    took = f", about {_time(order.minutes)}" if order.minutes else ""
    yield f"{order.count} {order.recipe}{size}{spare}{took}"
    cells = [
        (
            part.text,
            "not counted" if part.there is None else number(part.there),
            number_or_blank(part.short or None),
            part.says,
        )
        for part in order.parts
    ]
    yield from table(("needs", "there", "short", "wire"), cells)
    yield from wrapped(
        f"  {part.unfit} more {part.form} {part.what} are there only for 'make ... anyway'"
        for part in order.parts
        if part.unfit
    )
    yield from wrapped([order.sentence, *order.remarks])
    yield ""
    yield from wrapped(f"! {caution}" for caution in order.cautions)


def _time(minutes: float) -> str:
    hours, left = divmod(round(minutes), 60)
    return f"{hours} h {left} min" if hours else plural(left, "minute")
