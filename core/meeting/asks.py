"""What the morning is told of the other machines: when each was met last, and what was written here since."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from core.asks import Asked, Part, Sight
from core.units import day_from_iso

FORGOTTEN_DAYS = 60
"""Days after which a machine that was not met any more is no longer told of: it is not in use."""


class Apart(NamedTuple):
    """Another machine that was not met today: its name, the days since, the entries that came from it then, and those
    written here since.
    """

    machine: str
    days: int
    came: int
    written: int


def _apart(sight: Sight) -> tuple[Apart, ...]:
    if sight.met is None:
        return ()
    found = []
    for met in sight.met.all():
        days = (sight.day - (day_from_iso(met.on) or date.min)).days
        if 0 < days <= FORGOTTEN_DAYS:
            written = sight.met.written_since(met)
            if written or days > 1:  # who meets every evening is not told of it every morning
                found.append(Apart(met.called, days, met.came, written))
    return tuple(found)


def _asked(rows: Sequence[Apart]) -> Iterator[Asked]:
    for row in rows:
        ago = "yesterday" if row.days == 1 else f"{row.days} days ago"
        came = f", {row.came} came then" if row.came else ""
        new = f"; {row.written} new here" if row.written else ""
        yield Asked((), row, f"{row.machine}: last met {ago}{came}{new}", "meet")


PARTS = (Part("meeting", "The other machine", 1, _apart, _asked),)
