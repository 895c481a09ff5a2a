"""The drying of one bunch as rows of plain characters: what it weighed, the curve through it, where it ends.

Only ASCII, so that it stands on any terminal.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from core.reckon.drying.faults import Weighing
from core.reckon.drying.fit import DryingFit
from core.units import short_day

WEIGHED, CURVE, END, DRY = "o", ".", "-", "|"
KEY = "o weighed"
KEY_OF_CURVE = "o weighed   . by the curve   - where it ends   | about dry"
_LEFT = 7
"""Columns for the grams."""


def drying_plot(
    weighings: Sequence[Weighing],
    start: datetime,
    found: DryingFit | None = None,
    *,
    width: int = 76,
    height: int = 12,
) -> tuple[str, ...]:
    """Rows of at most `width` characters, the key last; none for no weighing. `start` is the instant of hour 0.

    Where the weights date nothing yet the curve goes no further than twice the time weighed.
    """
    if not weighings:
        return ()
    columns, rows = max(width - _LEFT - 1, 20), max(height, 5)
    last = max(weighings[-1].hours, 24.0)
    end = last
    if found is not None:
        end = max(last, min(found.reckoned_hours * 1.12, last * (8 if found.enough else 2)))
    top = max(w.grams for w in weighings)
    grid = [[" "] * columns for _ in range(rows)]

    def column(hours: float) -> int:
        return min(max(round(hours / end * (columns - 1)), 0), columns - 1)

    def row(grams: float) -> int:
        return min(max(rows - 1 - round(grams / top * (rows - 1)), 0), rows - 1)

    if found is not None:
        grid[row(found.curve.final_g)] = [END if i % 2 == 0 else " " for i in range(columns)]
        if found.enough and found.reckoned_hours <= end:
            for line in grid:
                line[column(found.reckoned_hours)] = DRY
        for i in range(columns):
            grid[row(found.grams_at(end * i / (columns - 1)))][i] = CURVE
    for weighing in weighings:
        grid[row(weighing.grams)][column(weighing.hours)] = WEIGHED
    marks = {0: top, row(top / 2): top / 2}
    if found is not None:
        marks[row(found.curve.final_g)] = found.curve.final_g
    lines = [
        f"{f'{marks[i]:.0f} g' if i in marks else '':>{_LEFT - 1}} |{''.join(cells)}".rstrip()
        for i, cells in enumerate(grid)
    ]
    return (
        *lines,
        " " * _LEFT + "+" + "-" * (columns - 1),
        " " * _LEFT + _days(start, end, columns),
        " " * _LEFT + (KEY if found is None else KEY_OF_CURVE),
    )


def _days(start: datetime, end: float, columns: int) -> str:
    """The days under the plot, each at its first morning, as many as have room."""
    text = [" "] * columns
    free = 0
    day = start.date()
    while (at := _column_of(day, start, end, columns)) < columns:
        name = short_day(day)
        if at >= free and at + len(name) <= columns:
            text[at : at + len(name)] = name
            free = at + len(name) + 2
        day += timedelta(days=1)
    return "".join(text).rstrip()


def _column_of(day: date, start: datetime, end: float, columns: int) -> int:
    hours = (day - start.date()).days * 24.0
    return round(hours / end * (columns - 1))
