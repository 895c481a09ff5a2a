"""Bench: heads to wire and wired, what could be made of what is dry, pieces on hand, makings to buy."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from core.dialect import told_size
from core.marked import with_figures
from core.pieces.bench import Bench as BenchRows
from core.pieces.bench import HeadsRow, MakingRow, PieceRow, RecipeRow, ToWireRow, bench_rows
from core.pieces.orders import Order, order_called
from core.pieces.tracing import Trace, trace_called
from core.text import named, wrapped
from core.units import day_text, number, number_or_blank, plural
from tui.arguments import number as plain_number
from tui.cli_session import open_session
from tui.command import Command, tell
from tui.letters import OF_DEED, deed
from tui.out import good
from tui.phrases import strip
from tui.row_keys import Row, RowSort, gap, words_after
from tui.subjects import makings
from tui.subjects.fresh import FRESH
from tui.subjects.makings import MAKING, about_making
from tui.table import SCREEN, TEXT, Column, Line, Meaning, Table, fields_as_columns, printed_table
from tui.views.view import View

if TYPE_CHECKING:
    from core.session import Session

NOTHING = (
    "Nothing is on the bench and nothing was bought: begin with 'wire 24 L041 22g', 'bought 500 wire 22' or "
    "'recipe winter-wreath as wreath {typed_size:12}'."
)


def _named(r: Any) -> str:
    return named(r.crop, r.variety)


def _sort(r: RecipeRow) -> str:
    return f"{r.sort} {number(r.size_in)} in" if r.size_in is not None else r.sort


def _sort_as_told(r: RecipeRow) -> str:
    return f"{r.sort} {told_size(r.size_in)}" if r.size_in is not None else r.sort


def _limit(r: RecipeRow) -> str:
    return (r.limited_by or "") if r.parts else "no parts yet"


def _minutes(least_most: tuple[int, int]) -> str:
    return f"{least_most[0]} to {least_most[1]}"


TO_WIRE_COLUMNS = (
    Column("lot", "lot", 6),
    Column("", "to wire", show=_named, on=SCREEN),
    Column("crop", "crop", on=TEXT),
    Column("variety", "variety", on=TEXT),
    Column("heads", "heads", 6, right=True),
    Column("place", "in", on=TEXT),
    Column("wire_by", "by", 7, day_text, right=True, on=SCREEN),
    Column("wire_by", "wire by", on=TEXT),
    Column("minutes", "minutes", show=_minutes, on=TEXT),
    Column("minutes", "takes about", 14, lambda m: f"{_minutes(m)} min", right=True, least=60, on=SCREEN),
)
HEADS_COLUMNS = (
    Column("", "wired heads", show=_named, on=SCREEN),
    Column("crop", "crop", on=TEXT),
    Column("variety", "variety", on=TEXT),
    Column("heads", "heads", 6, right=True),
    Column("age_days", "age", 6, lambda days: f"{days} d", right=True, on=SCREEN),
    Column("age_days", "age d", on=TEXT),
    Column("places", "in", show=", ".join, on=TEXT),
    Column("gauge", "gauge", 40, least=74, on=SCREEN),
    Column("gauge", "wire", on=TEXT),
)
RECIPE_COLUMNS = (
    Column("recipe", "recipe"),
    Column("", "sort", 12, _sort, least=60, metric=_sort_as_told),
    Column("can_make", "could make", 10, right=True),
    Column("", "limited by", 26, _limit),
)
PIECE_COLUMNS = (
    Column("piece", "piece", 6),
    Column("recipe", "recipe"),
    Column("on_hand", "on hand", 8, right=True),
    Column("made_on", "made", 7, day_text, right=True, on=SCREEN),
    Column("made", "of", on=TEXT),
    Column("age_days", "age d", on=TEXT),
    Column("minutes_each", "min each", 8, number_or_blank, right=True, least=60),
    Column("lots", "lots", show=" ".join, on=TEXT),
)
TABLES = (
    Table(
        "pieces",
        fields_as_columns(
            "piece", "recipe", "sort", "made_on", "made", "on_hand", "sold", "lost", "stems", "minutes_each"
        ),
        lambda session: bench_rows(session.farm, session.today).pieces,
        "pieces on hand",
        heads={"stems": Meaning("stems in them", "stems")},
    ),
)
TRACED = (
    Column("stems", "stems"),
    Column("lot", "lot"),
    Column("", "crop", show=lambda part: named(part.crop or "?", part.variety)),
    Column("source", "from"),
    Column("cut_on", "cut"),
    Column("bed", "bed"),
    Column("out_on", "set out"),
    Column("tray", "tray"),
    Column("sown", "sown"),
)
NEEDS = (
    Column("text", "needs"),
    Column("there", "there", show=lambda there: "not counted" if there is None else number(there)),
    Column("short", "short", show=lambda short: number_or_blank(short or None)),
    Column("says", "wire"),
)

TO_WIRE = FRESH
"""Heads to wire are a lot in the bucket, with the keys that it has there."""
RECIPE = RowSort(
    "recipe",
    "On a recipe",
    (
        deed(
            "make",
            "make",
            "make some: their parts leave the stock",
            lambda r: gap("make ", f" {r.recipe}"),
        ),
        deed(
            "part",
            "part",
            "put a part in, change it, or take it out with 0",
            lambda r: words_after(f"part {r.recipe} "),
        ),
    ),
    view="bench",
)
PIECE = RowSort(
    "piece",
    "On a piece",
    (
        deed("sold", "sold", "sold, and to whom", lambda r: gap(f"sold {r.piece} ")),
        deed("lost", "lost", "lost, with the cause", lambda r: gap(f"lost {r.piece} ")),
    ),
    view="bench",
)
HEADS = RowSort("heads", "On wired heads", view="bench")
ROWS = (RECIPE, PIECE, HEADS)


# the command


def bench(args: Namespace) -> int:
    """The bench as it stands, or one order against it, or what is in a piece."""
    session = open_session(args)
    farm, day = session.farm, session.today
    if args.make is not None:
        order = good(order_called(farm, args.make, day, args.spare))
        return tell(args, order, order_lines(order))
    if args.trace is not None:
        trace = good(trace_called(farm, args.trace))
        return tell(args, trace, trace_lines(trace))
    found = bench_rows(farm, day)
    return tell(args, found, bench_lines(found))


def _options(bench: ArgumentParser) -> None:
    bench.add_argument(
        "--make", metavar="ORDER", help='what is short for an order, such as "12 wreaths of 14 in"'
    )
    bench.add_argument("--trace", metavar="PIECES", help="what is in pieces made, back to bed and seed: M001")
    bench.add_argument(
        "--spare",
        metavar="PERCENT",
        type=plain_number,
        default=0,
        help="so many more stems, for wedding work",
    )


COMMANDS = {"bench": Command(bench, _options)}


def trace_lines(trace: Trace) -> Iterator[str]:
    """What is in pieces made together, a line a lot, then the makings."""
    yield f"{trace.piece}: {trace.count} {trace.recipe}, made {trace.made_on}"
    yield from printed_table(TRACED, trace.stems)
    if trace.makings:
        yield f"and {', '.join(f'{number(count)} {making}' for making, count in trace.makings)}"


def bench_lines(found: BenchRows) -> Iterator[str]:
    """The page; nothing but one sentence where the bench is bare."""
    sections = [
        ("To wire today", printed_table(TO_WIRE_COLUMNS, found.to_wire)),
        ("Wired heads", printed_table(HEADS_COLUMNS, found.heads)),
        ("Pieces", printed_table(PIECE_COLUMNS, found.pieces)),
        ("Recipes", list(_recipes(found.recipes))),
        ("Supplies", printed_table(makings.COLUMNS, found.makings)),
    ]
    filled = [(head, lines) for head, lines in sections if lines]
    if not filled:
        yield from wrapped([with_figures(NOTHING)])
        return
    for head, lines in filled:
        yield head
        yield from lines
        yield ""
    yield from wrapped(f"! {caution}" for caution in found.cautions)


def _recipes(rows: Iterable[RecipeRow]) -> Iterator[str]:
    for row in rows:
        size = f", {told_size(row.size_in)}" if row.size_in else ""
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


def order_lines(order: Order) -> Iterator[str]:
    """What an order needs, part by part, and what is short."""
    size = f" of {told_size(order.size_in)}" if order.size_in else ""
    spare = f", {number(order.spare_pct)} % spare" if order.spare_pct else ""
    took = f", about {_time(order.minutes)}" if order.minutes else ""
    yield f"{order.count} {order.recipe}{size}{spare}{took}"
    yield from printed_table(NEEDS, order.parts)
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


# the view


class Bench(View):
    """What must be done today first."""

    EMPTY = "Nothing is on the bench. Begin with a recipe: recipe wreath-12 as wreath {typed_size:12}"
    SORTS = ("fresh", "piece", "heads", "recipe", "making")
    JOBS = ("Pieces and supplies", "Hang, wire, box")

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        bench = bench_rows(session.farm, session.today)
        self.cautions = bench.cautions
        parts = (
            self._part(TO_WIRE_COLUMNS, bench.to_wire, TO_WIRE, lambda r: (r.lot, r.place), _pressing),
            self._part(RECIPE_COLUMNS, bench.recipes, RECIPE, lambda r: (r.recipe,)),
            self._part(PIECE_COLUMNS, bench.pieces, PIECE, lambda r: (r.piece,), _owed),
            self._part(HEADS_COLUMNS, bench.heads, HEADS, _heads_id),
            self._part(makings.COLUMNS, bench.makings, MAKING, lambda r: (r.making,), _to_buy),
        )
        rows: list[Row] = []
        for part in filter(None, parts):
            rows += [*([Row((), ())] if rows else []), *part]
        return "", rows

    def _part(
        self,
        columns: Sequence[Column],
        found: Sequence[Any],
        sort: RowSort,
        of: Callable[[Any], tuple[str, ...]],
        look: Callable[[Any], str] = lambda _row: "",
    ) -> list[Row]:
        head, rows = self.table(columns, found, sort, of, look)
        return [Row((), ((head, "head"),)), *rows] if rows else []

    # the strip below

    def detail(self, row: Row) -> list[Line]:
        about: dict[str, Callable[[Any], list[Line]]] = {
            TO_WIRE.name: self._about_wiring,
            RECIPE.name: self._about_recipe,
            PIECE.name: self._about_piece,
            HEADS.name: self._about_heads,
            MAKING.name: lambda r: about_making(r, self.width),
        }
        return about[row.id[0]](row.value)

    def _about_wiring(self, r: ToWireRow) -> list[Line]:
        first = f"{r.lot} {named(r.crop, r.variety)}: {plural(r.heads, 'head')} in the {r.place}, to be wired while "
        first += f"fresh, by {day_text(r.wire_by)}"
        return strip(self.width, (first, "bold"), (r.source, "quiet"), (self.cautions[0], "quiet"))

    def _about_recipe(self, r: RecipeRow) -> list[Line]:
        parts = "; ".join(
            f"{number(p.count)} {'' if p.form == 'making' else f'{p.form} '}{p.what}" for p in r.parts
        )
        own = f", {number(r.minutes_own)} by your own record" if r.minutes_own is not None else ""
        minutes = f", {number(r.minutes)} min{own}" if r.minutes is not None else ""
        uncounted = f"not counted: {', '.join(r.uncounted)}" if r.uncounted else ""
        return strip(
            self.width,
            (f"{r.recipe}: {_sort(r)}{minutes}", "bold"),
            (parts or f"no parts yet: {OF_DEED['part']} writes one", ""),
            (uncounted, "quiet"),
            (self.cautions[0], "quiet"),
        )

    def _about_piece(self, r: PieceRow) -> list[Line]:
        first = f"{r.piece}: {r.on_hand} of {r.made} {r.recipe} on hand, made {day_text(r.made_on)}"
        gone = f"{r.sold} sold, {r.lost} lost"
        of = f"{plural(r.stems, 'stem')} of {', '.join(r.lots)}" if r.lots else "nothing of the book's stems"
        return strip(self.width, (first, "bold"), (f"{gone}; in them {of}", ""), (self.cautions[-1], "quiet"))

    def _about_heads(self, r: HeadsRow) -> list[Line]:
        first = f"{named(r.crop, r.variety)}: {plural(r.heads, 'wired head')}, {r.gauge}"
        where = f"{', '.join(r.lots)} in {', '.join(r.places)}; the oldest cut {day_text(r.cut_on)}"
        return strip(self.width, (first, "bold"), (where, ""), (self.cautions[0], "quiet"))


VIEW = Bench


def _pressing(r: ToWireRow) -> str:
    return "bold" if r.days_left == 0 else ""


def _owed(r: PieceRow) -> str:
    return "caution" if r.on_hand < 0 else ""


def _to_buy(r: MakingRow) -> str:
    return "bold" if r.status else ""


def _heads_id(r: HeadsRow) -> tuple[str, ...]:
    return r.crop, r.variety or "", *map(str, r.gauges)
