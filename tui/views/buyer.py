"""A buyer's own page: what is owed, the orders, and what was bought lately."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.orders.of_buyer import Bought, buyer_page
from core.units import dated_text, money
from tui.row_keys import Row, RowSort
from tui.subjects.orders import COLUMNS as ORDERS
from tui.subjects.orders import ORDER
from tui.table import Column
from tui.views.view import Page

if TYPE_CHECKING:
    from core.session import Session

BOUGHT = RowSort("bought", "On what was bought", page="lot")
OTHER = RowSort("bought", "On what was bought")
"""Of what has no page of its own."""
COLUMNS = (
    Column("on", "day", 11, dated_text),
    Column("number", "number", 6, right=True),
    Column("code", "of", 6),
    Column("what", "what"),
    Column("cents", "for", 9, lambda cents: "" if cents is None else money(cents), right=True),
    Column("order", "order", 5, least=70),
)


class Buyer(Page):
    """Opened from the search or from an order's page; Esc goes back."""

    SORTS = ("order",)
    JOBS = ("Orders",)
    name = ""

    def speak_of(self, over: str, row: Row | None) -> None:
        if row is not None:
            self.name = row.id[1]

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        page = buyer_page(session.farm, self.name, session.today)
        owed = page.owed_cents
        open_now = f"{money(abs(owed))} {'owed' if owed > 0 else 'to give back'}" if owed else "nothing owed"
        taken = f"{money(page.taken_cents)} taken" if page.bought else "nothing bought"
        rows = [Row((), ((f"{open_now}, {taken} since {page.since} began", "bold" if owed else ""),))]
        if page.orders:
            head, orders = self.table(ORDERS, page.orders, ORDER, lambda r: (r.order,))
            rows += [Row((), ()), Row((), ((head, "head"),)), *orders]
        if page.bought:
            head, bought = self.table(COLUMNS, page.bought, BOUGHT, _of)
            rows += [Row((), ()), Row((), ((head, "head"),))]
            rows += [row if row.value.is_lot else row._replace(is_a=OTHER) for row in bought]
        return f"{self.name}: Esc goes back", rows


VIEW = Buyer


def _of(one: Bought) -> tuple[str, ...]:
    return one.code, one.on, one.order, str(one.number)
