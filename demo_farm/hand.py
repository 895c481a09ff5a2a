"""Two people at two machines: they see what the program shows and write lines through the door, as anyone does."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Generator
from contextlib import suppress
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from pathlib import Path
from random import Random
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from core.book.book import Book
from core.book.entry import Entry
from core.crops.sheet import Sheet
from core.farm import Farm
from core.problems import Problem
from core.session import Session, Written
from core.settings.sheets import farm_sheet
from demo_farm.air import Rooms, Weather, make_sky
from demo_farm.chance import Chance
from demo_farm.plan import GROWER, HELPER, NETBOOK, SHED, ZONE
from demo_farm.tables import Sowing

T = TypeVar("T")
Lines = Generator[str, Any, None]
"""A piece of work: the lines that are written of it; it is sent the entries that each has made."""


class Work:
    """What every piece of work has in hand: the laptop in the shed, the netbook that the helper carries to the beds,
    the farm's clock, the day and its weather, chance; and what people know that the book does not say.
    """

    def __init__(self, folder: Path, seed: int) -> None:
        self.chance = Chance(seed)
        self.sky = make_sky(self.chance)
        self.rooms = Rooms(self.sky, self.chance)
        self.folder, self._now = folder, datetime(1970, 1, 1, tzinfo=UTC)
        self._id = partial(Random(seed).getrandbits, 74)
        self._seen: dict[object, Any] = {}
        self.day, self.is_in_field = min(self.sky), False
        self.sown: dict[str, Sowing] = {}  # by tray
        self.turn = 0  # of the bed that is next to be planted
        self.cuts = Counter[tuple[str, int]]()  # by planting and year
        self.late: dict[str, float] = {}  # lots cut too late -> the share of them that will be lost for it
        self.hung: dict[str, tuple[date, int]] = {}  # lot -> the day, and stems to a bunch
        self.marked: set[str] = set()  # lots of which a bunch is weighed
        self.reset: tuple[date, float] | None = None  # when the max-min thermometer was set back
        self.boxes: dict[tuple[int, str, str], int] = {}  # by year, kind of crop and form
        Book.create(folder, device=SHED, clock=self._tick, chance=self._id).close()
        self.shed, self.field = self._open(SHED), self._open(NETBOOK)

    def _tick(self) -> int:
        self._now += timedelta(seconds=41)
        return round(self._now.timestamp() * 1000)

    def _open(self, device: str) -> Session:
        return Session(Book.open(self.folder, device=device, clock=self._tick, chance=self._id), by=GROWER)

    def begin(self, day: date) -> None:
        """It is that day on both machines; on some the laptop is started anew, which puts away what is finished."""
        self.day = day
        self._seen.clear()
        if (day.month, day.day) in ((4, 1), (7, 1), (9, 1), (11, 1)):
            self.shed.close()
            self.shed = self._open(SHED)
        self.shed.on = self.field.on = day

    def at(self, hour: float) -> None:
        """Let it be `hour` (6.5 = half past six) of the day, if it is not later already."""
        there = datetime.combine(self.day, time(int(hour), int(hour % 1 * 60)), ZoneInfo(ZONE))
        self._now = max(self._now, there.astimezone(UTC))

    def see(self, page: Callable[[Farm, date], T]) -> T:
        """What a page of the program shows in the shed, kept until something is written."""
        if page not in self._seen:
            self._seen[page] = page(self.farm, self.day)
        return self._seen[page]  # type: ignore[no-any-return]

    def do(self, lines: Lines, by: str = "") -> None:
        """Write the lines of a piece of work, by the grower, now and then by the helper."""
        made: Any = None
        with suppress(StopIteration):
            while True:
                line = lines.send(made)
                door = self.field if self.is_in_field else self.shed
                is_helper = self.is_in_field or self.chance.happens(0.12, "who", self.day, line)
                door.by = by or (HELPER if is_helper else GROWER)
                door.refresh()
                made = self.take(line, door.write(line))

    def take(self, what: str, answer: Written | Problem) -> tuple[Entry, ...]:
        """The entries of an answer; a refusal means that the story is wrong, or the engine."""
        if isinstance(answer, Problem):
            raise RuntimeError(f"{self.day}: {what}: {answer.sentence}")
        self._seen.clear()
        self.shed.refresh()
        return answer.entries

    @property
    def weather(self) -> Weather:
        return self.sky[self.day]

    @property
    def farm(self) -> Farm:
        return self.shed.farm

    def sheet(self, crop: str, way: str | None = None) -> Sheet:
        found = farm_sheet(self.farm, crop, way)
        assert found is not None, crop
        return found


def clock(hour: float) -> str:
    """ "6:45" of 6.75."""
    return f"{round(hour * 60) // 60}:{round(hour * 60) % 60:02d}"
