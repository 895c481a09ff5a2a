"""What a promise costs in plants: its chance, the figure that carries most of the doubt, and a day that needs fewer."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import ceil

from core.plans import seasons as season
from core.plans.crop_season import Course
from core.plans.plan import Cheaper, Plan, Step, times_in_100
from core.plans.planting_date import choose
from core.plans.seasons import (
    columns_of,
    least_plants,
    most_plants,
    of_plants,
    seasons_of,
    usual_season,
)
from core.problems import Problem
from core.units import long_day, number, plural

COSTLY = 3.0
"""A plan that takes so many times the plants that would do one year in two says that it is a dear one."""
LATER_WEEKS = 8
"""No later day than so many weeks on is offered instead."""
SPARES = 0.6
"""A later day is offered where so many of the plants would do, or fewer."""


def promise_step(plan: Plan, course: Course) -> Step:
    """The chance that the promise is kept, and what carries most of the doubt."""
    promise, sure = plan.promise, plan.ask.given.sure
    says = f"kept {times_in_100(promise.chance)}"
    if promise.chance < sure.value - SHORT:
        says += f", not {times_in_100(sure.value)}: no count of plants makes it so sure"
    because = f"one year in two {plural(promise.even, 'plant')} set out would do"
    doubt = promise.doubt
    if doubt is not None:
        because += f"; most of the doubt is {doubt.figure}"
        if ranged := _range_text(plan, course, doubt.figure):
            because += f", {ranged}"
        because += f": were that sure, {plural(doubt.plants, 'plant')}"
    return Step(
        "chance", says, because, f"{sure.source}; every range is taken as four years in five: this plan"
    )


SHORT = 0.005
MANY = 1.25
"""A plan that takes so many times the plants of an even year says why it is more than growers plant."""


def many_step(plan: Plan, course: Course) -> Step | None:
    """Why it takes more plants than growers plant, who take what comes; None where it hardly does."""
    ask, promise = plan.ask, plan.promise
    if ask.only_days is not None or plan.plants_out < MANY * promise.even:
        return None
    surely = number(round(100 * promise.chance))
    says = f"a usual year needs {promise.even}, {surely} years in 100 need {plan.plants_out}"
    if (doubt := promise.doubt) is not None:
        says += f": {_unlike_years(course, doubt.figure)}; were that known, {doubt.plants}"
    if course.dries is None and (over_all := _over_all(plan, course)) < promise.even / MANY:
        says = f"for stems of any day {over_all} would do; for this day {says}"
    return Step("why so many", says, WHY, "every range is taken as four years in five: this plan")


WHY = "a promise for a day is kept in poor years too, and with stems of a few days alone"


def _over_all(plan: Plan, course: Course) -> int:
    """The plants that give as many good stems over all of their cutting, in a usual year."""
    given = plan.ask.given
    each = course.stems_each() * (1 - given.cull.value) * (1 - given.bed_loss.value)
    return ceil(plan.wish.stems / each)


def _unlike_years(course: Course, figure: str) -> str:
    """In which way one year, sort or place is not like another."""
    ranges = {
        season.FIRST_CUT: (course.lag.value, "days to the first cut"),
        season.WEEKS: (course.weeks.value, "weeks of cutting"),
        season.STEMS: (course.season_stems, "stems a plant"),
        season.DRYING: (course.dries or season.NOTHING, "days to dry"),
    }
    if figure in ranges:
        (least, most), what = ranges[figure]
        return f"{number(round(least, 1))} to {number(round(most, 1))} {what}, by year, sort and place"
    if figure == season.FROST:
        return f"frost ends the cutting {number(round(course.frost_days))} days early in some years"
    if figure == season.FLUSH:
        return "in some years the day falls between two flushes"
    return f"more {figure} in some years"


def _range_text(plan: Plan, course: Course, figure: str) -> str:
    """The range of a figure as its sheet has it."""
    sheet = plan.ask.sheet
    if figure == season.FIRST_CUT:
        return f"{course.lag.text} ({course.lag.source})"
    if figure == season.STEMS:
        return f"{course.stems.text} ({course.stems.source})"
    if figure == season.WEEKS:
        return f"{course.weeks.text} ({course.weeks.source})"
    if figure == season.DRYING and sheet.drying_days is not None:
        return f"{sheet.drying_days.text} ({sheet.drying_days.source})"
    return ""


def costly_step(plan: Plan) -> Step | None:
    """What would need fewer plants, where being sure costs many; None where it does not."""
    ask, promise = plan.ask, plan.promise
    is_sure = promise.chance >= ask.given.sure.value - SHORT
    if ask.only_days is not None or (is_sure and plan.plants_out < COSTLY * promise.even):
        return None
    if (found := _day_that_spares(plan)) is not None:
        day, plants = found
        return Step(
            "many plants",
            f"promised for {long_day(day)}, {plural(plants, 'plant')} would do",
            AS_WELL,
            "this plan",
            Cheaper(f"promised for {long_day(day)}", plants),
        )
    return Step("many plants", OWN, AS_WELL, "this plan")


OWN = "days to the first cut of your own ground ('sheet ...'), or a plan by the week, need fewer plants"
AS_WELL = "a later day, or an earlier planting, needs fewer plants"


def _day_that_spares(plan: Plan) -> tuple[date, int] | None:
    """The first day, by whole weeks, for which far fewer plants would do, and how many."""
    for week in range(1, LATER_WEEKS + 1, 2):
        day = plan.wish.by + timedelta(weeks=week)
        if (found := _plants_for(plan, day, plan.ask.given.sure.value)) is None:
            return None
        plants, chance = found
        if plants <= SPARES * plan.plants_out and chance >= plan.promise.chance - SHORT:
            return day, plants
    return None


def _plants_for(plan: Plan, day: date, sure: float) -> tuple[int, float] | None:
    """(the plants to set out that the same stems by another day take with the chance `sure`, or the best there is, that
    chance); None where none can be had by it."""
    ask = replace(plan.ask, wish=replace(plan.wish, by=day))
    course = Course.of(ask)
    chosen = course if isinstance(course, Problem) else choose(ask, course)
    if isinstance(course, Problem) or isinstance(chosen, Problem):
        return None
    usual = usual_season(ask, course)
    each = of_plants(ask, course, chosen[0], seasons_of(columns_of(ask, course), usual))
    most = most_plants(ask.wish.stems, of_plants(ask, course, chosen[0], [usual])[0])
    return least_plants(ask.wish.stems, sure, each, most)


BEST_DAY = "a better day"
BEST_WITHIN_DAYS = (-14, -7, 7, 14)
"""Days about the one that is asked for on which another is looked for (ours)."""
FAR_BEST = 0.5
"""Another day is told first of all where it takes less than so many of the plants (ours)."""


def best_day_step(plan: Plan) -> Step | None:
    """A day within two weeks for which less than half of the plants would do, as surely; None where there is none."""
    ask = plan.ask
    is_sure = plan.promise.chance >= ask.given.sure.value - SHORT
    if ask.only_days is not None or (is_sure and plan.plants_out < MANY * plan.promise.even):
        return None
    found = []
    for days in BEST_WITHIN_DAYS:
        day = ask.wish.by + timedelta(days=days)
        if ask.today is not None and day < ask.today:
            continue
        plants, chance = _plants_for(plan, day, min(ask.given.sure.value, plan.promise.chance)) or (
            plan.plants_out,
            0.0,
        )
        if plants < FAR_BEST * plan.plants_out and chance >= plan.promise.chance - SHORT:
            found.append((plants, day))
    if not found:
        return None
    plants, day = min(found)
    return Step(
        BEST_DAY,
        f"by {long_day(day)} {plural(plants, 'plant')} would do; by {long_day(ask.wish.by)} it takes {plan.plants_out}",
        "that day falls in the middle of its cutting, where most of its stems count",
        "this plan",
        Cheaper(f"promised for {long_day(day)}", plants),
    )
