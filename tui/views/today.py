"""Today: the morning page. Every line that asks for something can be done, or gone to, from here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from core.beds.asks import BedTask
from core.trays.asks import TrayTask
from tui.lines import Standing
from tui.rows import Line, Row, because
from tui.views.view import View, strip

if TYPE_CHECKING:
    from core.asks import PageLine
    from core.door import Door

LOOKS = {"title": "title", "head": "head", "caution": "caution", "quiet": "quiet"}


class Today(View):
    """The morning page."""

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        return "", [self._row(door, line) for line in door.page(self.width)]

    def _row(self, door: Door, line: PageLine) -> Row:
        shown: Line = ((line.text, LOOKS.get(line.what, "")),)
        if line.about:
            return Row(" ".join(line.about), shown, line.about[0], _value(door, line))
        if line.write:
            return Row(f"write {line.write}", shown, "to write", line.write)
        if line.opens:
            return Row(f"group {line.opens}", shown, "group", line.opens)
        return Row("", shown)

    def detail(self, row: Row) -> list[Line]:
        if row.kind == "to write":
            return strip(
                self.width, ("Enter puts this into the entry line: change it, Enter writes it.", "quiet")
            )
        if row.kind == "group":
            return strip(self.width, ("Enter: see them in their view", "quiet"))
        value = row.value.planting if isinstance(row.value, Standing) else row.value
        go = "Enter: write the cut" if row.kind == "to cut" else "Enter: see it in its view"
        return strip(self.width, (because(getattr(value, "because", "")), ""), (go, "quiet"))


def _value(door: Door, line: PageLine) -> Any:
    """What the keys of a line work on: the row of its own view, where that says more."""
    match line.row:
        case TrayTask(tray=tray):
            return next((row for row in door.trays() if row.tray == tray), line.row)
        case BedTask(planting=code):
            return next(
                (Standing(bed, p) for bed in door.beds() for p in bed.plantings if p.planting == code), None
            )
    return line.row
