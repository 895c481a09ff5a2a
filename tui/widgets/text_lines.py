"""A few lines of text that paint only those that changed."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tui.laid_out import worded
from tui.styles import STYLES
from tui.table import Line


def strip_of(line: Line, width: int, look: str = "") -> Strip:
    """The line, `width` cells wide, its spans in their looks over `look`."""
    under = STYLES[look]
    segments = [Segment(text, under + STYLES[span]) for text, span in line if text]
    return Strip(segments).adjust_cell_length(width, under)


class TextLines(Widget):
    """Lines of text on the toolkit's line API; `show` repaints what differs and nothing else."""

    DEFAULT_CSS = "TextLines { height: 1; width: 1fr; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.lines: Sequence[Line] = ()

    def show(self, lines: Sequence[Line]) -> None:
        """Show these lines from now on."""
        old, self.lines = self.lines, tuple(map(worded, lines))
        width = self.size.width
        if not width:
            return
        for y in range(max(len(old), len(self.lines))):
            if (old[y] if y < len(old) else ()) != self._at(y):
                self.refresh(Region(0, y, width, 1))

    @property
    def room(self) -> int:
        """Columns there are, or will be: a key may come before all of it has its place."""
        return self.size.width or self.app.size.width

    @property
    def text(self) -> str:
        """What is shown, as plain text."""
        return "\n".join("".join(text for text, _ in line) for line in self.lines)

    def render_line(self, y: int) -> Strip:
        return strip_of(self._at(y), self.size.width)

    def _at(self, y: int) -> Line:
        return self.lines[y] if y < len(self.lines) else ()
