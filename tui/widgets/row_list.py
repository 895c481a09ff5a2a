"""A list whose cursor keeps its place while the rows change under it, repainting as little as it can."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tui.messages import RowMoved
from tui.rows import MARK, Line, Row
from tui.widgets.text_lines import changed_cells, strip_of


class RowList(Widget, can_focus=True):
    """Rows under a head. The cursor rests on rows that have a key; lists without any are scrolled instead."""

    DEFAULT_CSS = "RowList { height: 1fr; width: 1fr; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", show=False, priority=True),
        Binding("down", "move(1)", show=False, priority=True),
        Binding("pageup", "page(-1)", show=False, priority=True),
        Binding("pagedown,space", "page(1)", show=False, priority=True),
        Binding("home", "edge(-1)", show=False, priority=True),
        Binding("end", "edge(1)", show=False, priority=True),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.rows: Sequence[Row] = ()
        self.head = ""
        self.empty = ""
        self.cursor = -1
        self.top = 0
        self._told: tuple[Row | None, str] | None = None

    # what is shown

    @property
    def row(self) -> Row | None:
        """The row under the cursor."""
        return self.rows[self.cursor] if 0 <= self.cursor < len(self.rows) else None

    def show(self, head: str, rows: Sequence[Row], empty: str = "") -> None:
        """Show these rows; the cursor stays on its row by its key, or comes to the nearest."""
        old = [self._painted(y) for y in range(self.size.height)]
        held = self.row.key if self.row else ""
        self.head, self.rows, self.empty = head, tuple(rows), empty
        keys = [row.key for row in self.rows]
        if held and held in keys:
            self.cursor = keys.index(held)
        else:
            self.cursor = self._nearest(max(self.cursor, 0))
        self._into_view()
        self._repaint(old)
        self._tell()

    def choose(self, key: str) -> bool:
        """Put the cursor on the row with that key; whether there is one."""
        for i, row in enumerate(self.rows):
            if row.key == key:
                self._go(i)
                return True
        return False

    def render_line(self, y: int) -> Strip:
        line, look = self._painted(y)
        return strip_of(line, self.size.width, look)

    def _painted(self, y: int) -> tuple[Line, str]:
        """A screen line of the list, and the look of all of it."""
        if y == 0 and self.head:
            return self._head_line(), "head"
        i = self.top + y - self._above
        if i >= len(self.rows):
            return (((" " * MARK + self.empty, "quiet"),) if not self.rows and y == self._above else ()), ""
        row = self.rows[i]
        if i == self.cursor:
            return ((">" + " " * (MARK - 1), ""), *row.line), "chosen" if self.has_focus else "bold"
        return ((" " * MARK, ""), *row.line), ""

    @property
    def more(self) -> str:
        """Which part is shown, where not all is: " 1-14 of 32"."""
        page = self._page
        if len(self.rows) <= page or not page:
            return ""
        return f" {self.top + 1}-{min(self.top + page, len(self.rows))} of {len(self.rows)}"

    def _head_line(self) -> Line:
        more = self.more
        text = (" " * MARK + self.head).ljust(self.size.width)
        return ((text[: self.size.width - len(more)] + more, ""),)

    @property
    def _above(self) -> int:
        return 1 if self.head else 0

    @property
    def _page(self) -> int:
        return max(self.size.height - self._above, 0)

    # moving

    def action_move(self, step: int) -> None:
        if self.cursor < 0:
            self._scroll_by(step)
            return
        i = self.cursor + step
        while 0 <= i < len(self.rows) and not self.rows[i].key:
            i += step
        if 0 <= i < len(self.rows):
            self._go(i)
        else:
            self._scroll_by(step)

    def action_page(self, step: int) -> None:
        if self.cursor < 0:
            self._scroll_by(step * max(self._page - 1, 1))
        else:
            i = self.cursor + step * max(self._page - 1, 1)
            self._go(self._nearest(min(max(i, 0), len(self.rows) - 1)))

    def action_edge(self, side: int) -> None:
        if self.cursor < 0:
            self._scroll_by(side * len(self.rows))
        else:
            self._go(self._nearest(0 if side < 0 else len(self.rows) - 1))
            self._scroll_by(side * len(self.rows), keep_cursor=True)

    def _nearest(self, i: int) -> int:
        """The row nearest to `i` that the cursor may rest on, -1 where there is none."""
        may = [n for n, row in enumerate(self.rows) if row.key]
        return min(may, key=lambda n: abs(n - i)) if may else -1

    def _go(self, i: int) -> None:
        old = [self._painted(y) for y in range(self.size.height)]
        self.cursor = i
        self._into_view()
        self._repaint(old)
        self._tell()

    def _scroll_by(self, step: int, *, keep_cursor: bool = False) -> None:
        """Move what is shown; with `keep_cursor` no further than the cursor allows."""
        old = [self._painted(y) for y in range(self.size.height)]
        self.top = min(max(self.top + step, 0), max(len(self.rows) - self._page, 0))
        if keep_cursor or self.cursor >= 0:
            self._into_view()
        self._repaint(old)
        self._tell()

    def _into_view(self) -> None:
        """Scroll so that the cursor is seen: by half a page, so that few steps repaint everything."""
        page = self._page
        if not page:
            return
        last = max(len(self.rows) - page, 0)
        if self.cursor >= 0 and not self.top <= self.cursor < self.top + page:
            self.top = self.cursor - page // 2
        if self.cursor == self._nearest(0):
            self.top = 0 if self.cursor < page else self.top  # heads above the first row are seen too
        self.top = min(max(self.top, 0), last)

    # painting

    def _repaint(self, old: list[tuple[Line, str]]) -> None:
        width = self.size.width
        for y, (line, look) in enumerate(old):
            new, new_look = self._painted(y)
            if look != new_look:
                self.refresh(Region(0, y, width, 1))
            elif span := changed_cells(line, new, width):
                self.refresh(Region(span[0], y, span[1] - span[0], 1))

    def _tell(self) -> None:
        if (self.row, self.more) != self._told:
            self._told = (self.row, self.more)
            self.post_message(RowMoved(self.row))

    def _repaint_cursor(self) -> None:
        if self.cursor >= 0:
            self.refresh(Region(0, self.cursor - self.top + self._above, self.size.width, 1))

    def on_focus(self) -> None:
        self._repaint_cursor()

    def on_blur(self) -> None:
        self._repaint_cursor()

    def on_resize(self) -> None:
        self._into_view()
        self._tell()
        self.refresh()
