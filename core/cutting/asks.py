"""What there is to look at for cutting this morning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from core.asks import Asked, Part, Sight
from core.beds.asks import beds_of
from core.beds.rows import PlantingRow
from core.cutting.intervals import usual_days
from core.field.closed import shut_this_morning
from core.settings.sheets import caution


class AtStage(NamedTuple):
    """A crop to look at for cutting, per use; `days_since` its last cut, None where it was not cut yet."""

    bed: str
    crop: str
    variety: str | None
    uses: tuple[str, ...]
    last_cut: str | None
    days_since: int | None
    because: str
    planting: str
    """The code of what is to be cut."""
    every_days: int = 1
    """Days after which it is usually to be cut again."""
    waits: float = 1.0
    """Days since its last cut, or since the first was to be looked for, over `every_days`; from 1 on it is due."""
    is_last_chance: bool = False
    """Whether frost may end it tonight."""
    called: str = ""
    """Crop and variety, and what tells it from another such in its bed."""


def at_stage(sight: Sight) -> tuple[AtStage, ...]:
    """What to look at for cutting: first what tonight's frost may end, then by how long it has waited beside the days
    that are usual between two cuts of its crop; what a label closes is left out."""
    shut = shut_this_morning(sight)
    rows = [
        row
        for bed in sight.once(beds_of)
        if bed.bed not in shut
        for p in bed.plantings
        if p.at_stage and (row := _at_stage(bed.bed, p, sight.day)).days_since != 0
    ]
    return tuple(sorted(rows, key=lambda r: (not r.is_last_chance, -r.waits)))


def _season_of(cut_from: str) -> str:
    """The day from which a cut is of the season whose cutting begins on that day, or was to."""
    return (date.fromisoformat(cut_from) - timedelta(days=EARLIEST)).isoformat()


EARLIEST = 150
"""So many days before its time a crop that stands for years is never cut: that was the season before (ours)."""


def _at_stage(bed: str, p: PlantingRow, day: date) -> AtStage:
    every = usual_days(p.crop)
    since, waits = None, 1.0
    if p.last_cut and p.cut_from and p.last_cut >= _season_of(p.cut_from):
        since = (day - date.fromisoformat(p.last_cut)).days
        waits = since / every
    elif p.cut_from:
        # its first stems are the ones that are missed: it is looked at every day, and leads as it waits
        waits = 1 + (day - date.fromisoformat(p.cut_from)).days / every
    last_chance = p.job == "cut all tonight"
    return AtStage(
        bed,
        p.crop,
        p.variety,
        p.at_stage,
        p.last_cut,
        since,
        p.because,
        p.planting,
        every,
        waits,
        last_chance,
        p.called,
    )


def care(sight: Sight) -> tuple[tuple[str, str], ...]:
    """(crop, caution) for handling what may be cut today."""
    crops = dict.fromkeys(row.crop for row in sight.once(at_stage))
    return tuple((crop, said) for crop in crops if (said := caution(sight.farm, crop)))


def _once(sight: Sight) -> tuple[AtStage, ...]:
    return sight.once(at_stage)


def _asked(rows: Sequence[AtStage]) -> Iterator[Asked]:
    """`amount` are the uses as letters, `days` below 0 for what is due and 1 for what may wait for another day."""
    for row in rows:
        since = "new" if row.days_since is None else f"{row.days_since} d"
        yield Asked(
            ("to cut", row.planting),
            row,
            row.bed,
            "cut",
            row.called,
            " ".join(use[0] for use in row.uses),
            when="cut!" if row.is_last_chance else since,
            days=-row.waits if row.waits >= 1 or row.is_last_chance else 1,
            zone="cut",
        )


PARTS = (Part("at_stage", "To look at for cutting", 90, _once, _asked),)
