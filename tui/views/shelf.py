"""Shelf: what hangs on each line and when it may be dry; what still stands in the bucket."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.page import FRESH_WORDS, SHELF_WORDS
from tui.rows import Column, Line, Row, because, count_of, day_text, head_line, named, table_line
from tui.views.view import View, strip

if TYPE_CHECKING:
    from core.door import Door
    from core.stems.fresh import FreshRow
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
FRESH = (
    Column("lot", 6),
    Column("in the bucket", 0),
    Column("for", 5),
    Column("stems", 5, right=True),
    Column("days", 4, right=True),
    Column("cut", 6, right=True, least=66),
    Column("", 19),
)
SHORT_WORDS = {"overdue": "overdue: test", "hanging": ""}
FRESH_SHORT = {"old": "sell or compost", "rescue": "sell or hang", "wire": "wire today"}


class Shelf(View):
    """The lines, then the bucket."""

    EMPTY = "Nothing hangs and nothing is in the bucket. Write a cut: 40 strawflower b3 dry"

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        hanging, fresh = door.shelf(), door.fresh()
        rows = [Row(f"{r.lot} {r.line}", self._hanging(r), "hanging", r) for r in hanging]
        if fresh:
            head = Row("", ((head_line(FRESH, self.width), "head"),))
            rows += [*([Row("", ())] if rows else []), head]
            rows += [Row(f"{r.lot} bucket", self._fresh(r), "fresh", r) for r in fresh]
        return head_line(HANGING, self.width) if hanging or not fresh else "", rows

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

    def _fresh(self, r: FreshRow) -> Line:
        word = FRESH_SHORT.get(r.status, FRESH_WORDS.get(r.status, ""))
        name = named(r.crop, r.variety)
        texts = (r.lot, name, r.use, str(r.stems), str(r.age_days), day_text(r.cut_on), word)
        return ((table_line(FRESH, texts, self.width), "bold" if word else ""),)

    def detail(self, row: Row) -> list[Line]:
        r = row.value
        name = named(r.crop, r.variety)
        if row.kind == "hanging":
            bunches = f" in bunches of {r.per}" if r.per else ""
            stems = count_of(r.stems, "stem")
            first = f"{r.lot} {name}: {stems}{bunches} on {r.line} since {day_text(r.hung_on)}"
            when = f"try the snap test from {day_text(r.test_from)}, dry by {day_text(r.due)} at the latest"
            if r.status == "dry":
                when = "dry: x boxes it"
            return strip(self.width, (first, "bold"), (when, ""), (because(r.because), "quiet"))
        stems = count_of(r.stems, "stem")
        first = f"{r.lot} {name}: {stems} in the bucket, cut {day_text(r.cut_on)} for {r.use}"
        return strip(self.width, (first, "bold"), (because(r.because), "quiet"))
