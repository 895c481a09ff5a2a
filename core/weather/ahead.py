"""The nights after this one, as far as their forecast is written: how cold each is to be, and what it would hurt."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from core.crops.hardening import reached
from core.dialect import told_degrees
from core.farm import Farm
from core.trays.rows import hardiness_of, ladder_days
from core.weather.night import night_name, nights_to_come, planting_tonight, tray_tonight


class NightAhead(NamedTuple):
    """A night to come (the day it begins on) and its forecast; the trays that stand out today and the beds whose guard
    it reaches, if all stays as it is."""

    night: str
    low_f: float
    trays: tuple[str, ...]
    beds: tuple[str, ...]

    @property
    def hurts(self) -> bool:
        return bool(self.trays or self.beds)

    @property
    def says(self) -> str:
        """ "Sat night 31 F: b1, S12 at risk"."""
        told = f"{night_name(date.fromisoformat(self.night))} {told_degrees(self.low_f)}"
        return f"{told}: {', '.join((*self.beds, *self.trays))} at risk" if self.hurts else told


def nights_ahead(farm: Farm, day: date) -> Iterator[NightAhead]:
    """Each night after that of `day` whose forecast is written, the nearest first."""
    for night, low in nights_to_come(farm, day):
        if night == day:
            continue
        trays = []
        for tray in farm.trays.live():
            kind = hardiness_of(farm, tray)
            stand, _ = tray_tonight(reached(ladder_days(tray), day, kind), kind, low)
            if stand == "bring in":
                trays.append(tray.code)
        beds = [
            p.bed
            for p in farm.plantings.live()
            if planting_tonight(farm, p, farm.beds.get(p.bed), low, night)[0]
        ]
        yield NightAhead(night.isoformat(), low.f, tuple(sorted(trays)), tuple(dict.fromkeys(beds)))
