"""What there is to look at for cutting this morning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from core.asks import PageLine, Part, Sight, item
from core.beds.asks import beds_of
from core.crops.library import caution
from core.text import named


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


def at_stage(sight: Sight) -> tuple[AtStage, ...]:
    """What to look at for cutting, the longest uncut first."""
    rows = []
    for bed in sight.once(beds_of):
        for p in bed.plantings:
            if p.at_stage:
                since = (sight.day - date.fromisoformat(p.last_cut)).days if p.last_cut else None
                if since != 0:
                    rows.append(
                        AtStage(
                            bed.bed, p.crop, p.variety, p.at_stage, p.last_cut, since, p.because, p.planting
                        )
                    )
    # longest uncut first; what was never cut leads, its first stems are the ones that are missed
    return tuple(sorted(rows, key=lambda r: (-(r.days_since if r.days_since is not None else 999), r.bed)))


def care(sight: Sight) -> tuple[tuple[str, str], ...]:
    """(crop, caution) for handling what may be cut today."""
    crops = dict.fromkeys(row.crop for row in sight.once(at_stage))
    return tuple((crop, said) for crop in crops if (said := caution(crop)))


def _once(sight: Sight) -> tuple[AtStage, ...]:
    return sight.once(at_stage)


def _lines(rows: Sequence[AtStage]) -> Iterator[PageLine]:
    """What waits longest, a line each; what was cut yesterday, all in one."""
    for row in rows:
        if row.days_since != 1:
            since = "not cut yet" if row.days_since is None else f"cut {row.days_since} days ago"
            rest = f"{'/'.join(row.uses):15} {since}"
            yield item(row.bed, named(row.crop, row.variety), rest, ("to cut", row.planting), row)
    again = [f"{row.bed} {named(row.crop, row.variety)}" for row in rows if row.days_since == 1]
    if again:
        yield PageLine("item", "  cut yesterday, look again: " + "; ".join(again), opens="cut")


PARTS = (Part("at_stage", "To look at for cutting", 90, _once, _lines),)
"""The longest list last: what spoils, and what is one line, must not lie below it."""
