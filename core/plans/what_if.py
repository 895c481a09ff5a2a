"""Move one number of a wish and see what else moves."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from itertools import zip_longest

from core.crops.frost_dates import SPRING_BOUNDS
from core.crops.sheet import Figure
from core.dialect import told_frost, told_length
from core.marked import length_word, typed_frost
from core.plans.backward_plan import plan_back
from core.plans.plan import Plan, plan_json, stems_a_bunch
from core.plans.succession import Warmth
from core.plans.weekly import Week, WeeklyPlan, plan_weekly
from core.plans.wish import Ask
from core.problems import Problem
from core.units import short_day

FIGURES = (
    "germination",
    "survival",
    "sure",
    "rho",
    "doubles",
    "bed_emergence",
    "bed_loss",
    "cull",
    "drying_loss",
    "storage_loss",
    "finish_days",
    "hold_days",
    "bed_width_in",
    "cells_per_tray",
    "spacing_in",
    "stems_per_plant",
    "stems_sd",
    "cut_weeks",
    "days_to_first_cut",
)
AMOUNTS = ("stems", "bunches", "risk")
DAYS = ("by", "set_out_on")
WEEKLY_DAYS = ("from", "until")
NUMBERS = (*FIGURES, *AMOUNTS, *DAYS)
"""What can be moved in a wish for one day; "by" and "set_out_on" are days."""
WEEKLY_NUMBERS = (*FIGURES, *AMOUNTS, *WEEKLY_DAYS)
"""What can be moved in a wish for every week; "from" and "until" are days."""
SAID = "what if"
TOLD_PERCENT = 2
"""A week that comes out so many parts in a hundred better or worse is told; less is rounding."""
_NOT_COMPARED = ("because", "cut_by_week")
_OF_A_SOWING = (
    "sow",
    "set_out",
    "cut_from",
    "cut_to",
    "plants_to_set_out",
    "seeds",
    "trays",
    "grams",
    "feet",
)


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that comes out otherwise, as text; "none" where there is none."""

    name: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Compared:
    """What was reckoned before, what it would be, and only what differs between them."""

    old: Plan | WeeklyPlan
    new: Plan | WeeklyPlan
    differences: tuple[Difference, ...]


def what_if(ask: Ask, name: str, value: float | date) -> Compared | Problem:
    """Reckon `ask` with one of `NUMBERS` moved to `value`; a Problem where either plan cannot be.

    "risk" is the chance in a hundred of the class's own spring threshold after setting out, "by" and
    "set_out_on" are days, all others numbers.
    """
    if name not in NUMBERS:
        return _not_moved(NUMBERS, name in WEEKLY_DAYS, "In a plan for one day the day is 'by'.")
    moved = _moved(ask, name, value)
    if isinstance(moved, Problem):
        return moved
    old, new = plan_back(ask), plan_back(moved)
    if isinstance(old, Problem):
        return old
    return new if isinstance(new, Problem) else Compared(old, new, differences(old, new))


def what_if_weekly(
    ask: Ask,
    start: date,
    until: date | None,
    name: str,
    value: float | date,
    *,
    warmth: Warmth | None = None,
) -> Compared | Problem:
    """As `what_if`, of so many stems every week from `start` to `until` (None: the first autumn frost), with one
    of `WEEKLY_NUMBERS` moved."""
    if name not in WEEKLY_NUMBERS:
        return _not_moved(
            WEEKLY_NUMBERS, name in DAYS, "In a plan for every week the days are 'from' and 'until'."
        )
    moved_ask, begin, end = ask, start, until
    if name in WEEKLY_DAYS:
        if not isinstance(value, date):
            return _no_day()
        begin, end = (value, until) if name == "from" else (start, value)
    else:
        moved = _moved(ask, name, value)
        if isinstance(moved, Problem):
            return moved
        moved_ask = moved
    old = plan_weekly(ask, start, until, warmth=warmth)
    new = plan_weekly(moved_ask, begin, end, warmth=warmth)
    if isinstance(old, Problem):
        return old
    return new if isinstance(new, Problem) else Compared(old, new, weekly_differences(old, new))


def differences(old: Plan, new: Plan) -> tuple[Difference, ...]:
    """What differs between two plans, in the order of a plan."""
    before, after = plan_json(old), plan_json(new)
    return tuple(
        Difference(name.replace("_", " "), _text(before[name]), _text(after[name]))
        for name in before
        if name not in _NOT_COMPARED and before[name] != after[name]
    )


