"""Move one number of a plan and see what else moves."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from core.crops.sheet import Figure
from core.growing.calendar import SPRING_BOUNDS
from core.planning.chain import plan_back
from core.planning.plan import Plan, plan_json
from core.planning.wish import Ask
from core.problems import Problem

FIGURES = (
    "germination",
    "survival",
    "sure",
    "rho",
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
"""The figures that can be moved; besides them "stems", "by", "set_out_on" and "risk"."""

NUMBERS = (*FIGURES, "stems", "by", "set_out_on", "risk")
SAID = "what if"
_NOT_COMPARED = ("because", "cut_by_week")


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that comes out otherwise, as text; "none" where there is none."""

    name: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Compared:
    """The plan as it was, as it would be, and only what differs between them."""

    old: Plan
    new: Plan
    differences: tuple[Difference, ...]


def what_if(ask: Ask, name: str, value: float | date) -> Compared | Problem:
    """Reckon `ask` with one of `NUMBERS` moved to `value`; a Problem where either plan cannot be.

    "risk" is the chance in a hundred of the class's own spring threshold after setting out, "by" and
    "set_out_on" are days, all others numbers.
    """
    moved = _moved(ask, name, value)
    if isinstance(moved, Problem):
        return moved
    old, new = plan_back(ask), plan_back(moved)
    for plan in (old, new):
        if isinstance(plan, Problem):
            return plan
    assert isinstance(old, Plan) and isinstance(new, Plan)
    return Compared(old, new, differences(old, new))


def differences(old: Plan, new: Plan) -> tuple[Difference, ...]:
    """What differs between two plans, in the order of a plan."""
    before, after = plan_json(old), plan_json(new)
    return tuple(
        Difference(name.replace("_", " "), _text(before[name]), _text(after[name]))
        for name in before
        if name not in _NOT_COMPARED and before[name] != after[name]
    )


def _moved(ask: Ask, name: str, value: float | date) -> Ask | Problem:
    if name not in NUMBERS:
        return Problem(f"What can be moved: {', '.join(NUMBERS)}.", "unknown", NUMBERS)
    if name in ("by", "set_out_on"):
        if not isinstance(value, date):
            return Problem("A day is written as 2026-06-23.")
        if name == "by":
            return replace(ask, wish=replace(ask.wish, by=value))
        return replace(ask, set_out_on=value)
    if isinstance(value, date):
        return Problem(f"{name.replace('_', ' ')} is a number, not a day.")
    if name == "stems":
        return replace(ask, wish=replace(ask.wish, stems=round(value)))
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
            f"The date of {threshold} F at {risk} % is not known; {have}.",
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
