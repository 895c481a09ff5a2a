"""The top line: the views with their number keys, the one that is open reversed, and whose farm it is."""

from __future__ import annotations

from tui.frame_lines import top_line
from tui.widgets.text_lines import TextLines


class TopLine(TextLines):
    """One line; the farm's name stands at its end where there is room."""

    def tell(self, view: str, farm: str) -> None:
        """Show which view is open, of which farm."""
        self.show([top_line(view, farm, self.room)])
