"""The one place where views are shown: it paints the open view, and of it only the lines that changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.events import Resize
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from core.dialect import in_words
from tui.messages import PaneResized, RowMoved
from tui.phrases import MARK
from tui.table import Line
from tui.widgets.text_lines import strip_of, worded

if TYPE_CHECKING:
    from tui.row_keys import Row
    from tui.views.view import View

Painted = tuple[Line, str]
"""A line and the look of all of it."""


class Pane(Widget):
    """Shows a view: lines above, a head, the rows that fit, lines below.

    It never takes the focus, for the toolkit paints all of a widget that does: where nothing has the focus, the
    keys are the list's.
    """

    DEFAULT_CSS = "Pane { height: 1fr; width: 1fr; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.view: View | None = None
        self._painted: list[Painted] = []
        self._told: Row | None = None

    def show(self, view: View) -> None:
        """Show this view as it is now."""
        self.view = view
        self.paint()

    def paint(self) -> None:
        """Show what changed in the view."""
        old, self._painted = self._painted, self._lines()
        width = self.size.width
        for y, (before, after) in enumerate(zip(old, self._painted, strict=False)):
            if before != after:
                self.refresh(Region(0, y, width, 1))
        row = self.view.listing.row if self.view else None
        if row is not self._told:
            self._told = row
            self.post_message(RowMoved())

    def render_line(self, y: int) -> Strip:
        line, look = self._painted[y] if y < len(self._painted) else ((), "")
        return strip_of(line, self.size.width, look)

    def _lines(self) -> list[Painted]:
        """The whole pane, line by line."""
        view, height = self.view, self.size.height
        if view is None or not height:
            return []
        above, below = view.lines_above(), view.below_lines
        view.listing.fit(max(height - len(above) - below - bool(view.head), 1))
        painted: list[Painted] = [(line, "") for line in above]
        if view.head:
            painted.append((self._head(view), "head"))
        painted += self._rows(view)
        painted += [((), "")] * (height - below - len(painted))
        painted += [(line, "") for line in view.lines_below()]
        painted += [((), "")] * height
        return [(worded(line), look) for line, look in painted[:height]]

    def _head(self, view: View) -> Line:
        more = "" if view.ruled else view.listing.more
        text = (" " * MARK + view.head).ljust(self.size.width)
        return ((text[: self.size.width - len(more)] + more, ""),)

    def _rows(self, view: View) -> list[Painted]:
        listing = view.listing
        if not listing.rows:
            return [(((" " * MARK + view.EMPTY, "quiet"),), "")]
        painted: list[Painted] = []
        for i in range(listing.top, min(listing.top + listing.page, len(listing.rows))):
            here = i == listing.cursor
            mark = ">".ljust(MARK) if here else " " * MARK
            look = ("chosen" if self.has_keys else "bold") if here else ""
            row = listing.rows[i]
            if row.beside is None:
                painted.append((((mark, ""), *row.line), look))
                continue
            # of two rows on a line only the one under the cursor is marked
            left, right = ("", look) if listing.is_right else (look, "")
            marks = ("  ", mark) if listing.is_right else (mark, "  ")
            text = in_words("".join(part for part, _ in row.line))
            span = f"{marks[0]}{text:{row.at - MARK}}", left or row.line[0][1]
            beside = "".join(part for part, _ in row.beside.line)
            painted.append(((span, (f"{marks[1]}{beside}", right or row.beside.line[0][1])), ""))
        return painted

    @property
    def has_keys(self) -> bool:
        """Whether keys go to the list."""
        return self.screen.focused is None

    def move(self, how: str, step: int) -> None:
        """Do one of a listing's moves: "move", "turn" or "edge"."""
        if self.view is not None:
            getattr(self.view.listing, how)(step)
            self.paint()

    def on_resize(self, _event: Resize) -> None:
        self._painted = self._lines()
        self.refresh()
        self.post_message(PaneResized())
