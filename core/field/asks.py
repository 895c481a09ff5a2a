"""What the field record tells the morning: the beds that a label still closes, and until when."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain
from typing import NamedTuple

from core.asks import Alert, Asked, Part, Sight
from core.field.closed import Closure, closures_now, told


def closed(sight: Sight) -> tuple[Closure, ...]:
    """The beds closed now, or at any time of the day where the book is read as of one; the last to open first."""
    found = closures_now(sight)
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
    """The beds that wait for a cut when all other work may be done there; what is closed to all work stands above."""
    for row in rows:
        if row.harvest_until > row.until:
            cut = f"no cut until {told(row.harvest_until)}"
            yield Asked(("closed bed", row.beds[0]), row, ", ".join(row.beds), cut, days=-1)


def cautions(sight: Sight) -> Iterator[Alert]:
    """The beds that nobody may work in, and until when: those that open first before the others."""
    opening: dict[str, list[str]] = {}
    for row in sorted(sight.once(closed), key=lambda row: row.until):
        if row.until:
            opening.setdefault(row.until, []).append(row.bed)
    if opening:
        spans = [f"{', '.join(beds)} until {told(until)}" for until, beds in opening.items()]
        says = f"Closed by a label, keep out: {'; '.join(spans)}. The label and state rules decide."
        beds = ", ".join(chain(*opening.values()))
        last = f", the last until {told(max(opening))}"
        yield Alert(f"keep out of {spans[0] if len(spans) == 1 else beds + last}", says, "act")


PARTS = (Part("closed", "Closed beds", 1, _together, _asked),)
