"""So many stems every week from a day on, or until frost: sowings one after another, each sized for its
weeks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from typing import Any

from core.crops.calendar import cutting_ends
from core.crops.sheet import Figure
from core.plans.backward_plan import gone_by, may_begin, plan_back, share_in_time
from core.plans.crop_season import Course
from core.plans.defaults import MOST_WEEKS
from core.plans.plan import CutWeek, Plan, plan_json
from core.plans.seasons import (
    FEW,
    TIMING,
    OfPlant,
    chance_of,
    columns_of,
    of_plants,
    seasons_of,
    together,
    usual_season,
)
from core.plans.standing import given_beside, plan_of_standing, usually_given
from core.plans.succession import Warmth, day_reached, sowings_for_cuts, warmth_of
from core.plans.wish import Ask, day_problem
from core.problems import Problem
from core.reckon.spreads import usual
from core.units import long_day, plural, short_day

NEAR_DAYS = 7
LEAST_OF_OWN = 0.6
"""Every sowing is sized for so much of its week at least, whatever those before it still give."""
STEADY = 0.9
"""A sowing serves a week as long as it gives this much of its best week; it is sized for the leanest of them."""
SOWN_FOR_DAYS = 4
"""A last week cut shorter than this gets no sowing of its own: most of its stems would come too late."""
BY_DAYS = "the days of the crop's sheet"
FIRST_FLUSH = "its first flush only: fewer stems"
NO_SOWING = "no sowing of its own for so few days"
WHAT_STANDS = "of what stands already: nothing is planted for it"
STANDS = -1
"""In place of the plan of a week, while sowings are counted: what stands gives it."""
LAST_FLUSH = "the end of its cutting, and it cannot be planted later: fewer stems"


@dataclass(frozen=True, slots=True)
class Week:
    """One week of the wish, from `start` to `end`, both included: stems wanted and to be expected, from which of
    the plans, and in `note` what is to be known of it: why it falls short, or that it is a short week."""

    start: date
    end: date
    wanted: int
    expected: int
    plan: int | None
    note: str = ""
    chance: float = 0.0
    """That as many as are wanted are there, of all sowings together (0 to 1)."""

    @property
    def is_short(self) -> bool:
        """Fewer stems are to be expected than are wanted."""
        return self.expected < self.wanted

    @property
    def days(self) -> int:
        return (self.end - self.start).days + 1


@dataclass(frozen=True, slots=True)
class WeeklyPlan:
    """The sowings in order, and what each week may expect of them.

    What a sowing gives before and after its own weeks is not counted: it stands by for a poor one. `spaced`
    says what the days between sowings were reckoned by.
    """

    plans: tuple[Plan, ...]
    weeks: tuple[Week, ...]
    until: date
    spaced: str = BY_DAYS


def plan_weekly(
    ask: Ask, start: date, until: date | None = None, *, warmth: Warmth | None = None
) -> WeeklyPlan | Problem:
    """Sowings that give the wish's stems in every week from `start` to `until` (None: the first autumn
    frost).

    The wish's own day does not matter. Days that are left over at the end are a short week, of which as many
    stems are wanted as its days come to. What stands already counts first: weeks that it gives surely are those of the
    first of the plans, for which nothing is planted. With `warmth` the sheet's days to the first cut hold for a
    planting at the opening of the crop's window, and become what heat units those days have: later sowings are spaced
    so that their cuts come evenly. A week that no sowing can serve stays in the list and says why; where
    none can be served the reason is the answer.
    """
    if problem := day_problem(start, until) or gone_by(ask, start):
        return problem
    if ask.wish.stems < 1:
        return Problem("At least one stem a week must be wished for.", "impossible")
    is_to_frost = until is None
    if until is None:
        ends = cutting_ends(ask.sheet, ask.frost)
        if ends is None:
            return Problem("The first fall frost is not known: say until when.", "impossible")
        until = ends[0]
    if until < start + timedelta(days=6):
        return Problem(
            _too_short(start, until, is_to_frost),
            "impossible",
        )
    count = ceil(((until - start).days + 1) / 7)
    if count > MOST_WEEKS:
        return Problem(f"At most {MOST_WEEKS} weeks are planned at once.", "impossible")
    weeks = [_week(ask, start + timedelta(days=7 * i), until, is_to_frost) for i in range(count)]
    made = _sowings(ask, weeks, until, warmth)
    if isinstance(made, Problem):
        return made
    made = _with_standing(ask, made)
    chances = zip(made.weeks, _chances(ask, made.weeks, made.plans), strict=True)
    return replace(
        made,
        plans=tuple(_by_week(plan, i, made.weeks) for i, plan in enumerate(made.plans)),
        weeks=tuple(replace(week, chance=chance) for week, chance in chances),
    )


def _too_short(start: date, until: date, is_to_frost: bool) -> str:
    if not is_to_frost:
        return f"From {short_day(start)} to {short_day(until)} is less than a week: give a later day."
    if until < start:
        return f"The first fall frost, {long_day(until)}, comes before {long_day(start)}: begin earlier."
    return (
        f"From {short_day(start)} to the first frost, {short_day(until)}, is less than a week: begin earlier."
    )


def _week(ask: Ask, start: date, until: date, is_to_frost: bool) -> Week:
    """A week as it is wished for; the last may be a short one."""
    end = min(start + timedelta(days=6), until)
    week = Week(start, end, ask.wish.stems, 0, None)
    if week.days == 7:
        return week
    wanted = max(round(ask.wish.stems * week.days / 7), 1)
    what = "the first frost, " if is_to_frost else ""
    return replace(
        week, wanted=wanted, note=f"a short week: {plural(week.days, 'day')}, to {what}{short_day(end)}"
    )


def _by_week(plan: Plan, i: int, weeks: tuple[Week, ...]) -> Plan:
    """The plan with the stems to cut in each of the weeks it serves."""
    cut_each = plan.to_cut / plan.wish.stems
    cuts: dict[date, int] = {}
    for week in weeks:
        if week.plan == i:
            monday = week.start - (plan.wish.by - plan.cut_to if plan.drying_days else timedelta())
            monday -= timedelta(days=monday.weekday())
            cuts[monday] = cuts.get(monday, 0) + round(week.expected * cut_each)
    return replace(plan, by_week=tuple(CutWeek(monday, stems) for monday, stems in sorted(cuts.items())))


def _sowings(ask: Ask, wished: list[Week], until: date, warmth: Warmth | None) -> WeeklyPlan | Problem:
    plans: list[Plan] = []
    weeks: list[Week] = []
    refused: Problem | None = None
    i = 0
    while i < len(wished):
        week = wished[i]
        first = plan_back(_for_week(ask, week), briefly=True)
        if isinstance(first, Plan) and not first.plants_out:
            given = _stand(ask, week)
            weeks.append(_noted(week, min(round(given), week.wanted), STANDS, WHAT_STANDS))
            i += 1
            continue
        if warmth is not None and isinstance(first, Plan):
            first = _as_warm(first, warmth)
        if isinstance(first, Problem):
            refused = refused or first
            weeks.append(_noted(week, 0, None, first.sentence))
            i += 1
            continue
        if plans and (first.in_bed_from <= plans[-1].in_bed_from or week.days < SOWN_FOR_DAYS):
            # it cannot be planted later than the last one, or is not worth a sowing: that one must do
            rate = _share(_rate(plans[-1], week), _rate(plans[-1], _sized_for(plans[-1], weeks)))
            expected = min(round(week.wanted * rate + _stand(ask, week)), week.wanted)
            why = NO_SOWING if week.days < SOWN_FOR_DAYS else LAST_FLUSH
            weeks.append(_noted(week, expected, len(plans) - 1, why if expected < week.wanted else ""))
            if rate > 0:
                plans[-1] = replace(plans[-1], cut_to=first.cut_to, occupied_to=first.occupied_to)
            i += 1
            continue
        rates = _steady(first, wished[i:])
        # sized for the leanest of its steady weeks, so that every one of them gets what is wished for
        steady = [k for k, rate in enumerate(rates) if rate >= STEADY * max(rates)]
        stand = [_stand(ask, served) for served in wished[i : i + len(rates)]]
        lean = min(steady, key=lambda k: (round(stand[k]), rates[k]))
        own, first_of = max(wished[i + lean].wanted - stand[lean], 0.0), i
        rest = _beside(plans, _for_week(first.ask, wished[i + lean]), first.in_bed_from)
        plan = plan_back(rest)
        if isinstance(plan, Problem):  # cannot be: the same planting, a better week
            return plan
        if not plan.plants_out:  # with what the sowings before it still give
            given = stand[0] + wished[i + lean].wanted - rest.wish.stems
            weeks.append(_noted(week, min(round(given), week.wanted), STANDS, WHAT_STANDS))
            i += 1
            continue
        last = wished[i + len(rates) - 1].end - (plan.wish.by - plan.cut_to)
        plans.append(replace(plan, cut_from=first.cut_from, cut_to=last, occupied_to=last))
        for rate, given in zip(rates, stand, strict=True):
            wanted = wished[i].wanted
            part = own * wanted / wished[first_of + lean].wanted
            expected = min(round(part * _share(rate, rates[lean]) + given), wanted)
            why = "" if expected >= wanted else FIRST_FLUSH
            weeks.append(_noted(wished[i], expected, len(plans) - 1, why))
            i += 1
    if not plans and refused is not None and all(week.plan is None for week in weeks):
        return refused
    return WeeklyPlan(tuple(plans), tuple(weeks), until, warmth.source if warmth else BY_DAYS)


def _stand(ask: Ask, week: Week) -> float:
    """Stems that what stands gives in the week, in a usual season."""
    return usually_given(_for_week(ask, week)) if ask.standing else 0.0


def _with_standing(ask: Ask, made: WeeklyPlan) -> WeeklyPlan:
    """With the plan of what stands, before the sowings, where it gives weeks of its own; else the first sowing is the
    one that counts on it."""
    mine = [week for week in made.weeks if week.plan == STANDS]
    sowings = made.plans
    if not mine:
        return replace(made, plans=(*sowings[:1], *(replace(plan, stands=()) for plan in sowings[1:])))
    days = (mine[-1].end - mine[0].start).days + 1
    wish = replace(ask.wish, stems=max(sum(week.expected for week in mine), 1), by=mine[-1].end)
    asked = replace(ask, wish=wish, only_days=days)
    # of years on end the first bears no reckoning from the last: then its last week alone
    stands = plan_of_standing(asked) or plan_of_standing(_for_week(ask, mine[-1]))
    assert stands is not None  # it gave those weeks
    return replace(
        made,
        plans=(stands, *(replace(plan, stands=()) for plan in sowings)),
        weeks=tuple(
            week if week.plan is None else replace(week, plan=0 if week.plan == STANDS else week.plan + 1)
            for week in made.weeks
        ),
    )


def _share(rate: float, full: float) -> float:
    """Of what a week at the rate `full` gives, what one at `rate` gives, at most all; nothing where there is none."""
    return min(rate / full, 1.0) if full > 0 else 0.0


def _noted(week: Week, expected: int, plan: int | None, why: str) -> Week:
    """The week with what it may expect; why it falls short goes after what it is."""
    return replace(week, expected=expected, plan=plan, note="; ".join(filter(None, (week.note, why))))


def _sized_for(plan: Plan, weeks: Sequence[Week]) -> Week:
    """The week that the plan's count of plants was reckoned for."""
    return next(week for week in weeks if week.end == plan.wish.by)


