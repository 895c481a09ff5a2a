"""The top line: the views with their number keys, the one that is open reversed, and whose farm it is."""

from __future__ import annotations

from collections.abc import Mapping

from tui.registry import NUMBER_KEYS, views
from tui.table import Line, Span, cells, fit
from tui.widgets.text_lines import TextLines

FARM_LEAST = 8
"""Columns that a longer farm's name is cut to at the least; with fewer it is left out."""


class TopLine(TextLines):
    """One line; the farm's name stands at its end where there is room."""

    def tell(self, view: str, farm: str) -> None:
        """Show which view is open, of which farm."""
        self.show([top_line(view, farm, self.size.width or 80)])


def top_line(view: str, farm: str, width: int) -> Line:
    """The views with a number, and the open one unless only those fit, on one line of `width`.

    Where they do not fit only the open one has its whole name.
    """
    listed = views()
    labels = {name: f"{v.key} {v.says}" for name, v in listed.items() if v.key in [*NUMBER_KEYS]}
    if view in listed and view not in labels:
        more = {**labels, view: f"{listed[view].key} {listed[view].says}".strip()}
        if _wide(labels) > width or _wide(more) <= width:
            labels = more
    if _wide(labels) > width:
        labels = {key: label if key == view else label[:4] for key, label in labels.items()}
    if _wide(labels) > width:
        labels = {key: label if key == view else label[:1] for key, label in labels.items()}
    spans: list[Span] = []
    for key, label in labels.items():
        spans += [(" ", ""), (label, "chosen" if key == view else "")]
    room = max(width - sum(cells(text) for text, _ in spans), 0)
    if farm and room - 3 >= min(cells(farm), FARM_LEAST):
        spans.append((fit(fit(farm, min(cells(farm), room - 3)).rstrip(), room, right=True), ""))
    else:
        spans.append((" " * room, ""))
    return tuple(spans)


def _wide(labels: Mapping[str, str]) -> int:
    return sum(len(label) + 1 for label in labels.values())
