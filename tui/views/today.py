"""Today: the brief. Every line that asks for something can be done, or gone to, from here."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from core.beds.rows import bed_rows
from core.boxes.kinds import BoxRow
from core.brief import AtStage, BedTask, PlanTask, TrayTask, brief
from core.drying.rows import ShelfRow
from core.fresh.rows import FreshRow
from core.text_brief import page
from core.trays.rows import TrayRow, tray_rows
from tui.phrases import because, strip
from tui.registry import row_sort
from tui.row_keys import Row, RowSort, Typed
from tui.subjects.beds import Standing, standings
from tui.table import Line
from tui.views.view import View

if TYPE_CHECKING:
    from core.door import Door
    from core.text_brief import PageLine, Subject

LOOKS = {"title": "title", "head": "head", "caution": "caution", "quiet": "quiet"}
BEFORE_A_LINE = ":  "
"""Stands before the line to write in what the brief tells a new farm."""
GROUPS = {"Beds": "beds", "To look at for cutting": "cut"}
"""Sections whose items may speak of several things at once, and the view that shows these."""
TO_WRITE = RowSort("to write", "On what is to be written")
GROUP = RowSort("group", "On several at once")


class _Known(NamedTuple):
    """What the lines of the page speak of, each read once."""

    trays: dict[str, TrayRow]
    plantings: dict[str, Standing]


class Today(View):
    """The morning page."""

    SORTS = ("tray", "planting", "hanging", "fresh", "to cut", "planned", "box")
    JOBS = ("Weather and frost", "Cut")

    def rows(self, session: Door) -> tuple[str, list[Row]]:
        farm, day, by_warmth = session.farm, session.today, session.by_warmth()
        found = brief(farm, day, by_warmth, session.clock, session.clock_problem)
        known = _Known({}, {})
        if found.trays:
            known.trays.update((r.tray, r) for r in tray_rows(farm, day))
        if found.beds or found.at_stage:
            standing = standings(bed_rows(farm, day, by_warmth))
            known.plantings.update((s.planting.planting, s) for s in standing if s.planting)
        rows: list[Row] = []
        section = ""
        for line in page(found, self.width):
            if line.what == "head":
                section = line.text.partition(" (")[0]
            rows.append(_row(line, section, known))
        return "", rows

    def detail(self, row: Row) -> list[Line]:
        if row.sort is TO_WRITE:
            return strip(
                self.width, ("Enter puts this into the entry line: change it, Enter writes it.", "quiet")
            )
        if row.sort is GROUP:
            return strip(self.width, ("Enter: see them in their view", "quiet"))
        value = getattr(row.value, "planting", None) if row.id[0] in ("planting", "to cut") else row.value
        go = "Enter: write the cut" if isinstance(row.goes, Typed) else "Enter: see it in its view"
        return strip(self.width, (because(getattr(value, "because", "")), ""), (go, "quiet"))


VIEW = Today


def _row(line: PageLine, section: str, known: _Known) -> Row:
    shown: Line = ((line.text, LOOKS.get(line.what, "")),)
    if line.subject is not None:
        return _about(line.subject, shown, known)
    if line.what == "to write" and BEFORE_A_LINE in line.text:
        typed = line.text.partition(BEFORE_A_LINE)[2].strip()
        return Row(TO_WRITE.id(typed), shown, TO_WRITE, typed, Typed(typed))
    if line.what == "to buy" and not line.text.startswith(" "):
        return Row(GROUP.id("buy"), shown, GROUP, goes="bench")
    if line.what == "item" and section in GROUPS and not line.text.startswith("    "):
        return Row(GROUP.id(line.text), shown, GROUP, goes=GROUPS[section])
    return Row((), shown)


def _about(subject: Subject, shown: Line, known: _Known) -> Row:
    """The row of a line that speaks of one thing: known as it is in its own view, to which Enter leads."""
    match subject:
        case PlanTask(plan=plan):
            sort = row_sort("planned")
            return Row(row_sort("plan").id(plan), shown, sort, subject, sort.view)
        case TrayTask(tray=tray):
            return _at_home("tray", (tray,), shown, known.trays[tray])
        case BedTask(planting=planting):
            return _at_home("planting", (planting,), shown, known.plantings[planting])
        case AtStage(planting=planting):
            sort, standing = row_sort("to cut"), known.plantings[planting]
            typed = sort.keys[0].line(standing)
            assert isinstance(typed, Typed)
            return Row(sort.id(planting), shown, sort, standing, typed)
        case BoxRow(box=box):
            return _at_home("box", (box,), shown, subject)
        case ShelfRow(lot=lot, line=line):
            return _at_home("hanging", (lot, line), shown, subject)
        case FreshRow(lot=lot, place=place):
            return _at_home("fresh", (lot, place), shown, subject)


def _at_home(name: str, of: tuple[str, ...], shown: Line, value: object) -> Row:
    sort = row_sort(name)
    return Row(sort.id(*of), shown, sort, value, sort.view)
