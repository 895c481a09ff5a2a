"""`shedbook bench`: what the bench has, what it can make and what is short; `reckon wire`, `reckon wreath`, `crown`."""

from __future__ import annotations

import argparse
from argparse import Namespace
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from core.problems import Problem
from core.units import number, plural
from tui import out
from tui.arguments import number as plain_number
from tui.tables import table
from tui.verbs import _open
from tui.wrapping import wrapped

if TYPE_CHECKING:
    from core.pieces.bench import Bench, RecipeRow
    from core.pieces.orders import Order

DONE = 0
NOTHING = (
    "Nothing is on the bench and nothing was bought: begin with 'wire 24 L041 22g', 'bought 500 wire 22' or "
    "'recipe winter-wreath as wreath 12in'."
)


def add_parsers(what: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """`wire`, `wreath` and `crown` under the verb `reckon`."""

    def sub(name: str, says: str) -> argparse.ArgumentParser:
        made = what.add_parser(name, help=says, description=says[0].upper() + says[1:] + ".")
        made.set_defaults(verb=f"reckon_{name}")
        made.add_argument("--json", action="store_true", help="print JSON")
        made.add_argument("--why", action="store_true", help="the source, which is told without it too")
        return made

    sub("wire", "a gauge of wire in mm, by SWG and by AWG").add_argument(
        "gauge", metavar="GAUGE", type=_gauge
    )
    sub("wreath", "pieces and bunches for a ring").add_argument("inches", metavar="INCHES", type=_inches)
    sub("crown", "sprigs for a crown").add_argument("inches", metavar="INCHES", type=_inches)


def _gauge(text: str) -> int:
    value = plain_number(text.lower().removesuffix("g"))
    if value != int(value):
        raise argparse.ArgumentTypeError("a gauge is a whole number, such as 22")
    return int(value)


def _inches(text: str) -> float:
    return plain_number(text.lower().removesuffix("in").strip())


# the bench


def bench(args: Namespace) -> int:
    """The bench as it stands, or one order against it."""
    door = _open(args)
    if args.make is not None:
        order = door.order(args.make, args.spare)
        if isinstance(order, Problem):
            return out.refuse(order)
        if args.json:
            out.as_json(order)
        else:
            out.lines(order_lines(order))
        return DONE
    found = door.bench()
    if args.json:
        out.as_json(found)
    else:
        out.lines(bench_lines(found))
    return DONE


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
        (r.piece, r.recipe, r.on_hand, r.made, r.age_days, _maybe(r.minutes_each), " ".join(r.lots))
        for r in found.pieces
    ]


def _makings(found: Bench) -> list[tuple[object, ...]]:
    return [(r.status, r.making, number(r.count), _maybe(r.reorder_at), r.says) for r in found.makings]


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


def _maybe(value: float | None) -> str:
    return "" if value is None else number(value)


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
            _maybe(part.short or None),
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


# calculations on their own


def reckon_wire(args: Namespace) -> int:
    """A gauge by both standards."""
    from core.pieces.wire_gauges import STANDARDS, USES, gauge_text, wire_mm

    by: dict[str, float] = {}
    for standard in STANDARDS:
        mm = wire_mm(args.gauge, standard)
        if isinstance(mm, Problem):
            return out.refuse(mm)
        by[standard] = round(mm, 3)
    use = USES.get(args.gauge)
    if args.json:
        out.as_json({"gauge": args.gauge, "swg_mm": by["SWG"], "awg_mm": by["AWG"], "used_for": use})
        return DONE
    out.lines(gauge_text(args.gauge, standard) for standard in STANDARDS)
    out.lines([f"used for {use}"] if use else [])
    out.lines(wrapped(["SWG: BS 3737; AWG: 0.127 x 92^((36 - n) / 39) mm (ASTM B258)"]))
    return DONE


def reckon_wreath(args: Namespace) -> int:
    """What a ring takes."""
    from core.pieces.wreath import wreath

    found = wreath(args.inches)
    if isinstance(found, Problem):
        return out.refuse(found)
    if args.json:
        out.as_json(found)
        return DONE
    out.lines(
        [
            f"ring of {number(found.ring_in)} in, {number(found.circumference_in)} in round: "
            f"{found.pieces} main pieces",
            f"with clamps: {found.bunches} bunches of {found.pieces_per_bunch}",
        ]
    )
    out.lines(wrapped([f"because: {found.because} ({found.source})"]))
    return DONE


def reckon_crown(args: Namespace) -> int:
    """What a crown takes."""
    from core.pieces.wreath import crown

    found = crown(args.inches)
    if isinstance(found, Problem):
        return out.refuse(found)
    if args.json:
        out.as_json(found)
        return DONE
    out.lines([f"crown of {number(found.length_in)} in: {found.sprigs[0]} to {found.sprigs[1]} sprigs"])
    out.lines(wrapped([f"because: {found.because} ({found.source})"]))
    return DONE
