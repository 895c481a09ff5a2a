"""What the field record tells the morning: the beds that a label still closes, and until when."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from core.asks import Alert, Asked, Part, Sight
from core.field.closed import Closure, closures, told


def closed(sight: Sight) -> tuple[Closure, ...]:
    """The beds closed now, or at any time of the day where the book is read as of one; the last to open first."""
    found = closures(sight.farm, sight.day, sight.clock)
    return tuple(sorted(found, key=lambda closure: closure.opens, reverse=True))


class ClosedBeds(NamedTuple):
    """Beds that open at the same time, and what closes them."""

    beds: tuple[str, ...]
    until: str
    harvest_until: str
    because: str


def _together(sight: Sight) -> tuple[ClosedBeds, ...]:
    found: dict[tuple[str, str, str], list[str]] = {}
    for row in sight.once(closed):
        found.setdefault((row.until, row.harvest_until, row.because), []).append(row.bed)
    return tuple(ClosedBeds(tuple(beds), *key) for key, beds in found.items())


def _asked(rows: Sequence[ClosedBeds]) -> Iterator[Asked]:
    for row in rows:
        work = f"keep out until {told(row.until)}" if row.until else ""
        cut = f"no cut until {told(row.harvest_until)}" if row.harvest_until else ""
        do = ", ".join(filter(None, (work, cut)))
        yield Asked(("closed bed", row.beds[0]), row, ", ".join(row.beds), do, days=-1)


def cautions(sight: Sight) -> Iterator[Alert]:
    """One sentence for the beds that nobody may work in."""
    rows = [row for row in sight.once(closed) if row.until]
    if rows:
        beds = ", ".join(row.bed for row in rows)
        last = max(row.until for row in rows)
        says = f"Closed by a label, keep out: {beds}, the last until {told(last)}. The label and state rules decide."
        yield Alert(f"keep out of {beds}", says, "act")


PARTS = (Part("closed", "Closed beds", 1, _together, _asked),)
