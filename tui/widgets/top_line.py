"""The top line: the views with their number keys, the one that is open reversed, and the day."""

from __future__ import annotations

from tui.keys import VIEWS
from tui.rows import Line, Span, cells, fit
from tui.widgets.text_lines import TextLines

SHORT_BELOW = 74
"""Columns under which only the open view is called by its whole name."""


FARM_LEAST = 8
"""Columns that a longer farm's name is cut to at the least; with fewer it is left out."""


class TopLine(TextLines):
    """One line; the farm's name stands before the day where there is room."""

    def tell(self, view: str, day: str, farm: str) -> None:
        """Show which view is open, and on what day of which farm."""
        self.show([top_line(view, day, farm, self.size.width or 80)])


def top_line(view: str, day: str, farm: str, width: int) -> Line:
    """The views and the day on one line of `width`."""
    short = width < SHORT_BELOW
    spans: list[Span] = []
    for n, (key, name) in enumerate(VIEWS.items(), start=1):
        label = f"{n} {name[:2] if short and key != view else name}"
        spans += [(" ", ""), (label, "chosen" if key == view else "")]
    room = max(width - sum(cells(text) for text, _ in spans), 0)
    left = room - cells(day) - 3
    right = (
        f"{fit(farm, min(cells(farm), left)).rstrip()}  {day}"
        if farm and left >= min(cells(farm), FARM_LEAST)
        else day
    )
    spans.append((fit(right, room, right=True) if cells(right) < room else "", ""))
    return tuple(spans)
