"""So many stems every week from a day on, or until frost: sowings one after another, each sized for its
weeks."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from core.growing.calendar import cutting_ends
from core.planning.chain import Plan, plan_back, share_in_time
from core.planning.wish import Ask
from core.problems import Problem
from core.units import short_day

STEADY = 0.9
"""A sowing serves a week as long as it gives this much of its best week."""
MOST_WEEKS = 60
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

    What a sowing gives before and after its own weeks is not counted: it stands by for a poor one.
    """

    plans: tuple[Plan, ...]
    weeks: tuple[Week, ...]
    until: date


def plan_weekly(ask: Ask, start: date, until: date | None = None) -> WeeklyPlan | Problem:
    """Sowings that give the wish's stems in every week from `start` to `until` (None: the first autumn
    frost).

    The wish's own day does not matter. A week that no sowing can serve stays in the list and says why; where
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
    return _sowings(ask, starts, until)


def _sowings(ask: Ask, starts: list[date], until: date) -> WeeklyPlan | Problem:
    plans: list[Plan] = []
    weeks: list[Week] = []
    refused: Problem | None = None
    i = 0
    while i < len(starts):
        first = plan_back(_for_week(ask, starts[i]))
        if isinstance(first, Problem):
            refused = refused or first
            weeks.append(Week(starts[i], ask.wish.stems, 0, None, first.sentence))
            i += 1
            continue
        if plans and first.in_bed_from == plans[-1].in_bed_from:
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
        week = replace(_for_week(ask, starts[i + best]), set_out_on=first.in_bed_from)
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
    return WeeklyPlan(tuple(plans), tuple(weeks), until)


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
