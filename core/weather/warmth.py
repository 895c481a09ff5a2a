"""The first cut of a planting by thermal time: the days seen so far, then the same weeks of the years on record."""

from __future__ import annotations

from datetime import date

from core.beds.rows import ByWarmth
from core.crops.sheet import Sheet
from core.crops.windows import Window
from core.dialect import told_degree_days, told_degrees
from core.problems import Problem
from core.reckon.climate.heat_units import Scale
from core.reckon.climate.record import Record
from core.reckon.climate.ripening import Expected, expected_day
from core.units import number, short_day
from core.weather.own import laid_over


def first_cut(sheet: Sheet, out: date, day: date, station: Record, own: Record | None) -> Window | Problem:
    """The days by which one year in ten, and nine in ten, have had the warmth to the first cut since `out`.

    Days before `day` are those really seen: on her own thermometer, else at the station. A Problem where the
    sheet has no base, the record fewer than ten years, or the season is not warm enough.
    """
    need = sheet.heat_units_to_first_cut
    if need is None:
        return Problem(f"The sheet of {sheet.crop} has no heat units to its first cut.", "impossible")
    if sheet.heat_base_f is None:
        return Problem(
            f"above which temperature are they counted? Write 'sheet {sheet.crop} heat_base_f 50'.",
            "impossible",
        )
    upper = sheet.heat_upper_f.value if sheet.heat_upper_f else None
    scale = Scale(sheet.heat_base_f.value, upper, "average" if upper is None else "clipped")
    seen = laid_over(station, own)
    ends: list[Expected] = []
    for units in dict.fromkeys(need.value):
        found = expected_day(units, out, scale, station, seen=seen, today=day)
        if isinstance(found, Problem):
            return found
        ends.append(found)
    early, late = ends[0].early, ends[-1].late
    if early is None or late is None:
        return Problem("in some years the warmth is not had within a year.", "impossible")
    had = (
        f"{told_degree_days(f'{number(ends[0].seen)} of {need.text}')} above {told_degrees(scale.base_f)} "
        f"({need.source}) had"
    )
    if early == late and not ends[-1].years:
        return Window(early, late, f"First cut by warmth {short_day(early)}: {had}.")
    because = (
        f"First cut by warmth {short_day(early)} to {short_day(late)}, one and nine years in ten: {had}; the rest "
        f"as in {ends[-1].years} years on record."
    )
    return Window(early, late, because)


def by_warmth(station: Record | Problem, own: Record | None) -> ByWarmth:
    """What `bed_rows` asks, with these records."""

    def reckon(sheet: Sheet, out: date, day: date) -> Window | Problem:
        return station if isinstance(station, Problem) else first_cut(sheet, out, day, station, own)

    return reckon
