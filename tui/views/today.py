"""Today: the brief. Every line that asks for something can be done, or gone to, from here."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from core.brief import AtStage, BedTask, PlanTask, TrayTask
from core.drying.hanging import ShelfRow
from core.stems.boxes import BoxRow
from core.stems.fresh import FreshRow
from tui.lines import Standing
from tui.rows import Line, Row, because
from tui.views.view import View, strip

if TYPE_CHECKING:
    from core.door import Door
    from core.page import PageLine, Subject

LOOKS = {"title": "title", "head": "head", "caution": "caution", "quiet": "quiet"}
BEFORE_A_LINE = ":  "
"""Stands before the line to write in what the brief tells a new farm."""
GROUPS = {"Beds": "beds", "To look at for cutting": "cut"}
"""Sections whose items may speak of several things at once, and the view that shows these."""


class Today(View):
    """The morning page."""

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        rows: list[Row] = []
        section = ""
        for line in door.page(self.width):
            if line.what == "head":
                section = line.text.partition(" (")[0]
            rows.append(self._row(door, line, section))
        return "", rows

    def _row(self, door: Door, line: PageLine, section: str) -> Row:
        shown: Line = ((line.text, LOOKS.get(line.what, "")),)
        if line.subject is not None:
            return door.guard(
                "The keys of a line", partial(_row_of, door, line.subject, shown), lambda _: Row("", shown)
            )
        if line.what == "to write" and BEFORE_A_LINE in line.text:
            typed = line.text.partition(BEFORE_A_LINE)[2].strip()
            return Row(f"write {typed}", shown, "to write", typed)
        if line.what == "to buy" and not line.text.startswith(" "):
            return Row("group buy", shown, "group", "bench")
        if line.what == "item" and section in GROUPS and not line.text.startswith("    "):
            return Row(f"group {line.text[:12]}", shown, "group", GROUPS[section])
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


def _row_of(door: Door, subject: Subject, shown: Line) -> Row:
    key, kind, value = _subject(door, subject)
    return Row(key, shown, kind, value)


def _subject(door: Door, subject: Subject) -> tuple[str, str, Any]:
    """What a line speaks of: (key of its row, kind of row, value), the part after the blank being its key at home."""
    match subject:
        case PlanTask():
            return f"planned {subject.plan}", "planned", subject
        case TrayTask(tray=tray):
            return f"tray {tray}", "tray", next(r for r in door.trays() if r.tray == tray)
        case BedTask():
            return _standing(door, subject)
        case AtStage():
            return f"cut {subject.bed} {subject.crop} {subject.variety}", "to cut", subject
        case BoxRow():
            return f"box box {subject.box}", "box", subject
        case ShelfRow():
            return f"hanging {subject.lot} {subject.line}", "hanging", subject
        case FreshRow():
            return f"fresh {subject.lot} bucket", "fresh", subject


def _standing(door: Door, task: BedTask) -> tuple[str, str, Any]:
    """The planting a job is for."""
    for bed in door.beds():
        for planting in bed.plantings:
            if (bed.bed, planting.crop, planting.job) == (task.bed, task.crop, task.job) and planting.due:
                return f"planting {planting.planting}", "planting", Standing(bed, planting)
    return "", "", None
