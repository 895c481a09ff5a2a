"""Today: the brief. Every line that asks for something can be done, or gone to, from here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from core.brief import AtStage, BedTask, TrayTask
from core.page import Subject, page
from core.stems.ageing import ShelfRow
from tui.lines import Standing
from tui.rows import Line, Row, because
from tui.views.view import View, strip

if TYPE_CHECKING:
    from core.door import Door
    from core.growing.bed_rows import BedRow
    from core.growing.tray_rows import TrayRow

LOOKS = {"title": "title", "head": "head", "caution": "caution", "quiet": "quiet"}
BEFORE_A_LINE = ":  "
"""Stands before the line to write in what the brief tells a new farm."""


class Today(View):
    """The morning page."""

    VIEW = "today"

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        brief = door.brief()
        look_up = _Rows(door)
        rows: list[Row] = []
        for line in page(brief, self.width):
            if line.subject is not None:
                key, kind, value = look_up.of(line.subject)
                rows.append(Row(key, ((line.text, ""),), kind, value))
            elif line.what == "to write" and BEFORE_A_LINE in line.text:
                typed = line.text.partition(BEFORE_A_LINE)[2].strip()
                rows.append(Row(f"write {typed}", ((line.text, ""),), "to write", typed))
            else:
                rows.append(Row("", ((line.text, LOOKS.get(line.what, "")),)))
        return "", rows

    def detail(self, row: Row) -> list[Line]:
        if row.kind == "to write":
            return strip(
                self.width, ("Enter puts this into the entry line: change it, Enter writes it.", "quiet")
            )
        value = row.value
        if isinstance(value, Standing):
            value = value.planting
        go = "Enter: write the cut" if row.kind == "to cut" else "Enter: see it in its view"
        return strip(self.width, (because(getattr(value, "because", "")), ""), (go, "quiet"))


class _Rows:
    """The rows of the other views that the page's lines speak of; each view is asked for at most once."""

    def __init__(self, door: Door) -> None:
        self._door = door
        self._trays: dict[str, TrayRow] | None = None
        self._beds: list[BedRow] | None = None

    def of(self, subject: Subject) -> tuple[str, str, Any]:
        """(row key, kind of row, value) of what one line speaks of."""
        if isinstance(subject, TrayTask):
            if self._trays is None:
                self._trays = {r.tray: r for r in self._door.trays()}
            return f"tray {subject.tray}", "tray", self._trays[subject.tray]
        if isinstance(subject, BedTask):
            if self._beds is None:
                self._beds = self._door.beds()
            return _standing(self._beds, subject)
        if isinstance(subject, AtStage):
            return f"cut {subject.bed} {subject.crop} {subject.variety}", "to cut", subject
        if isinstance(subject, ShelfRow):
            return f"hanging {subject.lot} {subject.line}", "hanging", subject
        return f"fresh {subject.lot}", "fresh", subject


def _standing(beds: list[BedRow], task: BedTask) -> tuple[str, str, Any]:
    for bed in beds:
        for planting in bed.plantings:
            if (bed.bed, planting.crop, planting.job) == (task.bed, task.crop, task.job) and planting.due:
                return f"planting {planting.planting} {task.job}", "planting", Standing(bed, planting)
    return f"bed {task.bed} {task.crop}", "", None
