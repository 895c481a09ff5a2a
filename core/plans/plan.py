"""A plan: a wish reckoned back to the seed, each link with its reason."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import Any

from core.crops.sheet import Sheet, Span
from core.crops.windows import Calendar
from core.plans import flushes as flush
from core.plans.crop_season import Course
from core.plans.seasons import Doubt
from core.plans.wish import Ask, Wish
from core.shed.line_room import USUAL_BUNCH
from core.units import number


@dataclass(frozen=True, slots=True)
class Step:
    """One link of the chain: what it is called, what it comes to, why, and whose word that is."""

    name: str
    says: str
    because: str
    source: str
    cheaper: Cheaper | None = None
    """Where it tells of another way that keeps the promise about as surely: what that takes."""


@dataclass(frozen=True, slots=True)
class Cheaper:
    """How else the wish could be met ("in 3 plantings 14 days apart"), and the plants to set out for it."""

    how: str
    plants: int


@dataclass(frozen=True, slots=True)
class CutWeek:
    """Stems expected to be cut in the week that begins on `monday`, of those that count."""

    monday: date
    stems: int


@dataclass(frozen=True, slots=True)
class Promise:
    """How sure a plan is: the chance (0 to 1) that its promise is kept, the plants to set out that would do one year in
    two, and the figure that carries most of the doubt."""

    chance: float
    even: int
    doubt: Doubt | None


@dataclass(frozen=True, slots=True)
class Plan:
    """A wish reckoned back to the seed.

    `plants_out` are the plants to set out, `plants` those of them that stand to be cut in a usual season, `seeds` for
    so many plants. `first_cut` are the days of one year in ten and of nine years in ten, all other days and the stems
    of `by_week` those of a usual season.
    Where the crop is drilled there is no `set_out_on`, and no cells; where it is planted as a tuber or bought
    plant no `sow_on` and no seeds. `cut_from` to `cut_to` are the days whose stems count; `grams` are (least,
    most). `occupied_to` is the last day in the bed.
    """

    ask: Ask
    to_cut: int
    plants: int
    plants_out: int
    seeds: int | None
    cells: int | None
    cell_size: int | None
    trays: int | None
    grams: Span | None
    feet: float
    sow_on: date | None
    harden_on: date | None
    set_out_on: date | None
    first_cut: tuple[date, date]
    cut_from: date
    cut_to: date
    ready_on: date
    occupied_to: date
    drying_days: int | None
    per_bunch: int
    by_week: tuple[CutWeek, ...]
    promise: Promise
    steps: tuple[Step, ...]
    calendar: Calendar
    stands: tuple[str, ...] = ()
    """The plantings that meet it, where nothing has to be planted for it (`plants_out` 0), or give a part of it."""

    @property
    def wish(self) -> Wish:
        return self.ask.wish

    @property
    def in_bed_from(self) -> date:
        """The day from which the plan takes its feet of bed: set out, drilled, or the first cut of what stands."""
        return self.set_out_on or self.sow_on or self.cut_from


def by_week(course: Course, out: date, cut_from: date, cut_to: date, plants: float) -> tuple[CutWeek, ...]:
    """Stems expected a week of so many plants; rounded as a running sum, so that they add up."""
    first = course.first_cut(out)
    found, given, total = [], 0, 0.0
    monday = cut_from - timedelta(days=cut_from.weekday())
    while monday <= cut_to:
        start, end = max(monday, cut_from), min(monday + timedelta(days=6), cut_to)
        total += plants * course.stems_each() * flush.share_between(course.flushes, first, start, end)
        found.append(CutWeek(monday, round(total) - given))
        given = round(total)
        monday += timedelta(days=7)
    return tuple(found)


def times_in_100(chance: float) -> str:
    return f"{number(round(100 * chance))} times in 100"


def stems_a_bunch(sheet: Sheet, use: str) -> int:
    """Stems in a bunch of that use: the fewest of the sheet's range."""
    bunch = sheet.stems_per_fresh_bunch if use == "fresh" else sheet.stems_per_dried_bunch
    return round(bunch.value[0]) if bunch is not None else USUAL_BUNCH


def plan_json(plan: Plan) -> dict[str, Any]:
    """The plan as plain values; dates as "YYYY-MM-DD"."""
    wish = plan.wish

    def day(value: date | None) -> str | None:
        return value.isoformat() if value is not None else None

    return {
        "crop": wish.crop,
        "way": wish.way,
        "variety": wish.variety,
        "use": wish.use,
        "stems": wish.stems,
        "by": day(wish.by),
        "bunches": ceil(wish.stems / plan.per_bunch),
        "stems_to_cut": plan.to_cut,
        "plants": plan.plants,
        "plants_to_set_out": plan.plants_out,
        "feet": plan.feet,
        "seeds": plan.seeds,
        "cells": plan.cells,
        "cell_size": plan.cell_size,
        "trays": plan.trays,
        "grams": list(plan.grams) if plan.grams else None,
        "sow": day(plan.sow_on),
        "harden": day(plan.harden_on),
        "set_out": day(plan.set_out_on),
        "cut_from": day(plan.cut_from),
        "cut_to": day(plan.cut_to),
        "ready": day(plan.ready_on),
        "chance": round(plan.promise.chance, 2),
        "plants_one_year_in_two": plan.promise.even,
        "stands": list(plan.stands),
        "most_doubt": plan.promise.doubt.figure if plan.promise.doubt else None,
        "cut_by_week": [{"week": day(week.monday), "stems": week.stems} for week in plan.by_week],
        "because": [f"{s.name}: {s.says}; {s.because} ({s.source})" for s in plan.steps],
    }
