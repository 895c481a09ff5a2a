"""Today: the brief. Every line that asks for something can be done, or gone to, from here."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from core.page import page
from tui.lines import Standing
from tui.rows import Line, Row
from tui.views.view import View, row_bindings, strip

if TYPE_CHECKING:
    from core.brief import BedTask, Brief
    from core.door import Door
    from core.growing.bed_rows import BedRow

LOOKS = {"title": "title", "head": "head", "caution": "caution", "quiet": "quiet"}
BEFORE_A_LINE = ":  "
"""Stands before the line to write in what the brief tells a new farm."""


class Today(View):
    """The morning page."""

    VIEW = "today"
    BINDINGS = row_bindings("today")

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        brief = door.brief()
        asks = {head: list(things) for head, things in _asks(door, brief)}
        rows: list[Row] = []
        here: list[tuple[str, str, Any]] = []
        for line in page(brief, self.width):
            text = line.text
            if line.what == "head":
                here = asks.get(text.partition(" (")[0], [])
            if line.what != "item":
                rows.append(Row("", ((text, LOOKS.get(line.what, "")),)))
            elif BEFORE_A_LINE in text:
                typed = text.partition(BEFORE_A_LINE)[2].strip()
                rows.append(Row(f"write {typed}", ((text, ""),), "to write", typed))
            elif text[2:3] != " " and here:
                key, kind, value = here.pop(0)
                rows.append(Row(key, ((text, ""),), kind, value))
            else:
                rows.append(Row("", ((text, ""),)))
        return "", rows

    def detail(self, row: Row | None) -> list[Line]:
        if row is None:
            return []
        if row.kind == "to write":
            return strip(
                self.width, ("Enter puts this into the entry line: change it, Enter writes it.", "quiet")
            )
        value = row.value
        if isinstance(value, Standing):
            value = value.planting
        because = getattr(value, "because", "")
        text = because if isinstance(because, str) else "; ".join(because)
        go = "Enter: write the cut" if row.kind == "to cut" else "Enter: see it in its view"
        return strip(self.width, (f"because {text}" if text else "", ""), (go, "quiet"))


def _asks(door: Door, brief: Brief) -> Iterator[tuple[str, Iterator[tuple[str, str, Any]]]]:
    """For each section of the page its items in order: (row key, kind of row, value)."""
    trays = {r.tray: r for r in door.trays()} if brief.trays else {}
    beds = door.beds() if brief.beds else []
    yield "Trays", ((f"tray {t.tray}", "tray", trays[t.tray]) for t in brief.trays)
    yield "Beds", (_standing(beds, task) for task in brief.beds)
    yield (
        "To look at for cutting",
        ((f"cut {r.bed} {r.crop} {r.variety}", "to cut", r) for r in brief.at_stage),
    )
    yield "Shelf", ((f"hanging {r.lot} {r.line}", "hanging", r) for r in brief.shelf)
    yield "Bucket", ((f"fresh {r.lot}", "fresh", r) for r in brief.fresh)


def _standing(beds: list[BedRow], task: BedTask) -> tuple[str, str, Any]:
    for bed in beds:
        for planting in bed.plantings:
            if (bed.bed, planting.crop, planting.job) == (task.bed, task.crop, task.job) and planting.due:
                return f"planting {planting.planting} {task.job}", "planting", Standing(bed, planting)
    return f"bed {task.bed} {task.crop}", "", None
