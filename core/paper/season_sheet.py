"""The season as a sheet: crops down, weeks across, a bar for what was cut in each, sums beside the year before."""

from __future__ import annotations

from datetime import date

from core.asks import Sight
from core.learning.season_page import SeasonPage, SeasonRow, season_page
from core.paper.flow import MARGIN, PLAIN, SMALL, Flow
from core.paper.marks import Box, Mark, Page, Rule, Text
from core.settings.sheets import year_of
from core.units import MONTHS, money

NAME, SUMS, TALL = 34.0, 76.0, 9.0
"""Millimetres: for names, for the sums at the right, and of a row."""
LEAST_MONTH = 6.0
"""Millimetres that the name of a month takes."""
HEADS = (("cut", 20.0), ("sold", 36.0), ("lost", 50.0), ("taken", SUMS))
"""The sums, and where each ends."""


def season_sheet(sight: Sight, size: tuple[float, float], year: int | None = None) -> list[Page]:
    """The sheet of a year, of this one where none is said; each bar beside the most of its own row."""
    page = season_page(sight.farm, year_of(sight.farm, sight.day) if year is None else year, sight.day)
    flow = Flow(size, sight.farm.settings.name or "The season", page.title)
    if not page.rows:
        flow.line(f"{page.nothing}.")
        return flow.pages()
    flow.line(page.total)
    flow.add(*_heads(page, flow, flow.place(TALL)))
    for row in page.rows:
        flow.add(*_row(page, row, flow, flow.place(TALL)))
    return flow.pages()


def _week(page: SeasonPage, flow: Flow) -> float:
    """How wide a week is."""
    return (flow.room - NAME - SUMS) / max(len(page.weeks), 1)


def _heads(page: SeasonPage, flow: Flow, top: float) -> list[Mark]:
    """The months where they begin, and what the sums are."""
    wide, base = _week(page, flow), top + TALL - 2
    months = [date.fromisoformat(monday).month for monday in page.weeks]
    begins = [n for n, month in enumerate(months) if n == 0 or months[n - 1] != month]
    ends = [*begins[1:], len(months)]
    marks: list[Mark] = [
        Text(MARGIN + NAME + n * wide, base, SMALL, MONTHS[months[n] - 1], (end - n) * wide)
        for n, end in zip(begins, ends, strict=True)
        if (end - n) * wide >= LEAST_MONTH
    ]
    right = MARGIN + NAME + wide * len(page.weeks)
    marks += [Text(right + end, base, SMALL, name, 15, "right") for name, end in HEADS]
    return marks


def _row(page: SeasonPage, row: SeasonRow, flow: Flow, top: float) -> list[Mark]:
    wide, base = _week(page, flow), top + TALL - 2
    most = max((week.cut for week in row.weeks), default=0)
    left, bottom, high = MARGIN + NAME, top + TALL - 1, TALL - 2
    places = {monday: n for n, monday in enumerate(page.weeks)}
    marks: list[Mark] = [
        Text(MARGIN, base, PLAIN, row.of, NAME - 2),
        Rule(left, bottom, left + wide * len(page.weeks), bottom),
    ]
    marks += [
        Box(
            left + places[week.week] * wide,
            bottom - high * week.cut / most,
            wide,
            high * week.cut / most,
            is_gray=True,
        )
        for week in row.weeks
        if week.cut > 0
    ]
    right = left + wide * len(page.weeks)
    sums = (str(row.cut), str(row.sold), str(row.lost), money(row.cents))
    was = (str(row.before.cut), str(row.before.sold), str(row.before.lost), money(row.before.cents))
    for (_, end), told, before in zip(HEADS, sums, was, strict=True):
        marks.append(Text(right + end, base - 2.4, SMALL, told, 15, "right"))
        marks.append(Text(right + end, base + 0.9, 6.5, f"({before})", 15, "right"))
    return marks
