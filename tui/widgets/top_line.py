"""The top line: the views with their number keys, the one that is open reversed, and the day."""

from __future__ import annotations

from tui.keys import VIEWS
from tui.rows import Line, Span, cells, fit
from tui.widgets.text_lines import TextLines


class TopLine(TextLines):
    """One line; the farm's name stands before the day where there is room."""

    def tell(self, view: str, day: str, farm: str) -> None:
        """Show which view is open, and on what day of which farm."""
        self.show([top_line(view, day, farm, self.size.width or 80)])


def top_line(view: str, day: str, farm: str, width: int) -> Line:
    """The views and the day on one line of `width`."""
    spans: list[Span] = []
    short = width < 75
    for n, (key, name) in enumerate(VIEWS.items(), start=1):
        label = f" {n} {name} " if not short else f" {n} {name[:2]} " if key != view else f" {n} {name} "
        spans.append((label, "chosen" if key == view else ""))
    used = sum(cells(text) for text, _ in spans)
    room = width - used - 1
    right = day
    if farm and room - len(day) - 2 >= 8:
        name = fit(farm, min(cells(farm), room - len(day) - 2)).rstrip()
        right = f"{name}  {day}"
    if room < len(right):
        right = right.removesuffix(right[-5:]) if room >= len(right) - 5 else ""
    spans.append((fit(right, max(room + 1, 0), right=True), ""))
    return tuple(spans)
