"""How warm the fresh stems stood: by the air readings of the book where there are any near, else as is usual."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping
from datetime import datetime
from itertools import pairwise
from math import ceil
from typing import NamedTuple

from core.clocks import instant
from core.dialect import told_degrees
from core.farm import Farm
from core.places import BUCKET, COOLER
from core.reckon.climate.air import c_from_f
from core.reckon.vase_life import TEMP_C
from core.reckon.vase_trials import Spell
from core.settings.local_time import zone

STANDARD_F: Mapping[str, float] = {BUCKET: 68.0, COOLER: 36.0}
"""Taken where nothing was read: the room of the vase-life tests [S17 S19], the middle of 34 to 38 F [S102]."""
READ_IN: Mapping[str, tuple[str, ...]] = {BUCKET: ("room", "shed"), COOLER: ("cooler",)}
"""Whose readings count for a place, the first that has any near."""
NEAR_HOURS: Mapping[str, float] = {BUCKET: 6.0, COOLER: 24.0}
"""Hours for which a reading holds: a room swings within the day, a cooler keeps to its setting (common practice)."""
COLDEST, WARMEST = "05:00", "15:00"
"""When a max-min thermometer's low and high are taken to have been: before sunrise and in the afternoon (common
practice)."""
HOUR = 3600.0

Reading = tuple[float, float]
"""(hours since the epoch, degrees F)."""


class StayWarmth(NamedTuple):
    """A stay as spells of warmth. `read_f` is the lowest and highest that was read, None where nothing was."""

    place: str
    hours: float
    spells: tuple[Spell, ...]
    read_hours: float
    read_f: tuple[float, float] | None

    @property
    def said(self) -> str:
        """ "24 h in the bucket, 68 F taken", "40 h in the cooler, 36 to 39 F read"."""
        where = f"{_long(self.hours)} in the {self.place}"
        taken = f"{told_degrees(STANDARD_F[self.place])} taken"
        if self.read_f is None:
            return f"{where}, {taken}"
        read = f"{told_degrees(*dict.fromkeys(map(round, self.read_f)))} read"
        part = "" if self.read_hours >= self.hours - 0.5 else f" for {_long(self.read_hours)}, else {taken}"
        return f"{where}, {read}{part}"


class RoomAir:
    """The air of a farm's rooms, its readings put in order once."""

    def __init__(self, farm: Farm) -> None:
        self._farm = farm
        self.zone = zone(farm)
        self._read: dict[str, list[Reading]] = {}

    def warmth_of(self, place: str, start: datetime, end: datetime) -> StayWarmth:
        """The stay in `place` ("bucket", "cooler") between two instants."""
        first, last = start.timestamp() / HOUR, end.timestamp() / HOUR
        near = NEAR_HOURS[place]
        readings: list[Reading] = []
        for room in READ_IN[place]:
            readings = [r for r in self._readings(room) if first - near < r[0] < last + near]
            if readings:
                break
        spells, read_hours = [], 0.0
        for hours, degrees_f in _pieces(readings, first, last, near):
            spells.append(Spell(hours, _c(STANDARD_F[place] if degrees_f is None else degrees_f)))
            read_hours += 0.0 if degrees_f is None else hours
        lows = [f for _, f in readings]
        return StayWarmth(
            place, last - first, tuple(spells), read_hours, (min(lows), max(lows)) if lows else None
        )

    def now_c(self, place: str, at: datetime) -> float:
        """Degrees C of `place` at an instant."""
        moment = at.timestamp() / HOUR
        for room in READ_IN[place]:
            found = _at(self._readings(room), moment, NEAR_HOURS[place])
            if found is not None:
                return _c(found)
        return _c(STANDARD_F[place])

    def _readings(self, room: str) -> list[Reading]:
        if room not in self._read:
            self._read[room] = sorted(
                (instant(day, clock, self.zone).timestamp() / HOUR, float(f))
                for day, clock, f in self._written(room)
            )
        return self._read[room]

    def _written(self, room: str) -> Iterator[tuple[str, str | None, float]]:
        """The readings of a room; of a day without one, the low and the high of its max-min thermometer."""
        days = set()
        for day, clock, f, _ in self._farm.air.get(room, []):
            if f is not None:
                days.add(day)
                yield day, clock, f
        for day, (low, high, *_) in self._farm.air_ranges.get(room, {}).items():
            for clock, f in zip((COLDEST, WARMEST), (low, high), strict=True):
                if day not in days and f is not None:
                    yield day, clock, f


def _long(hours: float) -> str:
    return f"{hours:.0f} h" if hours <= 96 else f"{hours / 24:.0f} days"


def _c(degrees_f: float) -> float:
    """Degrees C, no warmer and no colder than the law of vase life goes."""
    return min(max(c_from_f(degrees_f), TEMP_C[0]), TEMP_C[1])


def _pieces(
    readings: list[Reading], first: float, last: float, near: float
) -> Iterator[tuple[float, float | None]]:
    """(hours, F) of the span in pieces; None for F where no reading is near. Between two readings the warmth is taken
    to run in a straight line, by the hour."""
    inside = (m for time, _ in readings for m in (time - near, time, time + near) if first < m < last)
    for start, end in pairwise(sorted({first, last, *inside})):
        if _at(readings, (start + end) / 2, near) is None:
            yield end - start, None
            continue
        parts = ceil(end - start)
        step = (end - start) / parts
        for n in range(parts):
            yield step, _at(readings, start + (n + 0.5) * step, near)


def _at(readings: list[Reading], moment: float, near: float) -> float | None:
    """F at a moment: on the line between the readings around it, else that of a near one, else None."""
    i = bisect_left(readings, (moment, 0.0))
    before = readings[i - 1] if i else None
    after = readings[i] if i < len(readings) else None
    if before and after and after[0] - before[0] <= 2 * near:
        share = (moment - before[0]) / (after[0] - before[0]) if after[0] > before[0] else 0.0
        return before[1] + share * (after[1] - before[1])
    if before and moment - before[0] <= near:
        return before[1]
    return after[1] if after and after[0] - moment <= near else None
