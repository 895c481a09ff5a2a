"""The farm's room week by week: what is taken by all that stands, grows, hangs and is planned."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from core.farm import Farm
from core.plans.capacity import WHATS, What, assumed, peak, room_of, unit_of_room
from core.plans.plan_usage import uses_taken
from core.plans.shortages import Shortage, shortages

USUAL_WEEKS = 26
MOST_WEEKS = 104


@dataclass(frozen=True, slots=True)
class RoomRow:
    """One kind of room: `unit` in words, `total` of it (None where it was never said), `taken` in each week."""

    what: What
    unit: str
    total: float | None
    taken: tuple[float, ...]

    def free(self, week: int) -> float | None:
        """What is left in a week, below 0 where it is short; None where the total is not known."""
        return None if self.total is None else round(self.total - self.taken[week], 2)


@dataclass(frozen=True, slots=True)
class RoomWeeks:
    """Every kind of room over the weeks that begin on `mondays`; a week counts its fullest day.

    `assumed` says in a sentence each what was counted without having been written.
    """

    mondays: tuple[date, ...]
    rows: tuple[RoomRow, ...]
    shortages: tuple[Shortage, ...]
    assumed: tuple[str, ...] = ()


def room_weeks(farm: Farm, day: date, weeks: int = USUAL_WEEKS) -> RoomWeeks:
    """The room of the week of `day` and of those that follow, at most `MOST_WEEKS`."""
    count = min(max(weeks, 1), MOST_WEEKS)
    monday = day - timedelta(days=day.weekday())
    mondays = tuple(monday + timedelta(days=7 * i) for i in range(count))
    room, uses = room_of(farm), uses_taken(farm, day)
    rows = []
    for what in WHATS:
        own = [use for use in uses if use.what == what]
        taken = tuple(round(peak(own, what, start), 2) for start in mondays)
        rows.append(RoomRow(what, unit_of_room(what), room.of(what), taken))
    return RoomWeeks(mondays, tuple(rows), tuple(shortages(farm, day, mondays)), assumed(farm))
