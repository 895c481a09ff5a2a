"""What the beds ask of the morning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from core.asks import Alert, Asked, Part, Sight
from core.beds.rows import TONIGHT, BedRow, Job, bed_rows
from core.field.closed import closures_now
from core.marked import typed_low
from core.units import short_day
from core.weather.night import asked_of_frost


class BedTask(NamedTuple):
    """One job due in a bed today."""

    bed: str
    crop: str
    job: Job
    because: str
    planting: str
    """The code of what stands there and is to be worked on."""
    called: str = ""
    """Crop and variety, and what tells it from another such in its bed."""


def beds_of(sight: Sight) -> list[BedRow]:
    """The beds of this morning: for `Sight.once`."""
    return bed_rows(sight.farm, sight.day, sight.by_warmth)


def _tasks(sight: Sight) -> tuple[BedTask, ...]:
    shut = {one.bed: one for one in closures_now(sight)}
    return tuple(
        BedTask(b.bed, p.crop, job, because, p.planting, p.called)
        for b in sight.once(beds_of)
        for p in b.plantings
        for job, because in ((p.job, p.because), *p.also)
        if job not in ("", "cut") and (p.due or job != p.job)
        if job in TONIGHT or b.bed not in shut or not shut[b.bed].until
    )


def _asked(tasks: Sequence[BedTask]) -> Iterator[Asked]:
    for task in tasks:
        told = Asked(("planting", task.planting), task, task.bed, task.job, task.called, when=task.because)
        if do := TONIGHT.get(task.job):
            yield told._replace(do=do, zone="tonight")
        else:
            yield told


def cautions(sight: Sight) -> list[Alert]:
    """Once the usual first frost has gone by and no low tells of it, whether it came."""
    first = asked_of_frost(sight.farm, sight.day)
    if first is None:
        return []
    says = (
        f"no low is written since the usual first frost, {short_day(first)}; write what it was, such as: low "
        f"{typed_low(30)}"
    )
    return [Alert(f"was there a frost? write: low {typed_low(30)}", f"was there a frost? {says}.", "act")]


PARTS = (Part("beds", "Beds", 30, _tasks, _asked),)
