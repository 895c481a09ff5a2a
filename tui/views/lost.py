"""What was lost to one cause: of which crops how much, then lot by lot."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.stems.losses import HAND_OVERS, loss_rows
from core.stems.lost_to import lost_to
from core.text import named
from core.units import dated_text
from tui.row_keys import Row, RowSort
from tui.subjects.stems import LOSSES
from tui.table import Column, printed_table
from tui.views.view import Page

if TYPE_CHECKING:
    from core.session import Session

LOST = RowSort("lost", "On what was lost", page="lot")
COLUMNS = (
    Column("lot", "lot", 6),
    Column("", "crop", show=lambda r: named(r.crop, r.variety)),
    Column("on", "day", 11, dated_text),
    Column("form", "lost at", 11, lambda form: HAND_OVERS.get(form, form)),
    Column("stems", "stems", 5, right=True),
    Column("of", "of", 5, right=True),
)


class Lost(Page):
    """Opened from the search; Enter on a lot opens its page, Esc goes back."""

    EMPTY = "Nothing is written as lost to that."
    JOBS = ("Stock",)
    cause = ""

    def speak_of(self, over: str, row: Row | None) -> None:
        if row is not None:
            self.cause = row.id[1]

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        lots = list(session.farm.lots.all())
        found = lost_to(lots, self.cause)
        if not found:
            return f"Lost to {self.cause}: Esc goes back", []
        by_crop = [row for row in loss_rows(lots) if row.cause == self.cause]
        first, *rest = printed_table(LOSSES, by_crop, self.width)
        above = [Row((), ((first, "head"),)), *(Row((), ((line, ""),)) for line in rest)]
        head, rows = self.table(COLUMNS, found, LOST, lambda r: (r.lot, r.on, r.form))
        return f"Lost to {self.cause}: Esc goes back", [
            *above,
            Row((), ()),
            Row((), ((head, "head"),)),
            *rows,
        ]


VIEW = Lost
