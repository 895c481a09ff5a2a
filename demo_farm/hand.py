"""A person at a machine: writes one-line entries through the door, as anyone does, and may not be refused."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from core.book.entry import Entry
from core.door import Door
from core.farm import Farm
from core.problems import Problem

BETWEEN_LINES = timedelta(seconds=41)


class RefusedError(RuntimeError):
    """The book refused a line of the story: the story is wrong, or the engine is."""


class Clock:
    """The farm's clock, which the story sets; every entry takes it a little further."""

    def __init__(self, zone: str) -> None:
        self._zone = ZoneInfo(zone)
        self._now = datetime(1970, 1, 1, tzinfo=UTC)

    def set(self, day: date, hour: float) -> None:
        """Let it be `hour` (6.5 = half past six) of `day` on the farm, if it is not later already."""
        there = datetime.combine(day, time(int(hour), int(hour % 1 * 60)), self._zone).astimezone(UTC)
        self._now = max(self._now, there)

    def __call__(self) -> int:
        self._now += BETWEEN_LINES
        return round(self._now.timestamp() * 1000)


class Hand:
    """One person at one machine."""

    def __init__(self, door: Door) -> None:
        self.door = door

    @property
    def farm(self) -> Farm:
        self.door.refresh()
        return self.door.farm

    def write(self, line: str) -> tuple[Entry, ...]:
        """What the line made; raises RefusedError with the line and the reason."""
        self.door.refresh()
        written = self.door.write(line)
        if isinstance(written, Problem):
            raise RefusedError(f"{self.door.today}: {line}: {written.sentence}")
        return written.entries

    def strike(self, entry: Entry) -> Entry:
        """The strike of an entry (or of a strike)."""
        self.door.refresh()
        written = self.door.strike(entry.id)
        if isinstance(written, Problem):
            raise RefusedError(f"{self.door.today}: strike {entry.kind}: {written.sentence}")
        return written.entries[0]

    @contextmanager
    def initials(self, by: str) -> Iterator[None]:
        """Somebody else at the same machine for a while."""
        was, self.door.by = self.door.by, by
        try:
            yield
        finally:
            self.door.by = was
