"""Today: the morning page. Every line that asks for something can be done, or gone to, from here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from core.beds.asks import BedTask, beds_of
from core.cutting.asks import AtStage
from core.plans.asks import PlanTask
from core.today import morning, page
from core.trays.asks import TrayTask
from core.trays.rows import tray_rows
from tui.phrases import because, strip
from tui.registry import row_sort
from tui.row_keys import Row, RowSort, Typed
from tui.subjects.beds import Standing, standings
from tui.table import Line
from tui.views.view import View

if TYPE_CHECKING:
    from core.asks import PageLine, Sight
    from core.session import Session

LOOKS = {"title": "title", "head": "head", "caution": "caution", "quiet": "quiet"}
TO_WRITE = RowSort("to write", "On what is to be written")
GROUP = RowSort("group", "On several at once")


class Today(View):
    """The morning page."""

    SORTS = ("tray", "planting", "hanging", "fresh", "to cut", "planned", "box")
    JOBS = ("Weather and frost", "Cut")

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        sight = session.sight()
        found = morning(sight, session.guard)
        lines = page(found, session.farm, self.width, session.guard)
        return "", [self._known(sight, line) for line in lines]

    def _known(self, sight: Sight, line: PageLine) -> Row:
        return self.guard("The keys of a line", lambda: _row(sight, line), lambda _: _bare(line))

    def detail(self, row: Row) -> list[Line]:
        if row.sort is TO_WRITE:
            return strip(
                self.width, ("Enter puts this into the entry line: change it, Enter writes it.", "quiet")
            )
        if row.sort is GROUP:
            return strip(self.width, ("Enter: see them in their view", "quiet"))
        value = row.value.planting if isinstance(row.value, Standing) else row.value
        go = "Enter: write the cut" if row.id[:1] == ("to cut",) else "Enter: see it in its view"
        return strip(self.width, (because(getattr(value, "because", "")), ""), (go, "quiet"))


VIEW = Today


def _bare(line: PageLine) -> Row:
    return Row((), ((line.text, LOOKS.get(line.what, "")),))


def _row(sight: Sight, line: PageLine) -> Row:
    """A line of the page, known as its thing is in its own view, to which Enter leads."""
    bare = _bare(line)
    if line.write:
        return Row(TO_WRITE.id(line.write), bare.line, TO_WRITE, line.write, Typed(line.write))
    if line.opens:
        return Row(GROUP.id(line.opens), bare.line, GROUP, goes=line.opens)
    if not line.about:
        return bare
    is_plan = isinstance(line.row, PlanTask)
    sort, value = row_sort("planned" if is_plan else line.about[0]), _value(sight, line.row)
    if isinstance(line.row, AtStage):
        typed = sort.keys[0].line(value)
        assert isinstance(typed, Typed)
        return Row(line.about, bare.line, sort, value, typed)
    return Row(line.about, bare.line, sort, value, sort.view)


def _value(sight: Sight, row: Any) -> Any:
    """What the keys of a line work on: the row of its own view, where that says more."""
    match row:
        case TrayTask(tray=tray):
            return next(found for found in sight.once(_trays) if found.tray == tray)
        case BedTask(planting=code) | AtStage(planting=code):
            standing = standings(sight.once(beds_of))
            return next(found for found in standing if found.planting and found.planting.planting == code)
    return row


def _trays(sight: Sight) -> Any:
    return tray_rows(sight.farm, sight.day)
