"""An order's own page: its items with the lots they were picked from, its money, and the plans for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.orders.rows import order_page, page_lines
from core.problems import Problem
from core.promising.kept import kept
from core.text import wrapped
from tui.row_keys import Row, RowSort
from tui.subjects.orders import ORDER, order_called
from tui.views.view import Page

if TYPE_CHECKING:
    from core.session import Session

BUYER = RowSort("buyer", "On a buyer", page="buyer")


class Order(Page):
    """Opened from the search, or from the page of its buyer; Esc goes back. Its first row has the keys of an order."""

    SORTS = ("order",)
    JOBS = ("Orders",)
    code = ""

    def speak_of(self, over: str, row: Row | None) -> None:
        if row is not None:
            self.code = row.id[1]

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        found = order_called(session, self.code)
        if isinstance(found, Problem):
            return f"{self.code}: Esc goes back", [Row((), ((found.sentence, "quiet"),))]
        page = order_page(session.farm, found, session.today)
        verdicts = session.guard(
            "Whether it can be kept", lambda: kept(session.farm, session.today, found), lambda _why: {}
        )
        first, *rest = page_lines(page, verdicts)
        buyer = f"Enter: all of {page.row.buyer}"
        return f"{page.row.order}: Esc goes back", [
            Row(ORDER.id(page.row.order), ((first, "bold"),), ORDER, page.row),
            *(Row((), ((line, ""),)) for line in wrapped(rest, self.width)),
            Row((), ()),
            Row(("buyer", page.row.buyer), ((buyer, "quiet"),), BUYER),
        ]


VIEW = Order
