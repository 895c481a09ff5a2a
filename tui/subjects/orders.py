"""Orders: what is promised to whom by when, what is picked of it, and what is owed."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from core.codes import canonical
from core.field.records import minutes_by_bed
from core.measures import METERS_A_FOOT
from core.orders.rows import (
    OrderRow,
    done_text,
    money_words,
    order_page,
    order_rows,
    page_lines,
    slip,
    when_words,
)
from core.orders.takings import BY, By, TakingsRow, open_sums
from core.orders.takings import takings as takings_of
from core.problems import Problem
from core.promising.kept import kept
from core.settings.sheets import farm_year
from core.text import clean, wrapped
from core.units import YEARS, day_text, money, number_or_blank, plain_money, plural
from core.units_told import meters_or_blank
from tui import out
from tui.arguments import season
from tui.cli_session import open_session
from tui.command import Command, show_table, tell
from tui.letters import deed
from tui.out import good
from tui.parsing import add_shared
from tui.phrases import in_days, strip
from tui.row_keys import Row, RowSort, Typed, gap, words_after
from tui.subjects.field import counting
from tui.table import CSV, MONEY, SCREEN, TEXT, Column, Line, Meaning, Table, fields_as_columns, printed_table
from tui.views.view import View

if TYPE_CHECKING:
    from core.order_rows import Order
    from core.session import Session


def _owed(cents: int) -> str:
    return money(cents) if cents > 0 else f"{money(-cents)} to give back"


def _money(cents: int) -> str:
    return money(cents) if cents > 0 else ""


COLUMNS = (
    Column("order", "order", 6),
    Column("buyer", "buyer", 16),
    Column("due_on", "due", on=CSV),
    Column("due_on", "due", 6, day_text, on=SCREEN | TEXT),
    Column("in_days", "in", 8, in_days, right=True, least=60, on=SCREEN | TEXT),
    Column("in_days", "in d", on=CSV),
    Column("", "done", 25, done_text, on=SCREEN | TEXT),
    Column("status", "status", on=CSV),
    Column("asked", "asked", on=CSV),
    Column("picked", "picked", on=CSV),
    Column("short", "short", on=CSV),
    Column("handed_over", "handed over", on=CSV),
    Column("open", "open", on=CSV),
    Column("price_cents", "price", show=_money, on=TEXT),
    Column("price_cents", "price", show=plain_money, on=CSV),
    Column("owed_cents", "owed", show=_money, on=TEXT),
    Column("owed_cents", "owed", show=plain_money, on=CSV),
    Column("items", "items"),
)

ORDER = RowSort(
    "order",
    "On an order",
    (
        deed(
            "pick",
            "pick",
            "pick it; what from stands under the line",
            lambda r: Typed(f"pick {r.order}"),
        ),
        deed("short", "short", "so many will not be there", lambda r: gap("short ", f" {r.order}")),
        deed("hand", "hand over", "the buyer has it", lambda r: Typed(f"handed over {r.order}")),
        deed(
            "paid",
            "paid",
            "money came: an amount, or all that is owed",
            lambda r: gap(f"paid {r.order} "),
        ),
        deed("packed", "", "it is packed", lambda r: Typed(f"packed {r.order}")),
        deed("back", "", "what was picked, or the buyer had, is back", lambda r: Typed(f"back {r.order}")),
        deed("plan", "", "plan what is open of it", lambda r: Typed(f"plan {r.order}")),
        deed("correct", "", "what, how many, the day, the price", lambda r: words_after(f"{r.order} was ")),
    ),
    view="orders",
    page="order",
)
ROWS = (ORDER,)


# printed


def orders(args: Namespace) -> int:
    """Print the orders, those of which something is still to do or all of them."""
    session = open_session(args)
    rows = order_rows(session.farm, session.today, every=args.all)
    nothing = "No order is open. Write one: order Fern Hollow 20 bu lavender dry by 10-15 at 9"
    return show_table(args, COLUMNS, rows, nothing=nothing)


def _orders_options(orders: ArgumentParser) -> None:
    orders.add_argument("--all", action="store_true", help="those that are done or cancelled too")


def order(args: Namespace) -> int:
    """Print one order, or its packing slip."""
    session = open_session(args)
    found = good(order_called(session, args.code))
    page = order_page(session.farm, found, session.today)
    if args.slip:
        lines = slip(session.farm, page, found.next_delivery)
        if args.json:
            out.as_json({"slip": lines})
        else:
            out.lines(lines)
        return out.DONE
    return tell(args, page, wrapped(page_lines(page, kept(session.farm, session.today, found))))


def order_called(session: Session, code: str) -> Order | Problem:
    """The order of that code, in whatever way it is written."""
    found = session.farm.orders.get(canonical(code) or code)
    if found is not None:
        return found
    live = [order.code for order in session.farm.orders.live()]
    hint = f" There is {', '.join(live[-3:])}." if live else " None is open."
    return Problem(f"There is no order {clean(code)[:24]}.{hint}", "unknown", tuple(live[-3:]))


def _order_options(order: ArgumentParser) -> None:
    order.add_argument("code", metavar="CODE", help="such as O014")
    order.add_argument("--slip", action="store_true", help="the packing slip of its next delivery, as text")


# what was taken

TAKINGS = (
    Column("stems", "stems"),
    Column("pieces", "pieces"),
    Column("cents", "taken", show=money, on=SCREEN | TEXT),
    Column("cents", "taken", show=plain_money, on=CSV),
    Column("unpriced", "no price", show=lambda n: n or None),
    Column("tubers", "tubers sold", on=CSV),
    Column("spent", "spent on tubers", show=plain_money, on=CSV),
)
PER: dict[str, tuple[Column, ...]] = {
    "bed": (
        Column("feet", "feet", show=number_or_blank, metric=meters_or_blank),
        Column(
            "cents_per_foot",
            "a foot",
            show=lambda c: None if c is None else money(c),
            metric=lambda c: None if c is None else money(round(c / METERS_A_FOOT)),
            on=TEXT,
        ),
        Column("cents_per_foot", "a foot", show=plain_money, on=CSV),
    ),
    "hour": (
        Column("hours", "hours", show=number_or_blank),
        Column("cents_per_hour", "an hour", show=lambda c: None if c is None else money(c), on=TEXT),
        Column("cents_per_hour", "an hour", show=plain_money, on=CSV),
    ),
}
HEADS = {"hour": "crop", "week": "week of"}
OWED = (Column("buyer", "owes"), Column("cents", "", show=_owed), Column("orders", "for", show=", ".join))


def takings(args: Namespace) -> int:
    """Print what was taken, and by whom what is owed."""
    session = open_session(args)
    rows = takings_of(session.farm, args.by_what, args.year)
    owed = open_sums(session.farm)
    columns = (Column("of", HEADS.get(args.by_what, args.by_what)), *TAKINGS, *PER.get(args.by_what, ()))
    nothing = (
        "Nothing is written as sold: write it with its price, such as 'sold 5 L009 to corner florist at 2'."
    )

    work = _work_in_beds(session, args.year) if args.by_what == "bed" else {}

    def more() -> list[str]:
        total = f"{money(sum(row.cents for row in rows))} in all"
        besides = ", ".join(f"{bed} {minutes:g}" for bed, minutes in work.items())
        told = [total] if rows else []
        told += _of_tubers(rows)
        told += wrapped([f"Minutes of work there besides: {besides}"]) if besides else []
        return [*told, *(["", *printed_table(OWED, owed)] if owed else [])]

    if args.by_what == "bed":
        return show_table(args, columns, rows, page=more, nothing=nothing, owed=owed, work_minutes=work)
    return show_table(args, columns, rows, page=more, nothing=nothing, owed=owed)


def _of_tubers(rows: Sequence[TakingsRow]) -> list[str]:
    """What was sold and spent in tubers and bulbs; nothing where there was none."""
    sold, spent = sum(row.tubers for row in rows), sum(row.spent for row in rows)
    told = [f"{plural(sold, 'tuber or bulb', 'tubers and bulbs')} sold among them"] if sold else []
    told += [f"{money(spent)} spent on tubers and bulbs"] if spent else []
    return ["; ".join(told).capitalize()] if told else []


def _work_in_beds(session: Session, of: int | None) -> dict[str, float]:
    """Minutes of work in each bed, of a year of the farm or of all."""
    first, last = date(YEARS[0], 1, 1), session.today
    if of is not None:
        first, last = map(date.fromisoformat, farm_year(session.farm, of)[:2])
    return minutes_by_bed(counting(session, first, last))


def _takings_options(takings: ArgumentParser) -> None:
    add_shared(takings, by=False)
    takings.add_argument("--by", dest="by_what", choices=BY, default="crop", help="crop where it is not said")
    takings.add_argument("--year", metavar="YYYY", type=season, help="of that year only")


class OrderedRow(NamedTuple):
    """One thing that is to be handed over at one delivery of an order; money in cents."""

    order: str
    buyer: str
    delivery: int
    due_on: str
    item: str
    form: str
    asked: int
    picked: int
    short: int
    handed_over: int
    came_back: int
    open: int
    cents: int | None
    value_cents: int


def _ordered(session: Session) -> list[OrderedRow]:
    """Everything that was ever ordered, order by order."""
    pages = [order_page(session.farm, order, session.today) for order in session.farm.orders.all()]
    return [
        OrderedRow(
            page.row.order, page.row.buyer, delivery.delivery, delivery.due_on, item.item, item.form, item.asked,
            item.picked, item.short, item.handed_over, item.came_back, item.open, item.cents, item.value_cents,
        )
        for page in pages
        for delivery in page.deliveries
        for item in delivery.items
    ]  # fmt: skip


def _takings_table(by: By) -> Table:
    columns = (Column("of", HEADS.get(by, by)), *TAKINGS, *PER.get(by, ()))
    return Table(
        f"takings-by-{by}", columns, lambda session: takings_of(session.farm, by), f"what was taken, by {by}"
    )


TABLES = (
    Table(
        "orders",
        COLUMNS,
        lambda session: order_rows(session.farm, session.today, every=True),
        "every order, with the next of its deliveries",
        heads={"price": Meaning("what all of it comes to", MONEY)},
    ),
    Table(
        "ordered",
        (
            *fields_as_columns(*OrderedRow._fields[:-2]),
            Column("cents", "price", show=plain_money, on=CSV),
            Column("value_cents", "comes to", show=plain_money, on=CSV),
        ),
        _ordered,
        "each thing that was ordered, delivery by delivery",
        heads={"price": Meaning("of a bunch, of a stem where no bunches were ordered, or of a piece", MONEY)},
    ),
    *map(_takings_table, BY),
    Table(
        "owed",
        (OWED[0], Column("cents", "money", show=plain_money, on=CSV), OWED[2]),
        lambda session: open_sums(session.farm),
        "who owes what",
        heads={"for": Meaning("codes of the orders")},
    ),
)
COMMANDS = {
    "takings": Command(takings, _takings_options, csv=True, shared=False),
    "orders": Command(orders, _orders_options, csv=True),
    "order": Command(order, _order_options),
}


# the view


class Orders(View):
    """The orders by the day due; Enter opens one with its items and what was done of it, and shuts it again."""

    EMPTY = "No order is open. Write one: order Fern Hollow 20 bu lavender dry by 10-15 at 9"
    SORTS = ("order",)
    JOBS = ("Orders",)

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.opened: set[str] = set()

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        found = order_rows(session.farm, session.today)
        head, rows = self.table(COLUMNS, found, ORDER, lambda r: (r.order,), _look)
        return head, [line for row in rows for line in self._with_items(session, row)]

    def _with_items(self, session: Session, row: Row) -> list[Row]:
        code = row.value.order
        own = row._replace(folds=code)
        if code not in self.opened:
            return [own]
        kept = session.farm.orders.get(code)
        lines = page_lines(order_page(session.farm, kept, session.today))[1:] if kept is not None else []
        return [
            own,
            *(
                Row((), ((line, "quiet"),))
                for text in lines
                for line in wrapped([f"      {text}"], self.width)
            ),
        ]

    def fold(self, name: str, session: Session) -> None:
        self.opened ^= {name}
        self.load(session)

    def detail(self, row: Row) -> list[Line]:
        r: OrderRow = row.value
        first = f"{r.order} {r.buyer}: {when_words(r)}, {done_text(r)}"
        return strip(
            self.width,
            (first, "bold"),
            (r.items, ""),
            (money_words(r), ""),
            (f"note: {r.note}" if r.note else "", "quiet"),
        )


VIEW = Orders


def _look(r: OrderRow) -> str:
    if r.status in ("open", "picked", "packed"):
        return "caution" if r.in_days < 0 else "bold" if r.in_days <= 1 else ""
    return "quiet"
