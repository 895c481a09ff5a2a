"""How else a wish could be met that costs many plants: in turns, for a later day, or by the week."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from core.plans.backward_plan import plan_back
from core.plans.plan import Cheaper, Plan
from core.plans.poor_yield import MANY
from core.plans.seasons import TIMING
from core.problems import Problem
from core.units import short_day

CHEAPER = 2 / 3
"""Another way is told where it takes fewer than so many of the plants (ours)."""
WEEK_DAYS = 7


def cheaper_way(plan: Plan) -> Cheaper | None:
    """The way that takes the fewest plants, where that is far fewer than the plan takes; None where none does."""
    ways = [step.cheaper for step in plan.steps if step.cheaper is not None]
    if (by_week := _by_the_week(plan)) is not None:
        ways.append(by_week)
    least = min(ways, key=lambda one: one.plants, default=None)
    return least if least is not None and least.plants < CHEAPER * plan.plants_out else None


def _by_the_week(plan: Plan) -> Cheaper | None:
    """The same stems in the week that ends with the day, as a wish by the week has them; None where one day costs
    little more, and of what is dried, which keeps."""
    ask = plan.ask
    if ask.wish.use != "fresh" or ask.only_days is not None or plan.plants_out < MANY * plan.promise.even:
        return None
    week = plan_back(replace(ask, only_days=WEEK_DAYS, set_out_on=None, steady=TIMING), briefly=True)
    if isinstance(week, Problem) or not week.plants_out:
        return None
    begins = ask.wish.by - timedelta(days=WEEK_DAYS - 1)
    return Cheaper(f"planned by the week, from {short_day(begins)} on", week.plants_out)
