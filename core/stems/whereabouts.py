"""Where the fresh stems of a lot have stood since the cut: in the bucket, in the cooler, and from when on.

Kept in `Lot.stays`: place the stems are in now -> [place, day, "HH:MM" or None] of every stay, in order. Part of a lot
may stand in the cooler and part in the bucket; each part has its own path.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from core.clocks import MORNING
from core.farm import BUCKET, COOLER, FRESH_PLACES, Lot

Path = list[list[Any]]


def begin(lot: Lot, on: str, clock: str | None) -> None:
    """The cut comes into the bucket."""
    lot.stays[BUCKET] = [[BUCKET, on, clock]]


def path_of(lot: Lot, place: str) -> Path:
    """The stays of what is in `place` now; where no path is known, in the bucket since the cut: the worst of it."""
    known = lot.stays.get(place)
    return known if known else [[BUCKET, lot.cut_on, lot.cut_at]]


def follow(lot: Lot, path: Path, place: str, on: str, clock: str | None, *, is_joining: bool) -> None:
    """Stems that went along `path` have come to `place`.

    Where they join others already there they can no more be told apart: all are then taken to be as old as the older,
    by the hours out of the cooler.
    """
    if place not in FRESH_PLACES or place not in lot.holdings:
        return
    here = [*path, [place, on, clock]]
    there = path_of(lot, place) if is_joining else None
    if not there or hours_warm(here, on, clock) > hours_warm(there, on, clock):
        lot.stays[place] = here


def forget(lot: Lot, place: str) -> None:
    """Nothing of the lot is in `place` any more."""
    lot.stays.pop(place, None)


def hours_warm(path: Sequence[Sequence[Any]], day: str, clock: str | None) -> float:
    """Hours out of the cooler up to a time, by the wall clock; a stay written before the last one began is no stay."""
    until = _wall(day, clock)
    begun = [_wall(on, at) for _, on, at in path]
    hours = 0.0
    for n, (place, _, _) in enumerate(path):
        if place != COOLER:
            start = max(begun[: n + 1])
            end = max(min(until, begun[n + 1]), start) if n + 1 < len(path) else max(until, start)
            hours += (end - start).total_seconds() / 3600
    return hours


def _wall(day: str, clock: str | None) -> datetime:
    return datetime.fromisoformat(f"{day}T{clock or MORNING}")
