"""So many stems every week from a day on, or until frost: sowings one after another, each sized for its
weeks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from core.crops.sheet import Figure
from core.growing.calendar import cutting_ends
from core.planning.chain import may_begin, plan_back, share_in_time
from core.planning.plan import CutWeek, Plan, plan_json
from core.planning.succession import Warmth, day_reached, sowings_for_cuts, warmth_of
from core.planning.wish import Ask
from core.problems import Problem
from core.units import short_day

STEADY = 0.9
"""A sowing serves a week as long as it gives this much of its best week."""
MOST_WEEKS = 60
BY_DAYS = "the days of the crop's sheet"
FIRST_FLUSH = "its first flush only: fewer stems"
LAST_FLUSH = "the end of its cutting, and it cannot be planted later: fewer stems"


@dataclass(frozen=True, slots=True)
class Week:
    """One week of the wish: stems wanted and to be expected, from which of the plans, and why it falls
    short."""

    start: date
    wanted: int
    expected: int
    plan: int | None
    note: str = ""


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

    The wish's own day does not matter. With `warmth` the sheet's days to the first cut hold for a planting at
    the opening of the crop's window, and become what heat units those days have: later sowings are spaced so
    that their cuts come evenly. A week that no sowing can serve stays in the list and says why; where
    none can be served the reason is the answer.
    """
    if until is None:
        ends = cutting_ends(ask.sheet, ask.frost)
        if ends is None:
            return Problem("The first autumn frost is not known: say until when.", "impossible")
        until = ends[0]
    if until < start + timedelta(days=6):
        return Problem(
            f"From {short_day(start)} to {short_day(until)} is less than a week: give a later day.",
            "impossible",
        )
    count = ((until - start).days + 1) // 7
    if count > MOST_WEEKS:
        return Problem(f"At most {MOST_WEEKS} weeks are planned at once.", "impossible")
    starts = [start + timedelta(days=7 * i) for i in range(count)]
    made = _sowings(ask, starts, until, warmth)
    if isinstance(made, Problem):
        return made
    return replace(made, plans=tuple(_by_week(plan, i, made.weeks) for i, plan in enumerate(made.plans)))


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


def _sowings(ask: Ask, starts: list[date], until: date, warmth: Warmth | None) -> WeeklyPlan | Problem:
    plans: list[Plan] = []
    weeks: list[Week] = []
    refused: Problem | None = None
    i = 0
    while i < len(starts):
        first = plan_back(_for_week(ask, starts[i]))
        if warmth is not None and isinstance(first, Plan):
            first = _as_warm(first, warmth)
        if isinstance(first, Problem):
            refused = refused or first
            weeks.append(Week(starts[i], ask.wish.stems, 0, None, first.sentence))
            i += 1
            continue
        if plans and first.in_bed_from <= plans[-1].in_bed_from:
            # it cannot be planted later than the last one: that one must do
            share = share_in_time(plans[-1], first.wish.by)
            best_week = share_in_time(plans[-1], plans[-1].wish.by)
            expected = round(ask.wish.stems * share / best_week)
            weeks.append(Week(starts[i], ask.wish.stems, expected, len(plans) - 1, LAST_FLUSH))
            plans[-1] = replace(plans[-1], cut_to=first.cut_to, occupied_to=first.occupied_to)
            i += 1
            continue
        shares = _steady(first, starts[i:])
        best = max(range(len(shares)), key=shares.__getitem__)
        week = replace(_for_week(first.ask, starts[i + best]), set_out_on=first.in_bed_from)
        plan = plan_back(week)
        if isinstance(plan, Problem):  # cannot be: the same planting, a better week
            return plan
        last = _for_week(ask, starts[i + len(shares) - 1]).wish.by - (plan.wish.by - plan.cut_to)
        plans.append(replace(plan, cut_from=first.cut_from, cut_to=last, occupied_to=last))
        for share in shares:
            expected = round(ask.wish.stems * share / shares[best])
            short = "" if share >= STEADY * shares[best] else FIRST_FLUSH
            weeks.append(Week(starts[i], ask.wish.stems, expected, len(plans) - 1, short))
            i += 1
    if not plans and refused is not None:
        return refused
    return WeeklyPlan(tuple(plans), tuple(weeks), until, warmth.source if warmth else BY_DAYS)


def _as_warm(plan: Plan, warmth: Warmth) -> Plan:
    """The same cut from a planting on the day that the warmth to come asks for.

    Where the warmth is not had, or the day is none for planting, the plan stays as the sheet's days have it.
    """
    opens, first = may_begin(plan)
    days = (plan.first_cut[1] - plan.in_bed_from).days
    need = warmth_of(days, opens, warmth.daily)
    begun = sowings_for_cuts([plan.first_cut[1]], need, warmth.daily) if need > 0 else None
    if begun is None or isinstance(begun, Problem):
        return plan
    out = max(begun[0], first)
    reached = day_reached(out, need, warmth.daily)
    if isinstance(reached, Problem):
        return plan
    source = f"{days} days from {short_day(opens)} are {round(need)} {warmth.source}"
    lag = Figure(float((reached - out).days), source)
    given = replace(plan.ask.given, days_to_first_cut=lag)
    warm = plan_back(replace(plan.ask, given=given, set_out_on=out))
    return plan if isinstance(warm, Problem) else warm


def _for_week(ask: Ask, start: date) -> Ask:
    return replace(ask, wish=replace(ask.wish, by=start + timedelta(days=6)), only_days=7, set_out_on=None)


def _steady(plan: Plan, starts: list[date]) -> list[float]:
    """The shares cut in the weeks that a planting serves, from the first on while it does not fall off."""
    shares: list[float] = []
    for start in starts:
        share = share_in_time(plan, start + timedelta(days=6))
        if shares and share < STEADY * max(shares):
            break
        shares.append(share)
    return shares


def weekly_json(plans: Sequence[Plan], weeks: Sequence[Week]) -> dict[str, Any]:
    """The sowings of a weekly wish and what each week may expect, as plain values."""
    return {
        "plans": [plan_json(plan) for plan in plans],
        "weeks": [
            {"week": w.start, "wanted": w.wanted, "expected": w.expected, "sowing": w.plan, "note": w.note}
            for w in weeks
        ],
    }
