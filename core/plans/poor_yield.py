"""When a plan takes many plants for few stems, because most of what a plant gives comes too late; and the day that
would need far fewer plants."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from core.plans.crop_season import Course
from core.plans.plan import Plan, Step
from core.plans.planting_date import choose
from core.problems import Problem
from core.reckon.counts import plants_for_stems
from core.units import long_day, number, plural

DEAR_SHARE = 0.4
"""A plan says that it takes many plants where a plant gives, up to the promised day, less than this share of what it
would give by that day if planted on the best one (ours)."""
FEW = 0.6
"""The same limit for a crop that flowers once and is then done: the share of all the stems of a plant (ours)."""
LATER_WEEKS = 8
"""No later day than so many weeks on is offered instead."""


def dear_step(plan: Plan, course: Course, share: float) -> Step | None:
    """That only few stems count, and what would need fewer plants; None where enough of them do."""
    ask = plan.ask
    few = f"only {number(100 * share)} %"
    if share < DEAR_SHARE * course.best_share():
        says = f"{few} of a plant's stems come in time"
        instead = "a later day, or an earlier planting, needs far fewer plants"
        if ask.only_days is None and (found := _day_that_spares(plan)) is not None:
            day, plants = found
            instead = f"promised for {long_day(day)}, {plural(plants, 'plant')} to cut would do"
            says += f": {instead}"
        return Step("dear", says, instead, "this plan")
    if not course.drying and ask.only_days is None and len(course.flushes) == 1 and share < FEW:
        return Step(
            "dear",
            f"{few} of the stems come in time",
            "all of a plant's come within a few days, and fresh ones do not wait: a longer hold in the cooler, "
            "or a wish by the week, needs fewer plants",
            "this plan",
        )
    return None


def _day_that_spares(plan: Plan) -> tuple[date, int] | None:
    """The first day, by whole weeks, for which half the plants to cut would do or fewer, and how many."""
    for week in range(1, LATER_WEEKS + 1):
        day = plan.wish.by + timedelta(weeks=week)
        ask = replace(plan.ask, wish=replace(plan.wish, by=day))
        course = Course.of(ask)
        chosen = course if isinstance(course, Problem) else choose(ask, course)
        if isinstance(course, Problem) or isinstance(chosen, Problem):
            return None
        found = plants_for_stems(
            plan.to_cut,
            mean=course.stems.value * chosen[1],
            sd=course.spread(chosen[1]),
            sure=ask.given.sure.value,
        )
        if not isinstance(found, Problem) and 2 * found.plants <= plan.plants:
            return day, found.plants
    return None