def _as_warm(plan: Plan, warmth: Warmth) -> Plan:
    """The same cut from a planting on the day that the warmth to come asks for.

    The sheet's middle days hold at the opening of its window. No hot summer is counted on for fewer days than the
    sheet's least: so far its days are published, and warmth only says where between them a planting lies. Heat units
    of the farm's own, in the sheet, go before its days.
    Where the warmth is not had, or the day is none for planting, the plan stays as the sheet's days have it.
    """
    opens, first = may_begin(plan)
    own = _own_units(plan.ask)
    early, late = ((day - plan.in_bed_from).days for day in plan.first_cut)
    days = round((early + late) / 2)
    cut = plan.in_bed_from + timedelta(days=days)
    least = early if early < days and own is None else 0  # one figure alone is no bound
    need = warmth_of(days, opens, warmth.daily) if own is None else own.value
    begun = sowings_for_cuts([cut], need, warmth.daily) if need > 0 else None
    if begun is None or isinstance(begun, Problem):
        return plan
    source = f"{days} days from {short_day(opens)} are {round(need)} {warmth.source}"
    if own is not None:
        source = f"{round(need)} {warmth.source}: {own.source}"
    out = min(begun[0], cut - timedelta(days=least))
    if out < begun[0]:
        source += f"; never counted on in less than the {least} days of the sheet"
    if out < first:
        out, reached = first, day_reached(first, need, warmth.daily)
        if isinstance(reached, Problem):
            return plan
        cut = max(reached, out + timedelta(days=least))
    lag = Figure(float((cut - out).days), source)
    given = replace(plan.ask.given, days_to_first_cut=lag)
    warm = plan_back(replace(plan.ask, given=given, set_out_on=out), briefly=True)
    return plan if isinstance(warm, Problem) or not warm.plants_out else warm


