"""A plan: a wish reckoned back to the seed, each link with its reason."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import ceil
from typing import Any

from core.crops.sheet import Sheet, Span
from core.crops.windows import Calendar
from core.plans.wish import Ask, Wish
from core.shed.line_room import USUAL_BUNCH


@dataclass(frozen=True, slots=True)
class Step:
    """One link of the chain: what it is called, what it comes to, why, and whose word that is."""

    name: str
    says: str
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class CutWeek:
    """Stems expected to be cut in the week that begins on `monday`, of those that count."""

    monday: date
    stems: int


@dataclass(frozen=True, slots=True)
class Plan:
    """A wish reckoned back to the seed.

    `plants` are those that must stand to be cut, `plants_out` those to set out, `seeds` for so many plants.
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
    steps: tuple[Step, ...]
    calendar: Calendar

    @property
    def wish(self) -> Wish:
        return self.ask.wish

    @property
    def in_bed_from(self) -> date:
        """The day from which it takes its feet of bed."""
        day = self.set_out_on or self.sow_on
        assert day is not None
        return day


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
        "cut_by_week": [{"week": day(week.monday), "stems": week.stems} for week in plan.by_week],
        "because": [f"{s.name}: {s.says}; {s.because} ({s.source})" for s in plan.steps],
    }
