"""The one place where views are shown: it paints the open view, and of it only the lines that changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.events import Resize
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tui.laid_out import LaidOut, laid_out
from tui.messages import PaneResized, RowMoved
from tui.widgets.text_lines import strip_of

if TYPE_CHECKING:
    from tui.row_keys import Row
    from tui.views.view import View


class Pane(Widget):
    """Shows a view: lines above, a head, the rows that fit, lines below.

    It never takes the focus, for the toolkit paints all of a widget that does: where nothing has the focus, the
    keys are the list's.
    """

    DEFAULT_CSS = "Pane { height: 1fr; width: 1fr; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.view: View | None = None
        self._painted: list[LaidOut] = []
        self._told: Row | None = None

    @property
    def is_yet_empty(self) -> bool:
        """Whether it has its place but nothing in it: it is laid out next."""
        return bool(self.size.height) and not self._painted

    def show(self, view: View) -> None:
        """Show this view as it is now."""
        self.view = view
        self.paint()

    def paint(self) -> None:
        """Show what changed in the view."""
        old, self._painted = self._painted, self._laid_out()
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

    def _laid_out(self) -> list[LaidOut]:
        if self.view is None:
            return []
        return laid_out(self.view, self.size.width, self.size.height, has_keys=self.has_keys)

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
        self._painted = self._laid_out()
        self.refresh()
        self.post_message(PaneResized())
