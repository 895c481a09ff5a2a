"""Shelf: what hangs on each line and when it may be dry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.page import SHELF_WORDS
from tui.rows import Column, Line, Row, because, count_of, day_text, head_line, named, table_line
from tui.views.view import View, strip

if TYPE_CHECKING:
    from core.door import Door
    from core.stems.hanging import ShelfRow

HANGING = (
    Column("lot", 6),
    Column("crop", 0),
    Column("line", 8),
    Column("stems", 5, right=True),
    Column("days", 4, right=True),
    Column("test", 6, right=True, least=74),
    Column("due", 6, right=True, least=66),
    Column("", 17),
)
SHORT_WORDS = {"overdue": "overdue: test", "hanging": ""}


class Shelf(View):
    """By line, the oldest first."""

    EMPTY = "Nothing hangs. Hang what was cut to dry: hang L041 line 2"

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        rows = [Row(f"{r.lot} {r.line}", self._hanging(r), "hanging", r) for r in door.shelf()]
        return head_line(HANGING, self.width), rows

    def _hanging(self, r: ShelfRow) -> Line:
        word = SHORT_WORDS.get(r.status, SHELF_WORDS.get(r.status, ""))
        texts = (
            r.lot,
            named(r.crop, r.variety),
            r.line,
            str(r.stems),
            str(r.days_hung),
            day_text(r.test_from),
            day_text(r.due),
            word,
        )
        look = {"overdue": "caution", "test": "bold", "dry": "bold"}.get(r.status, "")
        return ((table_line(HANGING, texts, self.width), look),)

    def detail(self, row: Row) -> list[Line]:
        r: ShelfRow = row.value
        bunches = f" in bunches of {r.per}" if r.per else ""
        stems = count_of(r.stems, "stem")
        first = (
            f"{r.lot} {named(r.crop, r.variety)}: {stems}{bunches} on {r.line} since {day_text(r.hung_on)}"
        )
        when = f"try the snap test from {day_text(r.test_from)}, dry by {day_text(r.due)} at the latest"
        if r.status == "dry":
            when = "dry: x boxes it"
        return strip(self.width, (first, "bold"), (when, ""), (because(r.because), "quiet"))
