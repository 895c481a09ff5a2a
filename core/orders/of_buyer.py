"""All there is of one buyer: the orders, what is owed, and what was bought lately."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from core.farm import Farm, Lot, Piece
from core.orders.rows import OrderRow, order_rows
from core.orders.takings import open_sums, sales_of
from core.settings.sheets import farm_year, year_of
from core.text import named
from core.tubers.stock import Tubers, roots_of


class Bought(NamedTuple):
    """So many stems of a lot, or pieces, that the buyer took on that day; `cents` None where no price is known, `order`
    "" where it was none."""

    on: str
    number: int
    code: str
    what: str
    cents: int | None
    order: str
    is_lot: bool = False


class BuyerPage(NamedTuple):
    """`orders` are those still to do first, then the newest; `bought` since the farm's last year began, the newest
    first; `owed_cents` below 0 is to be given back."""

    buyer: str
    orders: tuple[OrderRow, ...]
    bought: tuple[Bought, ...]
    since: str
    owed_cents: int

    @property
    def taken_cents(self) -> int:
        """What was taken for `bought`, as far as prices are known."""
        return sum(one.cents or 0 for one in self.bought)


DONE = ("done", "cancelled")


def buyer_page(farm: Farm, buyer: str, day: date) -> BuyerPage:
    """What there is to say of a buyer, called by the whole name."""
    orders = [row for row in order_rows(farm, day, every=True) if row.buyer == buyer]
    to_do = [row for row in orders if row.status not in DONE]
    done = sorted((row for row in orders if row.status in DONE), key=lambda row: row.due_on, reverse=True)
    this = year_of(farm, day)
    bought = [
        Bought(
            sold.sale.on,
            sold.sale.number,
            sold.of.code,
            _what(sold.of),
            sold.cents,
            sold.sale.order,
            isinstance(sold.of, Lot),
        )
        for year in (this - 1, this)
        for sold in sales_of(farm, year)
        if sold.sale.who == buyer
    ]
    since = farm_year(farm, this - 1)
    bought += [
        Bought(
            deal.on,
            deal.count,
            "",
            f"{named(stock.crop, stock.variety)} {roots_of(farm, stock.crop)}",
            deal.cents,
            "",
        )
        for stock in farm.part(Tubers).all()
        for deal in stock.deals
        if deal.is_sale and deal.who == buyer and deal.on >= since.first
    ]
    return BuyerPage(
        buyer,
        (*to_do, *done),
        tuple(sorted(bought, key=lambda one: one.on, reverse=True)),
        since.name,
        sum(one.cents for one in open_sums(farm) if one.buyer == buyer),
    )


def _what(of: Lot | Piece) -> str:
    return named(of.crop, of.variety) if isinstance(of, Lot) else of.recipe