def weekly_differences(old: WeeklyPlan, new: WeeklyPlan) -> tuple[Difference, ...]:
    """What differs between two weekly plans: in all, sowing by sowing, and in the weeks."""
    told = [
        ("until", short_day(old.until), short_day(new.until)),
        ("sowings", str(len(old.plans)), str(len(new.plans))),
        ("weeks that fall short", _short_weeks(old), _short_weeks(new)),
        ("seeds in all", _seeds(old), _seeds(new)),
        (f"{length_word()} in all", _feet(old), _feet(new)),
    ]
    for i, (before, after) in enumerate(zip_longest(old.plans, new.plans), start=1):
        was = plan_json(before) if before is not None else {}
        is_now = plan_json(after) if after is not None else {}
        told += [
            (f"sowing {i}: {name.replace('_', ' ')}", _text(was.get(name)), _text(is_now.get(name)))
            for name in _OF_A_SOWING
        ]
    # a week is told where it comes out better or worse, not where more or less is wished for in all of them
    weeks = {week.start: week for week in new.weeks}
    told += [
        (
            f"week of {short_day(week.start)}",
            _week(week),
            _week(other),
        )
        for week in old.weeks
        if (other := weeks.get(week.start)) is not None
        and abs(_percent(week) - _percent(other)) >= TOLD_PERCENT
    ]
    return tuple(Difference(*each) for each in told if each[1] != each[2])


def _short_weeks(plan: WeeklyPlan) -> str:
    return f"{sum(week.is_short for week in plan.weeks)} of {len(plan.weeks)}"


def _seeds(plan: WeeklyPlan) -> str:
    return str(sum(each.seeds or 0 for each in plan.plans))


def _feet(plan: WeeklyPlan) -> str:
    return told_length(sum(each.feet for each in plan.plans))


def _percent(week: Week) -> int:
    return round(100 * week.expected / week.wanted)


def _week(week: Week) -> str:
    return f"{week.expected} of {week.wanted}"


def _not_moved(names: tuple[str, ...], is_other: bool, hint: str) -> Problem:
    return Problem(hint if is_other else f"What can be moved: {', '.join(names)}.", "unknown", names)


def _no_day() -> Problem:
    return Problem("A day is written as 2026-06-23.")


def _moved(ask: Ask, name: str, value: float | date) -> Ask | Problem:
    if name in DAYS:
        if not isinstance(value, date):
            return _no_day()
        if name == "by":
            return replace(ask, wish=replace(ask.wish, by=value))
        return replace(ask, set_out_on=value)
    if isinstance(value, date):
        return Problem(f"{name.replace('_', ' ')} is a number, not a day.")
    if name in ("stems", "bunches"):
        each = stems_a_bunch(ask.sheet, ask.wish.use) if name == "bunches" else 1
        return replace(ask, wish=replace(ask.wish, stems=round(value * each)))
    if name == "risk":
        return _at_risk(ask, round(value))
    return replace(ask, given=replace(ask.given, **{name: Figure(value, SAID)}))


def _at_risk(ask: Ask, risk: int) -> Ask | Problem:
    """The same ask, its class waiting for its own threshold at another chance."""
    kind = ask.sheet.hardiness_class
    usual = (*(ask.bounds or {}).get(kind, ()), *SPRING_BOUNDS[kind])
    threshold = next((at for at, chance in usual if (at, chance) in ask.frost.spring), usual[0][0])
    if (threshold, risk) not in ask.frost.spring:
        known = sorted(chance for at, chance in ask.frost.spring if at == threshold)
        have = f"known are {', '.join(f'{chance} %' for chance in known)}" if known else "none is known"
        return Problem(
            f"The date of {told_frost(threshold)} at {risk} % is not known; {have}. With a station, "
            f"'shedbook weather risk {kind} {typed_frost(threshold)} {risk}%' reckons it.",
            "impossible",
            tuple(str(chance) for chance in known),
        )
    return replace(ask, bounds={**(ask.bounds or {}), kind: ((threshold, risk),)})


def _text(value: object) -> str:
    if value is None:
        return "none"
    if isinstance(value, list):
        return " to ".join(dict.fromkeys(f"{part:g}" for part in value))
    return f"{value:g}" if isinstance(value, float) else str(value)
