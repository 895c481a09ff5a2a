"""A crop's season as a strip of weeks, one character for a week or for several, in plain characters."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from core.learning.season_page import SeasonPage, SeasonRow
from core.units import MONTHS

LEVELS = " .:-=+*#"
"""Nothing cut, then more and more of the row's own best week."""


def weeks_a_mark(weeks: int, room: int) -> int:
    """How many weeks one character stands for, so that all of them have room."""
    return max(-(-weeks // max(room, 1)), 1)


def strip(row: SeasonRow, mondays: Sequence[str], each: int) -> str:
    """What was cut, beside the most that was cut of it in as many weeks: " .:=#*-"."""
    cut = {week.week: week.cut for week in row.weeks}
    sums = [sum(cut.get(m, 0) for m in mondays[n : n + each]) for n in range(0, len(mondays), each)]
    most = max(sums, default=0)
    return "".join(_mark(one, most) for one in sums)


def _mark(one: int, most: int) -> str:
    if one <= 0:
        return LEVELS[0]
    return LEVELS[max(-(-one * (len(LEVELS) - 1) // most), 1)]


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


def head_text(page: SeasonPage, each: int) -> str:
    """What a mark of the strips stands for."""
    weeks = "a week" if each == 1 else f"{each} weeks"
    return f"A mark is {weeks}, {LEVELS[1:]} from a little to the row's most."
