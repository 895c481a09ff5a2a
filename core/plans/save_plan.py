"""A plan made on a farm: from its own sheet and frost to the entry that keeps it, and the room it finds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from core.book.entry import Draft
from core.crops.course import flowers_again
from core.crops.frost_dates import Bounds, Frost
from core.crops.sheet import Figure, Sheet
from core.farm import Farm
from core.marked import typed_feet
from core.plans.kinds import next_plan_code
from core.plans.own_shares import with_own_shares
from core.plans.plan import Plan
from core.plans.wish import Ask, Given, Wish, day_problem
from core.problems import Problem
from core.settings.sheets import bounds as own_bounds
from core.settings.sheets import farm_sheet, frosts
from core.units import weeks

USUAL_WEEKS = 6
"""Weeks in the bed from the first cut on, of a kept plan whose end is not known (common practice)."""
BEFORE_FLOWERS = timedelta(weeks=12)
"""Fresh stems asked for so long before a spring flower opens are asked of that spring, too early, and not of the one
before (ours)."""


def ask_on(
    farm: Farm,
    wish: Wish,
    day: date,
    *,
    bed: str | None = None,
    given: Given | None = None,
    bounds: Bounds | None = None,
    set_out_on: date | None = None,
) -> Ask | Problem:
    """What a plan on this farm is reckoned from: its own figures, the frost of that season, its bed."""
    if (problem := day_problem(wish.by)) is not None:
        return problem
    sheet = farm_sheet(farm, wish.crop, wish.way, wish.variety)
    if sheet is None:
        return Problem(f"The library has no {wish.crop}: 'shedbook crop' lists those it has.", "unknown")
    if bed is not None and bed not in farm.beds:
        return Problem(f"There is no bed {bed}: write 'bed {bed} {typed_feet(50)}' to make it.", "unknown")
    frost = season_frost(farm, wish.by, sheet, wish.use)
    if frost.last_frost is None:
        return Problem("There is no last frost date yet: write 'last frost 14 may'.", "impossible")
    figures = with_own_shares(given or Given(), sheet)
    width = farm.beds[bed].width_in if bed is not None else _usual_width(farm)
    if given is None and width is not None:
        figures = replace(figures, bed_width_in=Figure(width, f"bed {bed}" if bed else "the farm's beds"))
    chosen = own_bounds(farm) if bounds is None else bounds
    return Ask(wish, sheet, frost, figures, chosen, today=day, set_out_on=set_out_on)


def season_frost(farm: Farm, by: date, sheet: Sheet | None = None, use: str = "fresh") -> Frost:
    """The frost dates of the season from which stems come by a day: of the latest last frost before it.

    A crop (by its `sheet`) that flowers before the last frost has its season from its flowers on; fresh stems asked for
    a while before them are of that season too. An autumn that comes earlier in the calendar year than spring (as in the
    south) is that of the next year.
    """
    for year in (by.year + 1, by.year):
        frost = frosts(farm, year)
        if frost.last_frost is not None and _begins(frost.last_frost, sheet, use) <= by:
            break
    else:
        frost = frosts(farm, by.year - 1)
    last = frost.last_frost
    if last is None:
        return frost
    following = frosts(farm, last.year + 1).autumn
    autumn = {key: day if day > last else following[key] for key, day in frost.autumn.items()}
    return Frost(frost.spring, autumn, frost.said)


def _begins(last: date, sheet: Sheet | None, use: str) -> date:
    """The first day for which stems of the season of a last frost may be asked: that frost, or flowers before it."""
    if sheet is None or not flowers_again(sheet):
        return last
    if sheet.bloom is not None:
        flowers = sheet.bloom.value.of_season(last)
    elif sheet.flowers_weeks is not None:
        flowers = last + weeks(sheet.flowers_weeks.value[0])
    else:
        return last
    if flowers >= last or use != "fresh":
        return min(flowers, last)
    # what is asked for until the end of a year is of that year
    return max(flowers - BEFORE_FLOWERS, min(flowers, date(flowers.year, 1, 1)))


def draft_of(
    plan: Plan, farm: Farm, day: date, *, bed: str | None = None, mark: str = "", after: int = 0
) -> Draft:
    """The entry that keeps a plan in the book; `after` counts the plans kept with it and before it."""
    wish, given = plan.wish, plan.ask.given
    fields = {
        "plan": next_plan_code(farm, mark, after=after),
        "crop": wish.crop,
        "variety": wish.variety,
        "way": wish.way,
        "use": wish.use,
        "stems": wish.stems,
        "due_on": wish.by.isoformat(),
        "sow_on": plan.sow_on.isoformat() if plan.sow_on else None,
        "set_out_on": plan.set_out_on.isoformat() if plan.set_out_on else None,
        "cut_from": plan.cut_from.isoformat(),
        "cells": plan.cells,
        "cell_size": plan.cell_size if given.cells_per_tray is not None else None,
        "seeds": plan.seeds,
        "plants": plan.plants_out or None,
        "feet": plan.feet or None,
        "beside" if plan.plants_out else "stands": " ".join(plan.stands) or None,
        "bed": bed,
    }
    return Draft(
        "planned", day.isoformat(), {name: value for name, value in fields.items() if value is not None}
    )


def _usual_width(farm: Farm) -> float | None:
    """The width that most beds have."""
    widths = [bed.width_in for bed in farm.beds.values()]
    return max(widths, key=widths.count) if widths else None