def _own_units(ask: Ask) -> Figure[float] | None:
    """The heat units to the first cut, as usual, where the sheet has them and no days were said instead."""
    units = ask.sheet.heat_units_to_first_cut
    if units is None or ask.sheet.heat_base_f is None or ask.given.days_to_first_cut is not None:
        return None
    return Figure(usual(units.value), units.source)


def _for_week(ask: Ask, week: Week) -> Ask:
    wish = replace(ask.wish, by=week.end, stems=week.wanted)
    return replace(ask, wish=wish, only_days=week.days, set_out_on=None, steady=TIMING)


def _beside(plans: Sequence[Plan], ask: Ask, out: date) -> Ask:
    """The ask of a week, less what the sowings before it are still giving then, so much as they were sized for."""
    wish, days, given = ask.wish, ask.only_days or 7, 0.0
    for plan in plans:
        own = share_in_time(plan, plan.wish.by, plan.ask.only_days or 7)
        given += plan.wish.stems * share_in_time(plan, wish.by, days) / own
    least = ceil(wish.stems * LEAST_OF_OWN)
    return replace(ask, wish=replace(wish, stems=max(wish.stems - int(given), least)), set_out_on=out)


def _chances(ask: Ask, weeks: Sequence[Week], plans: Sequence[Plan]) -> list[float]:
    """For every week the chance that what stands and all the sowings together give what is wanted in it."""
    found: list[Sequence[OfPlant]] = [given_beside(_for_week(ask, week))[:FEW] for week in weeks]
    for plan in plans:
        if not plan.plants_out:
            continue
        for i, week in enumerate(weeks):
            each_week = replace(_for_week(plan.ask, week), steady=frozenset())
            course = Course.of(each_week)
            if isinstance(course, Problem) or share_in_time(plan, week.end, week.days + 4 * NEAR_DAYS) <= 0:
                continue
            seasons = seasons_of(columns_of(each_week, course, FEW), usual_season(each_week, course))
            each = of_plants(each_week, course, plan.in_bed_from, seasons)
            found[i] = [
                together(before, of, plan.plants_out) for before, of in zip(found[i], each, strict=True)
            ]
    return [chance_of(week.wanted, 1, each) for week, each in zip(weeks, found, strict=True)]


def _rate(plan: Plan, week: Week) -> float:
    """The share of a plant's stems that is cut in the week, as if it had seven days."""
    return share_in_time(plan, week.end, week.days) * 7 / week.days


def _steady(plan: Plan, weeks: Sequence[Week]) -> list[float]:
    """The rates of the weeks that a planting serves, from the first on while it does not fall off."""
    rates: list[float] = []
    for week in weeks:
        rate = _rate(plan, week)
        if rates and rate < STEADY * max(rates):
            break
        rates.append(rate)
    return rates


def weekly_json(plans: Sequence[Plan], weeks: Sequence[Week]) -> dict[str, Any]:
    """The sowings of a weekly wish and what each week may expect, as plain values."""
    return {
        "plans": [plan_json(plan) for plan in plans],
        "weeks": [
            {
                "week": w.start,
                "to": w.end,
                "wanted": w.wanted,
                "expected": w.expected,
                "sowing": w.plan,
                "chance": round(w.chance, 2),
                "note": w.note,
            }
            for w in weeks
        ],
    }
