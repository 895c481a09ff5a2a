"""The days of what stands in the beds, for the calendar: jobs with a day, and the weeks of cutting."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from core.asks import Sight
from core.beds.asks import beds_of
from core.dated import Dated
from core.settings.sheets import year_of

JOBS = ("net", "pinch", "lift", "clear")
"""Those that have a day of their own; what a night asks stands on the morning page."""


def _jobs(sight: Sight) -> Iterator[Dated]:
    for bed in sight.once(beds_of):
        for row in bed.plantings:
            planting = sight.farm.plantings.get(row.planting)
            if planting is not None and row.job in JOBS and row.job_on:
                says = f"{row.job} {row.called} in {bed.bed} ({row.planting})"
                yield Dated((planting.made_by, row.job), row.job_on, row.job_on, says, row.because)


def _windows(sight: Sight) -> Iterator[Dated]:
    for bed in sight.once(beds_of):
        for row in bed.plantings:
            planting = sight.farm.plantings.get(row.planting)
            if planting is not None and row.cut_from:
                last = max(row.cut_to or row.cut_from, row.cut_from)
                says = f"cut {row.called} in {bed.bed} ({row.planting})"
                key = (planting.made_by, str(year_of(sight.farm, date.fromisoformat(row.cut_from))))
                yield Dated(key, row.cut_from, last, says, row.first_cut_because)


EVENTS = {"beds": _jobs, "cutting": _windows}
