"""A crop's season as a strip of weeks, one character for a week or for several, in plain characters."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import ceil
from typing import NamedTuple

from core.learning.season_page import SeasonRow
from core.plotted.shapes import Plotted
from core.text import PAGE, wrapped
from core.units import MONTHS, number

LEVELS = " .:-=+*#"
"""Nothing cut, then more and more of the row's own best week."""


def weeks_a_mark(weeks: int, room: int) -> int:
    """How many weeks one character stands for, so that all of them have room."""
    return max(-(-weeks // max(room, 1)), 1)


def strip(row: SeasonRow, mondays: Sequence[str], each: int) -> str:
    """What was cut, beside the most that was cut of it in as many weeks: " .:=#*-"."""
    cut = {week.week: week.cut for week in row.weeks}
    return marks([cut.get(monday, 0) for monday in mondays], each)


def marks(values: Sequence[float], each: int) -> str:
    """A mark for so many values at a time, beside the most of them."""
    sums = [sum(values[n : n + each]) for n in range(0, len(values), each)]
    most = max(sums, default=0)
    return "".join(_mark(one, most) for one in sums)


def _mark(one: float, most: float) -> str:
    if one <= 0:
        return LEVELS[0]
    return LEVELS[max(ceil(one * (len(LEVELS) - 1) / most), 1)]


def months(mondays: Sequence[str], each: int) -> str:
    """The head of the strips: the first letter of a month where it begins."""
    marks, last = [], 0
    for n in range(0, len(mondays), each):
        month = date.fromisoformat(mondays[n]).month
        marks.append(MONTHS[month - 1][0] if month != last else " ")
        last = month
    return "".join(marks)


def beside(now: int, before: int) -> str:
    """How a number stands beside that of the season before: "+12 %", "new", "" where both are nothing."""
    if not before:
        return "new" if now else ""
    return f"{100 * (now - before) / before:+.0f} %"


def head_text(each: int) -> str:
    """What a mark of the strips stands for."""
    weeks = "a week" if each == 1 else f"{each} weeks"
    return f"A mark is {weeks}, {LEVELS[1:]} from a little to the row's most."


def strip_lines(plot: Plotted) -> list[str]:
    """A plot of that shape as lines: a row for each series, its labels under the last, then what a mark stands for."""
    named = max(len(series.name) for series in plot.series) + 2
    each = weeks_a_mark(len(plot.labels), PAGE - named)
    lines = [
        f"{series.name:{named}}{marks([v or 0 for v in series.values], each)}".rstrip()
        for series in plot.series
    ]
    under = [" "] * PAGE
    free = 0
    for n in range(0, len(plot.labels), each):
        at, label = named + n // each, plot.labels[n]
        if at >= free and at + len(label) <= PAGE:
            under[at : at + len(label)] = label
            free = at + len(label) + 2
    return [
        *wrapped([f"{plot.title} ({plot.unit})"]),
        *lines,
        "".join(under).rstrip(),
        *wrapped([head_text(each)]),
    ]


class StripRow(NamedTuple):
    """A row of a strip in numbers."""

    of: str
    total: str
    most: str
    when: str
    first: str
    last: str


def strip_rows(plot: Plotted) -> list[StripRow]:
    """The table behind a strip: of each series all of it, and the most of it with its label."""
    found = []
    for series in plot.series:
        told = [(value, label) for value, label in zip(series.values, plot.labels, strict=True) if value]
        most, when = max(told, key=lambda one: one[0])
        first, last = told[0][1], told[-1][1]
        found.append(StripRow(series.name, number(sum(v for v, _ in told)), number(most), when, first, last))
    return found
