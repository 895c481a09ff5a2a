"""Stock: every lot in every place, the oldest cut first, and the makings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.units import number
from tui.rows import Column, Line, Row, day_text, head_line, named, table_line
from tui.views.view import View, strip

if TYPE_CHECKING:
    from core.door import Door
    from core.stems.stock import StockRow

COLUMNS = (
    Column("lot", 6),
    Column("crop", 0),
    Column("form", 8, least=66),
    Column("on hand", 7, right=True),
    Column("", 7),
    Column("age", 6, right=True),
    Column("place", 9),
    Column("bed", 5, least=70),
)


class Stock(View):
    """The ledger: what is on hand."""

    EMPTY = "Nothing is on hand. Write a cut: 40 strawflower b3 dry"

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        rows = [Row(f"{r.lot} {r.place}", self._line(r), "stock", r) for r in door.stock()]
        makings = sorted(door.farm.makings.items())
        if makings:
            rows += [Row("", ()), Row("", (("makings", "head"),))]
            rows += [
                Row(f"making {name}", ((f"{number(count):>8} {name}", ""),), "making", (name, count))
                for name, count in makings
            ]
        return head_line(COLUMNS, self.width), rows

    def _line(self, r: StockRow) -> Line:
        texts = (
            r.lot,
            named(r.crop, r.variety),
            r.form,
            str(r.on_hand),
            r.unit,
            f"{r.age_days} d",
            r.place,
            r.bed,
        )
        return ((table_line(COLUMNS, texts, self.width), "caution" if r.on_hand < 0 else ""),)

    def detail(self, row: Row) -> list[Line]:
        if row.kind == "making":
            name, count = row.value
            return strip(self.width, (f"{number(count)} of {name}", "bold"))
        r: StockRow = row.value
        bunches = f" = {r.stems} stems, {r.per} in a bunch" if r.unit == "bunches" else ""
        unit = {"bunches": "bunch"}.get(r.unit, r.unit.removesuffix("s")) if r.on_hand == 1 else r.unit
        first = f"{r.lot} {named(r.crop, r.variety)}: {r.on_hand} {unit}{bunches}, {r.form}, in {r.place}"
        if r.place.startswith("line"):
            first = first.replace(f"in {r.place}", f"on {r.place}")
        cut = f"cut {day_text(r.cut_on)} from bed {r.bed}, {r.age_days} days ago"
        owed = "more went out than there was: count it" if r.on_hand < 0 else ""
        return strip(self.width, (first, "bold"), (cut, ""), (owed, "caution"))
