"""What the beds ask of the morning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from core.asks import PageLine, Part, Sight, item
from core.beds.rows import BedRow, Job, bed_rows


class BedTask(NamedTuple):
    """One job due in a bed today."""

    bed: str
    crop: str
    job: Job
    because: str
    planting: str
    """The code of what stands there and is to be worked on."""


GROUPED_FROM = 3
"""The same job in so many beds takes one line."""


def beds_of(sight: Sight) -> list[BedRow]:
    """The beds of this morning: for `Sight.once`."""
    return bed_rows(sight.farm, sight.day, sight.by_warmth)


def _tasks(sight: Sight) -> tuple[BedTask, ...]:
    return tuple(
        BedTask(b.bed, p.crop, p.job, p.because, p.planting)
        for b in sight.once(beds_of)
        for p in b.plantings
        if p.due and p.job not in ("", "cut")
    )


def _lines(tasks: Sequence[BedTask]) -> Iterator[PageLine]:
    """One line a job; a job that many beds ask for is one line for all of them."""
    for job in dict.fromkeys(task.job for task in tasks):
        same = [task for task in tasks if task.job == job]
        if len(same) >= GROUPED_FROM:
            text = "; ".join(f"{task.bed} {task.crop}" for task in same)
            yield PageLine("item", f"  {job}: {text}", opens="beds")
        else:
            for task in same:
                about = "planting", task.planting
                yield item(task.bed, task.crop, f"{task.job}: {task.because}", about, task, wide=17)


PARTS = (Part("beds", "Beds", 30, _tasks, _lines),)
