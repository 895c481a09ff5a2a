"""The list of all views: those with a number key, and those that are reached from here only."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.registry import views
from tui.row_keys import Row, RowSort
from tui.table import Column
from tui.views.view import Page

if TYPE_CHECKING:
    from core.session import Session

COLUMNS = (Column("key", "key", 5), Column("says", "view"))
LISTED = RowSort("view", "On a view")


class Contents(Page):
    """Enter opens the view under the cursor."""

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        head, rows = self.table(COLUMNS, list(views().values()), LISTED, lambda view: (view.name,))
        return head, [row._replace(goes=row.id[1]) for row in rows]


VIEW = Contents
