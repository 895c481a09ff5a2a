"""A plot in plain letters, as wide as a page; the one module that loads plotext."""

from __future__ import annotations

from typing import Any

import plotext

from core.plotted.shapes import Plotted
from core.text import PAGE, wrapped

LINES = 17
MARKS = ("#", "o", "x", "+")
LABELS_MOST = 7


def drawn(plot: Plotted) -> list[str]:
    """The plot as lines of ASCII."""
    figure: Any = plotext
    figure.clear_figure()  # it keeps one figure for the whole program
    figure.plotsize(PAGE, LINES)
    figure.theme("clear")
    figure.frame(False)
    across = list(range(1, len(plot.labels) + 1))
    told = [*zip(MARKS, plot.series, strict=False)]
    for mark, series in reversed(told) if plot.shape == "lines" else told:  # the first of lines lies on top
        if plot.shape in ("bars", "marks") and mark == MARKS[0]:
            figure.bar(across, [value or 0 for value in series.values], marker=mark, width=0.8)
        elif any(value is not None for value in series.values):
            shown = [(x, value) for x, value in zip(across, series.values, strict=True) if value is not None]
            figure.scatter([x for x, _ in shown], [value for _, value in shown], marker=mark)
    every = -(-len(across) // LABELS_MOST)
    figure.xticks(across[::every], list(plot.labels[::every]))
    figure.ylim(0, None)
    text: str = figure.uncolorize(figure.build())
    figure.clear_figure()
    marks = ", ".join(f"{mark} {series.name}" for mark, series in told)
    return [
        *wrapped([f"{plot.title} ({plot.unit}): {marks}"]),
        *(line.rstrip() for line in text.splitlines()),
    ]
