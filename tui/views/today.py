"""Today: the morning page. Every line that asks for something can be done, opened, or gone to, from here."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from core.asks import Asked
from core.page import page
from core.today import morning, row_of
from core.trays import MAY_STEP
from tui.letters import STEP_ALL
from tui.phrases import because, strip
from tui.row_keys import Row, RowKey, RowSort, Typed
from tui.table import Line
from tui.views.view import View, by_height

if TYPE_CHECKING:
    from datetime import date

    from core.asks import PageLine, Sight
    from core.session import Session

LOOKS = {"title": "title", "head": "head", "caution": "bold", "quiet": "quiet"}
TO_WRITE = RowSort("to write", "On what is to be written")
GROUP = RowSort("group", "On several at once")
FOLD = RowSort("fold", "On what is told in short")
FRAME_LINES = 4
"""Lines of the screen that are no view's: the views above; the entry line, the news and the keys below."""


TO_CUT = "to cut"
"""What Enter begins a cut of."""
SORT_HERE = {"plan": "planned"}
"""What is of another sort here, where it asks for something, than in its own view."""


class Today(View):
    """The morning page, as it is told; what a line speaks of is reckoned when a key asks for it."""

    SORTS = ("tray", "planting", "hanging", "fresh", "to cut", "planned", "box")
    JOBS = ("Weather and frost", "Cut")
    KEYS = (STEP_ALL,)

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.opened: set[str] = set()
        """The parts that are shown whole."""
        self.before_reading: Callable[[], None] = _nothing
        """Called before the book is asked, each time."""
        self._sight: Sight | None = None
        self.by_clock = True
        """Whether anything that is told hangs on the time of day."""
        self.may_step = False
        """Whether a tray stands ready for a step."""

    @property
    def day(self) -> date:
        """Of which day it tells."""
        assert self._sight is not None
        return self._sight.day

    @property
    def is_as_at_start(self) -> bool:
        """Whether the next start would tell the same, from the same book on the same day."""
        has_all = self._sight is not None and self._sight.clock_problem is None and not self.guard.has_caught
        return has_all and not self.stale and not self.opened

    @property
    def offers(self) -> tuple[RowKey, ...]:
        return self.KEYS if self.may_step else ()

    @property
    def detail_lines(self) -> int:
        return by_height(self.screen_rows, 2, 4)

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        self.before_reading()
        self._sight = session.sight()
        found = morning(self._sight, session.guard, as_told=True)
        self.by_clock = found.by_clock
        self.may_step = any(one.kin in MAY_STEP for one in found.asked if one.about[:1] == ("tray",))
        room = self.screen_rows - FRAME_LINES - self.below_lines
        lines = page(found, self.width, room, self.opened, session.guard)
        return "", [self._known(line, n) for n, line in enumerate(lines)]

    def fold(self, name: str, session: Session) -> None:
        self.opened ^= {name}
        self.load(session)
        if name not in self.opened:
            self.listing.edge(-1)

    def _known(self, line: PageLine, n: int) -> Row:
        return self.guard("The keys of a line", lambda: _row(line, n), lambda _: _bare(line))

    def value(self, row: Row) -> Any:
        sight, asked = self._sight, row.value
        if sight is None or not isinstance(asked, Asked):
            return asked
        from tui.views.today_values import value_of  # only where a key asks for what a line speaks of

        return self.guard("The keys of a line", lambda: value_of(sight, row_of(asked, sight)), lambda _: None)

    def goes(self, row: Row) -> str | Typed | RowKey:
        if row.sort is None or not isinstance(row.value, Asked):
            return row.goes
        return row.sort.keys[0] if row.id[0] == TO_CUT else row.sort.view

    def detail(self, row: Row) -> list[Line]:
        if row.is_a is TO_WRITE:
            return strip(
                self.width, ("Enter puts this into the entry line: change it, Enter writes it.", "quiet")
            )
        if row.is_a is FOLD:
            shuts = row.folds in self.opened
            return strip(
                self.width, (f"Enter: {'told in short again' if shuts else 'all of it, here'}", "quiet")
            )
        if row.is_a is GROUP:
            return strip(self.width, ("Enter: see them in their view", "quiet"))
        go = "Enter: write the cut" if row.id[:1] == (TO_CUT,) else "Enter: see it in its view"
        return strip(self.width, (because(row.value.because if row.value else ""), ""), (go, "quiet"))


VIEW = Today


def _nothing() -> None:
    pass


def _bare(line: PageLine) -> Row:
    look = "caution" if line.is_late else LOOKS.get(line.what, "")
    return Row((), ((line.text, look),))


def _row(line: PageLine, n: int) -> Row:
    """A line of the page, known as its thing is in its own view, to which Enter leads."""
    row = _one(line, n)
    if line.beside is None:
        return row
    return row._replace(beside=_row(line.beside, n), at=line.at)


def _one(line: PageLine, n: int) -> Row:
    bare = _bare(line)
    if line.folds:
        return Row(FOLD.id(line.folds, str(n)), bare.line, FOLD, folds=line.folds)
    if line.write:
        return Row(TO_WRITE.id(line.write), bare.line, TO_WRITE, line.write, Typed(line.write))
    if line.opens:
        return Row(GROUP.id(line.opens, str(n)), bare.line, GROUP, goes=line.opens)
    if not line.about:
        return bare
    return Row(line.about, bare.line, SORT_HERE.get(line.about[0], line.about[0]), line.asked)
