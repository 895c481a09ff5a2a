"""What every part of the story has in hand: two people at their machines, the day, its weather, chance."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from datetime import date

from core.crops.sheet import Sheet
from core.farm import Farm
from core.settings.sheets import farm_sheet
from demo_farm.chance import Chance
from demo_farm.hand import Clock, Hand
from demo_farm.plan import HELPER
from demo_farm.weather import Weather


@dataclass
class Work:
    """`shed` is the laptop in the shed, `field` the netbook that the helper carries to the beds."""

    shed: Hand
    field: Hand
    clock: Clock
    chance: Chance
    sky: dict[date, Weather]
    day: date
    late: dict[str, float] = dataclasses.field(default_factory=dict)
    """Lots that were cut too late -> the share of them that will be lost for it."""

    @property
    def farm(self) -> Farm:
        return self.shed.farm

    @property
    def weather(self) -> Weather:
        return self.sky[self.day]

    @property
    def year(self) -> int:
        return self.day.year

    def begin(self, day: date) -> None:
        """It is `day` on both machines."""
        self.day = day
        self.shed.door.on = self.field.door.on = day

    def at(self, hour: float) -> None:
        """It is that hour of the day."""
        self.clock.set(self.day, hour)

    def write(self, line: str) -> None:
        """The grower writes in the shed, the helper now and then."""
        if self.chance.happens(0.12, "who", self.day, line):
            with self.shed.initials(HELPER):
                self.shed.write(line)
        else:
            self.shed.write(line)

    def sheet(self, crop: str, way: str | None = None) -> Sheet:
        found = farm_sheet(self.farm, crop, way)
        assert found is not None, crop
        return found


def clock(hour: float) -> str:
    """ "6:45" of 6.75."""
    minutes = round(hour * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"
