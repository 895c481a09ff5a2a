"""What can still be done for a promise that is not sure, and the last day for it: sow, cut to hang, buy in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import NamedTuple

from core.crops.sheet import Sheet
from core.farm import Farm
from core.plans.crop_season import Course, hold_of
from core.plans.defaults import USUAL
from core.plans.save_plan import ask_on
from core.plans.wish import Ask, Wish
from core.problems import Problem
from core.promising.claims import Claim, as_need
from core.promising.supply import Supply, fitting
from core.settings.sheets import farm_sheet
from core.units import short_day, weeks

BUY_DAYS = {"fresh": 3, "dry": 7, "wired": 7, "piece": 7}
"""Days ahead by which stems are bought in: a few for fresh ones, a week for what comes by parcel (common practice)."""
USE = {"fresh": "fresh", "dry": "dry", "wired": "wire"}


class Act(NamedTuple):
    """Something to be done, the last day for it ("YYYY-MM-DD"), and why that day."""

    do: str
    by: str
    says: str


def acts_for(farm: Farm, today: date, asked: Claim, supply: Supply) -> Iterator[Act]:
    """What can be done from today on, the last chance first; nothing whose day has gone by."""
    found = [*_of_stems(farm, today, asked, supply), _buy(asked)]
    yield from sorted((act for act in found if act.by >= today.isoformat()), key=lambda act: (act.by, act.do))


def _buy(asked: Claim) -> Act:
    by = asked.stems_by - timedelta(days=BUY_DAYS[asked.form])
    return Act("buy in", by.isoformat(), f"buy in by {short_day(by)}")


def _of_stems(farm: Farm, today: date, asked: Claim, supply: Supply) -> Iterator[Act]:
    by, need = asked.stems_by, as_need(asked, supply.sorts)
    done: set[tuple[str, str]] = set()
    for crop, color, form in _wanted(asked):
        if (crop, form) in done or (sheet := farm_sheet(farm, crop, None, color or None)) is None:
            continue
        done.add((crop, form))
        stands = any(
            source.kind == "in the field" and source.crop == crop and fitting(lots, need)
            for source, lots in zip(supply.sources, supply.given(None), strict=True)
        )
        if stands and (act := _cut(sheet, form, by, farm, today)) is not None:
            yield act
        if (act := _sow(farm, today, crop, color, form, by, sheet)) is not None:
            yield act


def _wanted(asked: Claim) -> Iterator[tuple[str, str, str]]:
    """(crop, color, form) of the stems asked for, or of the parts of a piece that name a crop."""
    for one in asked.liked:
        yield one.crop, one.color, asked.form
    for part in asked.parts:
        if (crop := asked.crop_of(part)) is not None:
            yield crop, "", part.form


def _cut(sheet: Sheet, form: str, by: date, farm: Farm, today: date) -> Act | None:
    if form == "fresh":
        ask = ask_on(farm, Wish(sheet.crop, 1, "fresh", by), today)
        if isinstance(ask, Problem):
            return None
        first = max(by - timedelta(days=round(hold_of(ask).value)), today)
        when = f"from {short_day(first)} to {short_day(by)}" if first < by else f"on {short_day(by)}"
        return Act("cut", by.isoformat(), f"cut {sheet.crop} {when}")
    if sheet.drying_days is None:
        return None
    days = round(sheet.drying_days.value[1]) + round(USUAL["finish_days"].value)
    last = by - timedelta(days=days)
    return Act(
        "cut to hang", last.isoformat(), f"cut {sheet.crop} to hang by {short_day(last)} (dry in {days} days)"
    )


def _sow(farm: Farm, today: date, crop: str, color: str, form: str, by: date, sheet: Sheet) -> Act | None:
    """The last day on which a sowing gives its first stems in time, nine years in ten."""
    ask = ask_on(farm, Wish(crop, 1, USE[form], by, color or None), today)
    if isinstance(ask, Problem):
        return None
    course = Course.of(ask)
    if isinstance(course, Problem):
        return None
    out = min(_cut_by(ask, course, by) - timedelta(days=round(course.lag.value[1])), course.latest)
    if out < course.window[0]:
        return None
    what, last = ("sow", out) if course.drilled else ("set out", out)
    if not course.drilled and sheet.weeks_in_tray is not None:
        what, last = "sow", out - weeks(sheet.weeks_in_tray.value[1])
    if last < today:
        return None
    return Act(what, last.isoformat(), f"{what} {crop} by {short_day(last)}, out {short_day(out)}")


def _cut_by(ask: Ask, course: Course, by: date) -> date:
    """The last day on which stems can be cut for the day they are due, at the slow end of drying and before frost."""
    last = by
    if course.dries is not None:
        last -= timedelta(days=round(course.dries[1] + ask.given.finish_days.value))
    return (
        last if course.ends is None else min(last, course.ends[0] - timedelta(days=round(course.frost_days)))
    )
