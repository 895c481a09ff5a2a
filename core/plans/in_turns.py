"""One promise of fresh stems met by two or three plantings: in an early year the later ones give, in a late year the
first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from math import ceil
from typing import NamedTuple

from core.plans.crop_season import Course
from core.plans.plan import Cheaper, Plan, Step, times_in_100
from core.plans.planting_date import allowed
from core.plans.poor_yield import MANY, SHORT
from core.plans.seasons import NONE, columns_of, least_plants, of_plants, seasons_of, together, usual_season
from core.plans.standing import given_beside
from core.units import short_day


def plantings_step(plan: Plan, course: Course) -> Step | None:
    """That several plantings, one after another, keep a promise of fresh stems with fewer plants, or more surely; None
    where they do not."""
    ask, promise = plan.ask, plan.promise
    if course.dries is not None or ask.only_days is not None or plan.plants_out < MANY * promise.even:
        return None
    found = min(
        _plantings(plan, course),
        key=lambda one: (-min(one.chance, ask.given.sure.value), one.total),
        default=None,
    )
    if found is None:
        return None
    is_surer = found.chance >= promise.chance + SURER
    is_less = found.chance >= promise.chance - SHORT and found.total <= FEWER * plan.plants_out
    if not (is_surer or is_less):
        return None
    days = [
        day - timedelta(days=(plan.in_bed_from - plan.sow_on).days if plan.sow_on else 0) for day in found.out
    ]
    verb = "set out" if plan.sow_on is None else "drill" if course.drilled else "sow"
    says = (
        f"{found.each} each in {len(days)} plantings {found.apart} days apart keep it {times_in_100(found.chance)}: "
        f"{verb} {', '.join(short_day(day) for day in days)}"
    )
    cheaper = Cheaper(f"in {len(days)} plantings {found.apart} days apart", found.total)
    because = "whenever the season brings them on, one of them is in its flush"
    return Step("or in turns", says, because, "this plan", cheaper)


class Plantings(NamedTuple):
    """So many plants `each`, set out or drilled on each of the days `out`; `chance` that they keep the promise."""

    each: int
    apart: int
    out: tuple[date, ...]
    chance: float

    @property
    def total(self) -> int:
        return self.each * len(self.out)


SURER = 0.05
FEWER = 0.9
"""Plantings in turns are told where they are so much surer, or take so few of the plants (ours)."""
IN_TURNS = tuple((count, apart) for count in (2, 3) for apart in (7, 10, 14, 21))


def _plantings(plan: Plan, course: Course) -> Iterator[Plantings]:
    """The ways of planting it in turns about its day that there is time for, and not at many times the plants."""
    ask = plan.ask
    first, _, last = allowed(ask, course)
    seasons = seasons_of(columns_of(ask, course), usual_season(ask, course))
    beside = given_beside(ask)
    for count, apart in IN_TURNS:
        start = max(plan.in_bed_from - timedelta(days=round(apart * (count - 1) / 2)), first)
        out = tuple(start + timedelta(days=apart * i) for i in range(count))
        if out[-1] > last:
            continue
        each = [NONE] * len(seasons)
        for day in out:
            each = [
                together(a, b, 1) for a, b in zip(each, of_plants(ask, course, day, seasons), strict=True)
            ]
        most = ceil(MOST_TURNS * plan.plants_out / count)
        plants, chance = least_plants(ask.wish.stems, ask.given.sure.value, each, most, beside)
        yield Plantings(plants, apart, out, chance)


MOST_TURNS = 2
"""No more than so many times the plants of one planting are told of (ours)."""
