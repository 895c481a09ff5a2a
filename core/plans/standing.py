"""What stands already: the stems that plantings in the ground give for a wish, before anything is sown for it.

A planting of this season is reckoned as a plan's would be, from its own day. A perennial, shrub or bulb comes again
about when it was first cut before: only the farm's own record can say when, so one that was never cut counts for
nothing. Plantings that another plan counts on are left to it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from core.crops.calendar import crop_dates
from core.crops.course import flowers_next_year
from core.crops.sheet import Figure, Sheet, Span
from core.crops.spacing import plants_for_feet
from core.farm import Farm, Planting
from core.plans.crop_season import Course, drying_days, ready_on
from core.plans.plan import CutWeek, Plan, Promise, Step, by_week, stems_a_bunch
from core.plans.poor_yield import times_in_100
from core.plans.seasons import (
    NONE,
    SEASONS,
    OfPlant,
    chance_of,
    columns_of,
    of_plants,
    seasons_of,
    together,
    usual_season,
)
from core.plans.second_year import flowers_from
from core.plans.wish import Ask
from core.problems import Problem
from core.units import plural, short_day

COMES_AGAIN = ("perennial (", "shrub", "bulb")
"""How the kind of plant begins, in its sheet, of what comes again from the ground."""
EARLY_OR_LATE = 10
"""A perennial begins within so many days of its day in another year, four years in five (common practice)."""
THIS_SEASON = timedelta(days=366)


@dataclass(frozen=True, slots=True)
class Standing:
    """One planting that gives stems for a wish: plants of it, the day it is reckoned from, and how it goes."""

    code: str
    bed: str
    plants: int
    out: date
    course: Course


def standing_for(farm: Farm, ask: Ask, day: date) -> tuple[Standing, ...]:
    """The plantings that may give stems for the wish from `day` on."""
    spoken_for = {code for plan in farm.plans.values() if plan.is_live for code, _, _ in plan.out}
    plantings = (p for p in farm.plantings.live() if p.code not in spoken_for and _is_of(p, ask))
    return tuple(one for planting in plantings if (one := stands(farm, planting, ask, day)) is not None)


def stands(farm: Farm, planting: Planting, ask: Ask, day: date) -> Standing | None:
    """What a planting of the crop may give for the wish from `day` on, whoever counts on it; None where unknown."""
    plants = _plants(farm, planting, ask.sheet)
    begun = _begun(planting, ask)
    if begun is None or plants < 1:
        return None
    out, lag = begun
    course = Course.of(replace(ask, direct=planting.drilled), lag)
    if isinstance(course, Problem):
        return None
    course = replace(course, count_from=max(course.count_from, day))
    return Standing(planting.code, planting.bed, plants, out, course)


def given_surely(ask: Ask, standing: Sequence[Standing]) -> int:
    """The stems that they give together, as surely as the wish is to be kept."""
    each = _together(ask, standing)
    low, high = 0, ask.wish.stems + 1
    while high - low > 1:
        middle = (low + high) // 2
        if chance_of(middle, 1, each) >= ask.given.sure.value:
            low = middle
        else:
            high = middle
    return low


def plan_of_standing(ask: Ask, standing: Sequence[Standing]) -> Plan | None:
    """The wish met by what stands, and how surely; None where nothing of it is to be expected in a usual season."""
    usual = [
        (one, of_plants(ask, one.course, one.out, [usual_season(ask, one.course)])[0]) for one in standing
    ]
    giving = [one for one, of in usual if of.mean > 0]
    if not giving:
        return None
    chance = chance_of(ask.wish.stems, 1, _together(ask, giving))
    first = min(giving, key=lambda one: one.course.first_cut(one.out))
    course, plants = first.course, sum(one.plants for one in giving)
    cut_from = max(course.first_cut(first.out), course.count_from)
    cut_to = max(min(course.count_by, max(one.course.last_cut(one.out) for one in giving)), cut_from)
    least, most = (first.out + timedelta(days=round(days)) for days in course.lag.value)
    expected: dict[date, int] = {}
    for one in giving:
        last = min(one.course.count_by, one.course.last_cut(one.out))
        start = max(one.course.first_cut(one.out), one.course.count_from)
        for week in by_week(one.course, one.out, start, last, one.plants):
            expected[week.monday] = expected.get(week.monday, 0) + week.stems
    plan = Plan(
        ask=ask,
        to_cut=sum(expected.values()),
        plants=plants,
        plants_out=0,
        seeds=None,
        cells=None,
        cell_size=None,
        trays=None,
        grams=None,
        feet=0.0,
        sow_on=None,
        harden_on=None,
        set_out_on=None,
        first_cut=(least, most),
        cut_from=cut_from,
        cut_to=cut_to,
        ready_on=ready_on(ask, cut_to),
        occupied_to=cut_to,
        drying_days=drying_days(ask) or None,
        per_bunch=stems_a_bunch(ask.sheet, ask.wish.use),
        by_week=tuple(CutWeek(monday, stems) for monday, stems in sorted(expected.items())),
        promise=Promise(chance, 0, None),
        steps=(),
        calendar=crop_dates(ask.sheet, ask.frost, bounds=ask.bounds),
        stands=tuple(one.code for one in giving),
    )
    return replace(plan, steps=(_step(ask, giving), *_expected(plan, first)))


def with_standing(plan: Plan, asked: Ask, standing: Sequence[Standing], given: int) -> Plan:
    """The plan for the rest of a wish, which says what stands already."""
    says = f"{given} of {plural(asked.wish.stems, 'stem')} surely"
    step = replace(_step(asked, standing), says=f"{says}: the plan is for the other {plan.wish.stems}")
    return replace(plan, steps=(step, *plan.steps))


def _step(ask: Ask, standing: Sequence[Standing]) -> Step:
    of = ", ".join(f"{one.code} in {one.bed} ({plural(one.plants, 'plant')})" for one in standing)
    lags = "; ".join(dict.fromkeys(one.course.lag.source for one in standing))
    return Step("what stands", f"{plural(ask.wish.stems, 'stem')} of {of}", "it is counted first", lags)


def _expected(plan: Plan, first: Standing) -> Iterator[Step]:
    sure = plan.ask.given.sure
    says = f"kept {times_in_100(plan.promise.chance)}"
    if plan.promise.chance < sure.value:
        says += f", not {times_in_100(sure.value)}: nothing more can be planted for it in time"
    yield Step("chance", says, f"about {plan.to_cut} stems count in a usual season", sure.source)
    early, late = (short_day(day) for day in plan.first_cut)
    yield Step("first cut", f"{early} to {late}", f"of {first.code}", first.course.lag.source)


def _together(ask: Ask, standing: Sequence[Standing]) -> list[OfPlant]:
    """What all of them give in each season; they share its weather."""
    total = [NONE] * SEASONS
    for one in standing:
        seasons = seasons_of(columns_of(ask, one.course), usual_season(ask, one.course))
        each = of_plants(ask, one.course, one.out, seasons)
        total = [together(before, of, one.plants) for before, of in zip(total, each, strict=True)]
    return total


def _is_of(planting: Planting, ask: Ask) -> bool:
    wish = ask.wish
    same_variety = wish.variety is None or planting.variety == wish.variety
    return planting.crop == wish.crop and planting.way == wish.way and same_variety


def _plants(farm: Farm, planting: Planting, sheet: Sheet) -> int:
    """Its plants, as written, else as many as its feet hold; less those lost."""
    count, bed = planting.plants, farm.beds.get(planting.bed)
    if count is None and bed is not None and sheet.spacing_in is not None:
        count = plants_for_feet(planting.feet, bed.width_in, sheet.spacing_in.value)
    return (count or 0) - sum(planting.lost.values())


def _begun(planting: Planting, ask: Ask) -> tuple[date, Figure[Span] | None] | None:
    """(the day it is reckoned from, its days to the first cut where its own record says them); None where unknown."""
    out, by, first = date.fromisoformat(planting.out_on), ask.wish.by, planting.first_cut
    cycle = ask.sheet.life_cycle
    if cycle is not None and cycle.value.startswith(COMES_AGAIN) and first is not None:
        cut = date.fromisoformat(first)
        years = round((by - cut).days / 365.25 - 0.25)
        start = cut - timedelta(days=EARLY_OR_LATE)
        again = start + timedelta(days=round(365.25 * years))
        seen = cut.year == by.year
        give = 0 if seen else EARLY_OR_LATE
        source = f"own record: first cut {short_day(cut)} {cut.year}"
        return again, Figure((float(EARLY_OR_LATE - give), float(EARLY_OR_LATE + give)), source)
    if out < by and by - out <= THIS_SEASON:
        if first is None:
            return out, flowers_from(ask, out) if flowers_next_year(ask.sheet, out) else None
        days = float((date.fromisoformat(first) - out).days)
        return out, Figure((days, days), f"own record: first cut {first}")
    return None
