"""Where the fresh stems of a lot have stood since the cut: in the bucket, in the cooler, and from when on.

Kept in `Lot.stays`. Part of a lot may stand in the cooler and part in the bucket; each part has its own path.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TypeAlias

from core.clocks import MORNING
from core.farm import Lot
from core.happened import Stay
from core.places import BUCKET, COOLER, Place

Path: TypeAlias = list[Stay]


def begin(lot: Lot, on: str, clock: str | None) -> None:
    """The cut comes into the bucket."""
    lot.stays[BUCKET] = [Stay(BUCKET, on, clock)]


def path_of(lot: Lot, place: Place) -> Path:
    """The stays of what is in `place` now; where no path is known, in the bucket since the cut: the worst of it."""
    known = lot.stays.get(place)
    return known if known else [Stay(BUCKET, lot.cut_on, lot.cut_at)]


def follow(lot: Lot, path: Path, place: str, on: str, clock: str | None, *, is_joining: bool) -> None:
    """Stems that went along `path` have come to `place`.

    Where they join others already there they can no more be told apart: all are then taken to be as old as the older,
    by the hours out of the cooler.
    """
    at = Place(place)
    if not at.is_fresh or at not in lot.holdings:
        return
    here = [*path, Stay(at, on, clock)]
    there = path_of(lot, at) if is_joining else None
    if not there or hours_warm(here, on, clock) > hours_warm(there, on, clock):
        lot.stays[at] = here


def forget(lot: Lot, place: Place) -> None:
    """Nothing of the lot is in `place` any more."""
    lot.stays.pop(place, None)


def hours_warm(path: Sequence[Stay], day: str, clock: str | None) -> float:
    """Hours out of the cooler up to a time, by the wall clock; a stay written before the last one began is no stay."""
    until = _wall(day, clock)
    begun = [_wall(stay.on, stay.clock) for stay in path]
    hours = 0.0
    for n, stay in enumerate(path):
        if stay.place != COOLER:
            start = max(begun[: n + 1])
            end = max(min(until, begun[n + 1]), start) if n + 1 < len(path) else max(until, start)
            hours += (end - start).total_seconds() / 3600
    return hours


def _wall(day: str, clock: str | None) -> datetime:
    return datetime.fromisoformat(f"{day}T{clock or MORNING}")
