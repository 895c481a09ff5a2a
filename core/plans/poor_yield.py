"""What a promise costs in plants: its chance, the figure that carries most of the doubt, and a day that needs fewer."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from core.plans import seasons as season
from core.plans.crop_season import Course
from core.plans.plan import Plan, Step
from core.plans.planting_date import choose
from core.plans.seasons import columns_of, least_plants, most_plants, of_plants, seasons_of, usual_season
from core.problems import Problem
from core.reckon.spreads import usual
from core.units import long_day, number, plural

DEAR = 3.0
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


def times_in_100(chance: float) -> str:
    return f"{number(round(100 * chance))} times in 100"


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


def dear_step(plan: Plan, course: Course) -> Step | None:
    """That being sure costs many plants, and what would need fewer; None where it does not."""
    ask, promise = plan.ask, plan.promise
    is_sure = promise.chance >= ask.given.sure.value - SHORT
    if ask.only_days is not None or (is_sure and plan.plants_out < DEAR * promise.even):
        return None
    says = f"{number(round(plan.plants_out / promise.even, 1))} times the plants of an even year"
    if (found := _day_that_spares(plan)) is not None:
        day, plants = found
        return Step(
            "many plants",
            f"{says}: promised for {long_day(day)}, {plural(plants, 'plant')} would do",
            AS_WELL,
            "this plan",
        )
    instead = (
        "days to the first cut of your own ground ('sheet ...'), or a plan by the week, need fewer plants"
    )
    if course.dries is None and len(course.flushes) == 1:
        instead = (
            f"all of a plant's stems come within some {round(7 * usual(course.weeks.value))} days, and fresh ones wait "
            f"{number(course.hold.value)} at most: two or three sowings a week apart, or a plan by the week, are surer"
        )
    return Step("many plants", says, instead, "this plan")


AS_WELL = "a later day, or an earlier planting, needs fewer plants"


def _day_that_spares(plan: Plan) -> tuple[date, int] | None:
    """The first day, by whole weeks, for which far fewer plants would do, and how many."""
    for week in range(1, LATER_WEEKS + 1, 2):
        day = plan.wish.by + timedelta(weeks=week)
        ask = replace(plan.ask, wish=replace(plan.wish, by=day))
        course = Course.of(ask)
        chosen = course if isinstance(course, Problem) else choose(ask, course)
        if isinstance(course, Problem) or isinstance(chosen, Problem):
            return None
        usual = usual_season(ask, course)
        each = of_plants(ask, course, chosen[0], seasons_of(columns_of(ask, course), usual))
        most = most_plants(ask.wish.stems, of_plants(ask, course, chosen[0], [usual])[0])
        plants, chance = least_plants(ask.wish.stems, ask.given.sure.value, each, most)
        if plants <= SPARES * plan.plants_out and chance >= plan.promise.chance - SHORT:
            return day, plants
    return None
