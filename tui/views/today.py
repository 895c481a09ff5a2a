"""Today: the morning page. Every line that asks for something can be done, opened, or gone to, from here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from core.beds.asks import BedTask, beds_of
from core.cutting.asks import AtStage
from core.page import page
from core.plans.asks import PlanTask
from core.today import morning
from core.trays.asks import TrayTask, trays_of
from core.trays.rows import MAY_STEP
from tui.phrases import because, strip
from tui.registry import row_sort
from tui.row_keys import Row, RowKey, RowSort, Typed
from tui.subjects.beds import Standing, standings
from tui.subjects.trays import STEP_ALL
from tui.table import Line
from tui.views.view import View, by_height

if TYPE_CHECKING:
    from core.asks import PageLine, Sight
    from core.session import Session

LOOKS = {"title": "title", "head": "head", "caution": "bold", "quiet": "quiet"}
TO_WRITE = RowSort("to write", "On what is to be written")
GROUP = RowSort("group", "On several at once")
FOLD = RowSort("fold", "On what is told in short")
FRAME_LINES = 4
"""Lines of the screen that are no view's: the views above; the entry line, the news and the keys below."""


class Today(View):
    """The morning page."""

    SORTS = ("tray", "planting", "hanging", "fresh", "to cut", "planned", "box")
    JOBS = ("Weather and frost", "Cut")
    KEYS = (STEP_ALL,)

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.opened: set[str] = set()
        """The parts that are shown whole."""
        self.may_step = False
        """Whether a tray stands ready for a step."""

    @property
    def offers(self) -> tuple[RowKey, ...]:
        return self.KEYS if self.may_step else ()

    @property
    def detail_lines(self) -> int:
        return by_height(self.screen_rows, 2, 4)

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        sight = session.sight()
        found = morning(sight, session.guard)
        self.may_step = any(one.kin in MAY_STEP for one in found.asked if one.about[:1] == ("tray",))
        room = self.screen_rows - FRAME_LINES - self.below_lines
        lines = page(found, self.width, room, self.opened, session.guard)
        return "", [self._known(sight, line, n) for n, line in enumerate(lines)]

    def fold(self, name: str, session: Session) -> None:
        self.opened ^= {name}
        self.load(session)
        if name not in self.opened:
            self.listing.edge(-1)

    def _known(self, sight: Sight, line: PageLine, n: int) -> Row:
        return self.guard("The keys of a line", lambda: _row(sight, line, n), lambda _: _bare(line))

    def detail(self, row: Row) -> list[Line]:
        if row.sort is TO_WRITE:
            return strip(
                self.width, ("Enter puts this into the entry line: change it, Enter writes it.", "quiet")
            )
        if row.sort is FOLD:
            shuts = row.folds in self.opened
            return strip(
                self.width, (f"Enter: {'told in short again' if shuts else 'all of it, here'}", "quiet")
            )
        if row.sort is GROUP:
            return strip(self.width, ("Enter: see them in their view", "quiet"))
        value = row.value.planting if isinstance(row.value, Standing) else row.value
        go = "Enter: write the cut" if row.id[:1] == ("to cut",) else "Enter: see it in its view"
        return strip(self.width, (because(getattr(value, "because", "")), ""), (go, "quiet"))


VIEW = Today


def _bare(line: PageLine) -> Row:
    look = "caution" if line.is_late else LOOKS.get(line.what, "")
    return Row((), ((line.text, look),))


def _row(sight: Sight, line: PageLine, n: int) -> Row:
    """A line of the page, known as its thing is in its own view, to which Enter leads."""
    row = _one(sight, line, n)
    if line.beside is None:
        return row
    return row._replace(beside=_row(sight, line.beside, n), at=line.at)


def _one(sight: Sight, line: PageLine, n: int) -> Row:
    bare = _bare(line)
    if line.folds:
        return Row(FOLD.id(line.folds, str(n)), bare.line, FOLD, folds=line.folds)
    if line.write:
        return Row(TO_WRITE.id(line.write), bare.line, TO_WRITE, line.write, Typed(line.write))
    if line.opens:
        return Row(GROUP.id(line.opens, str(n)), bare.line, GROUP, goes=line.opens)
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
            return next(found for found in sight.once(trays_of) if found.tray == tray)
        case BedTask(planting=code) | AtStage(planting=code):
            standing = standings(sight.once(beds_of))
            return next(found for found in standing if found.planting and found.planting.planting == code)
    return row
