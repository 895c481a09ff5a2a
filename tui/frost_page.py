"""Frost odds as a printed page: three tables and a small plot, plain ASCII, 78 columns."""

from __future__ import annotations

from collections.abc import Mapping

from core.dialect import told_frost
from core.reckon.climate.frost import ANY_MONTH, PERCENTS, RARE, FrostOdds, ThresholdOdds
from core.units import MONTHS, month_day, short_day

_COMMON_YEAR = 2001
_PLOT = 72
_CELL = 8


def frost_lines(odds: FrostOdds) -> list[str]:
    """The whole page."""
    spring, autumn, length = (
        _table(odds, name) for name in ("last_spring", "first_autumn", "frost_free_days")
    )
    return [
        f"{odds.name or odds.station or 'station'}, {odds.first_year} to {odds.last_year}, by {odds.method}",
        "",
        "Last in spring: the chance of that cold on or after the date",
        _heads(),
        *spring,
        "",
        "First in fall: the chance of that cold on or before the date",
        _heads(),
        *autumn,
        "",
        "Days between them: the chance of that many or more",
        _heads(),
        *length,
        *_words(odds),
        "",
        *plot_lines(odds),
        "",
        *(_counts(row) for row in odds.thresholds),
    ]


def own_lines(odds: FrostOdds) -> list[str]:
    """The dates on her own ground, spring and autumn."""
    return [
        "  Last in spring, on your own ground",
        _heads(),
        *_table(odds, "last_spring"),
        "  First in fall, on your own ground",
        _heads(),
        *_table(odds, "first_autumn"),
    ]


def _heads() -> str:
    return "     " + "".join(f"{p:>{_CELL - 2}} %" for p in PERCENTS)


def _table(odds: FrostOdds, name: str) -> list[str]:
    lines = []
    for row in odds.thresholds:
        values: Mapping[float, object] = getattr(row, name)
        cells = "".join(f"{_cell(values[p]):>{_CELL}}" for p in PERCENTS)
        lines.append(_labelled(row, cells))
    return lines


def _labelled(row: ThresholdOdds, cells: str) -> str:
    """The cells after the cold they are for; a long one takes of the first cell's room."""
    label = told_frost(row.threshold_f)
    return f"{label:>5}{cells[max(len(label) - 5, 0) :]}"


def _cell(value: object) -> str:
    if value == ANY_MONTH:
        return "any"
    if value is None:
        return "-"
    day = month_day(value, _COMMON_YEAR) if isinstance(value, str) else None
    return short_day(day) if day is not None else str(value)


def _words(odds: FrostOdds) -> list[str]:
    shown = {
        value
        for row in odds.thresholds
        for values in (row.last_spring, row.first_autumn, row.frost_free_days)
        for value in values.values()
    }
    says = {
        RARE: "rare: in so many years that cold does not come at all",
        ANY_MONTH: "any: at that risk no month of the year is free of it",
    }
    missing = [f"  {told_frost(row.threshold_f)}: {row.not_yet}" for row in odds.thresholds if row.not_yet]
    return [*(f"  {text}" for word, text in says.items() if word in shown), *missing]


def _counts(row: ThresholdOdds) -> str:
    if row.share_of_seasons is None:
        return f"{told_frost(row.threshold_f):>5}: too few seasons to tell"
    return (
        f"{told_frost(row.threshold_f):>5} in {round(100 * row.share_of_seasons)} of 100 seasons; "
        f"from {row.springs} springs and {row.autumns} falls"
    )


def plot_lines(odds: FrostOdds) -> list[str]:
    """The year from left to right, midsummer in the middle; one line for each threshold.

    "--|--" runs from the 90 % to the 10 % date of the last cold in spring, "==|==" from the 10 % to the 90 %
    date of the first in autumn, the bar is one year in two. A line that is all "*" has no month free of it.
    """
    first_month = 7 if odds.south else 1
    lines = ["     " + _months(first_month)]
    for row in odds.thresholds:
        cells = [" "] * _PLOT
        if all(value == ANY_MONTH for value in row.last_spring.values()):
            cells = ["*"] * _PLOT
        _draw(cells, row.last_spring, "-", first_month, late_first=True)
        _draw(cells, row.first_autumn, "=", first_month, late_first=False)
        lines.append(_labelled(row, "".join(cells)).rstrip())
    lines.append("     -- last in spring, == first in fall, 10 to 90 %; | one year in two")
    return lines


def _months(first: int) -> str:
    cells = [" "] * _PLOT
    for i in range(12):
        month = (first - 1 + i) % 12
        at = _column(f"{month + 1:02d}-01", first)
        cells[at : at + 3] = MONTHS[month]
    return "".join(cells).rstrip()


def _column(when: str, first_month: int) -> int:
    day = month_day(when, _COMMON_YEAR)
    start = month_day(f"{first_month:02d}-01", _COMMON_YEAR)
    assert day is not None and start is not None
    return (day - start).days % 365 * _PLOT // 365


def _draw(
    cells: list[str], odds: Mapping[float, str | None], mark: str, first_month: int, *, late_first: bool
) -> None:
    dated = {p: when for p in PERCENTS if (when := odds[p]) is not None and when not in (RARE, ANY_MONTH)}
    if not dated:
        return
    ends = [_column(dated[p], first_month) for p in (min(dated), max(dated))]
    begin, end = reversed(ends) if late_first else ends
    for at in range(begin, begin + (end - begin) % _PLOT + 1):
        cells[at % _PLOT] = mark
    if 50 in dated:
        cells[_column(dated[50], first_month)] = "|"
