"""Two people at two machines: they see what the program shows and write lines through the door, as anyone does."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from core.book.book import Book
from core.book.entry import Entry
from core.crops.sheet import Sheet
from core.door import Door, Written
from core.farm import Farm
from core.problems import Problem
from core.settings.sheets import farm_sheet
from demo_farm.chance import Chance
from demo_farm.plan import GROWER, HELPER, NETBOOK, SHED, ZONE
from demo_farm.weather import Weather

BETWEEN_LINES = timedelta(seconds=41)
HELPERS_SHARE = 0.12
"""Share of the lines in the shed that the helper writes."""

T = TypeVar("T")


class RefusedError(RuntimeError):
    """The book refused a line of the story: the story is wrong, or the engine is."""


class Work:
    """What every part of the story has in hand: the laptop in the shed, the netbook that the helper carries to the
    beds, the farm's clock, the day, its weather, chance.
    """

    def __init__(self, folder: Path, sky: dict[date, Weather], chance: Chance) -> None:
        self.sky, self.chance, self.day = sky, chance, min(sky)
        self.late: dict[str, float] = {}
        """Lots that were cut too late -> the share of them that will be lost for it."""
        self._folder, self._now = folder, datetime(1970, 1, 1, tzinfo=UTC)
        self._seen: dict[object, Any] = {}
        self.at(8.5)
        Book.create(folder, device=SHED, clock=self._tick, chance=chance.next_bits).close()
        self.shed, self.field = self._open(SHED), self._open(NETBOOK)

    def _tick(self) -> int:
        self._now += BETWEEN_LINES
        return round(self._now.timestamp() * 1000)

    def _open(self, device: str) -> Door:
        book = Book.open(self._folder, device=device, clock=self._tick, chance=self.chance.next_bits)
        return Door(book, by=GROWER)

    def begin(self, day: date) -> None:
        """It is `day` on both machines; once a month they are started anew, which puts away what is finished."""
        self.day = day
        self._seen.clear()
        if day.day == 1:
            self.shed.close()
            self.field.close()
            self.shed, self.field = self._open(SHED), self._open(NETBOOK)
        self.shed.on = self.field.on = day

    def at(self, hour: float) -> None:
        """Let it be `hour` (6.5 = half past six) of the day, if it is not later already."""
        there = datetime.combine(self.day, time(int(hour), int(hour % 1 * 60)), ZoneInfo(ZONE))
        self._now = max(self._now, there.astimezone(UTC))

    def see(self, page: Callable[[Door], T]) -> T:
        """What a page of the program shows in the shed, kept until something is written."""
        if page not in self._seen:
            self._seen[page] = page(self.shed)
        return self._seen[page]  # type: ignore[no-any-return]

    def write(self, line: str, *, by: str = "", in_the_field: bool = False) -> tuple[Entry, ...]:
        """What the line made, in the shed by the grower, now and then by the helper."""
        door = self.field if in_the_field else self.shed
        door.refresh()
        is_helper = in_the_field or self.chance.happens(HELPERS_SHARE, "who", self.day, line)
        door.by = by or (HELPER if is_helper else GROWER)
        return self.take(line, door.write(line))

    def take(self, what: str, answer: Written | Problem) -> tuple[Entry, ...]:
        """The entries of an answer; raises RefusedError where it is none."""
        if isinstance(answer, Problem):
            raise RefusedError(f"{self.day}: {what}: {answer.sentence}")
        self._seen.clear()
        self.shed.refresh()
        return answer.entries

    @property
    def farm(self) -> Farm:
        return self.shed.farm

    @property
    def weather(self) -> Weather:
        return self.sky[self.day]

    def sheet(self, crop: str, way: str | None = None) -> Sheet:
        found = farm_sheet(self.farm, crop, way)
        assert found is not None, crop
        return found


def clock(hour: float) -> str:
    """ "6:45" of 6.75."""
    minutes = round(hour * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"
