"""The air of the shed, the cooler and the room: the last reading, what it reached, and how long it was damp.

Bunches dry only while the air takes water from them. Above 65 % relative humidity they begin to mold, and at
night or in wet weather a shed that stands open gives them their water back [S55 S115]. Vapour, dew point and
deficit by FAO-56 (core.reckon.climate.air). All of it warns; the hygrometer and the bunch have the last word.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from itertools import pairwise
from typing import Any, NamedTuple

from core.clocks import MORNING, hours_between
from core.farm import Farm
from core.happened import AirRange, AirRead
from core.marked import typed_degrees, typed_span
from core.problems import Problem
from core.reckon.climate.air import air, c_from_f, f_from_c
from core.settings.local_time import zone
from core.shed.damp import Damp, damp_hours, standing
from core.units import hours_text

MOLD_BEGINS_RH = 65.0
"""Percent of humidity from which mold begins, where the air at the bunch stays so: water activity 0.65, a limit used
for hung flowers."""
MOLD_GROWS_RH = 75.0
"""Percent of humidity at which mold grows in earnest (from memory)."""
FRESH_HOURS = 12.0
"""A reading older than this says nothing of the air now (ours)."""
DAY_HOURS, WEEK_HOURS = 24.0, 168.0


class AirReading(NamedTuple):
    """One reading. `deficit_kpa` and `dew_point_f` are None where degrees or humidity are missing."""

    on: str
    clock: str
    f: float | None
    rh: float | None
    hours_ago: float
    deficit_kpa: float | None
    dew_point_f: float | None


class Extremes(NamedTuple):
    """The least and most of a window, from readings and from max-min ranges that lie in it; None where not known."""

    hours: float
    low_f: float | None
    high_f: float | None
    low_rh: float | None
    high_rh: float | None
    readings: int
    ranges: int


class AirNow(NamedTuple):
    """The air of one room. `reading` is the last, None before the first; `says` are sentences about what is missing.

    `standing_hours`: for so long, at least, humidity has stood at `MOLD_BEGINS_RH` or over up to the last reading; None
    where that is not so, or old. `last_range` is (day, low F, high F, low RH, high RH) as last read.
    """

    room: str
    reading: AirReading | None
    day: Extremes
    week: Extremes
    damp_day: Damp
    damp_week: Damp
    serious_day: Damp
    serious_week: Damp
    standing_hours: float | None
    last_range: tuple[Any, ...] | None
    says: tuple[str, ...]

    @property
    def is_damp(self) -> bool:
        """Whether the last reading, not older than half a day, stands at the mold limit or over."""
        last = self.reading
        return last is not None and last.hours_ago <= FRESH_HOURS and (last.rh or 0.0) >= MOLD_BEGINS_RH


def room_air(farm: Farm, room: str, day: date, now: str | None = None) -> AirNow:
    """The air of one room ("shed", "cooler", "room"), as for `shed_air`."""
    rows = [row for row in farm.air.get(room, []) if row.on <= day.isoformat()]
    at = _now(rows, day, now)
    ago = _Ago(day, at, zone(farm))
    first = (day - timedelta(days=8)).isoformat()
    recent = [(ago(row.on, row.clock), row) for row in rows if row.on >= first]
    ranges = ranges_of(farm, room, day)
    damp = [(hours, row.rh) for hours, row in recent if row.rh is not None]
    known = [
        (ago(reset_on, None), ago(on, None), reached.low_rh, reached.high_rh)
        for on, reset_on, reached in ranges
        if reset_on is not None and reached.low_rh is not None and reached.high_rh is not None
    ]
    reading = _reading(rows[-1], ago) if rows else None
    return AirNow(
        room=room,
        reading=reading,
        day=_extremes(recent, ranges, day, DAY_HOURS),
        week=_extremes(recent, ranges, day, WEEK_HOURS),
        damp_day=damp_hours(damp, known, MOLD_BEGINS_RH, DAY_HOURS),
        damp_week=damp_hours(damp, known, MOLD_BEGINS_RH, WEEK_HOURS),
        serious_day=damp_hours(damp, known, MOLD_GROWS_RH, DAY_HOURS),
        serious_week=damp_hours(damp, known, MOLD_GROWS_RH, WEEK_HOURS),
        standing_hours=standing(damp, MOLD_BEGINS_RH, FRESH_HOURS),
        last_range=None if not ranges else (ranges[-1].on, *ranges[-1].reached),
        says=tuple(_missing(room, reading)),
    )


def _now(rows: list[AirRead], day: date, now: str | None) -> str:
    """The time reckoned from, never before the last reading of the day."""
    today = [row.clock or MORNING for row in rows if row.on == day.isoformat()]
    return max([*today, now or MORNING])


class _Ago(NamedTuple):
    """Hours from a time of the farm to now."""

    day: date
    at: str
    zone: str

    def __call__(self, on: str, clock: str | None) -> float:
        return hours_between(on, clock, self.day.isoformat(), self.at, self.zone)


def _reading(row: AirRead, ago: _Ago) -> AirReading:
    on, clock, f, rh = row
    found = None if f is None or rh is None else air(c_from_f(f), rh)
    if found is None or isinstance(found, Problem):
        return AirReading(on, clock or MORNING, f, rh, ago(on, clock), None, None)
    dew = f_from_c(found.dew_point_c)
    return AirReading(on, clock or MORNING, f, rh, ago(on, clock), found.deficit_kpa, dew)


def _missing(room: str, reading: AirReading | None) -> Iterable[str]:
    if reading is None:
        yield (
            f"No reading of the {room} yet: write '{room} {typed_degrees(72)} 55%', or its max-min '{room} "
            f"{typed_span(58, 84)} 41 to 68%'."
        )
    elif reading.hours_ago > FRESH_HOURS:
        yield f"The last reading is {hours_text(reading.hours_ago)} old: it says nothing of the air now."


# least and most


class RangeRead(NamedTuple):
    """What a max-min thermometer had reached when it was read, since its reset; None where that day is not known."""

    on: str
    reset_on: str | None
    reached: AirRange


def ranges_of(farm: Farm, room: str, day: date) -> list[RangeRead]:
    """The ranges read in a room up to a day, in order.

    The thermometer is taken to be reset when it is read, in the morning (common practice).
    """
    days = [on for on in sorted(farm.air_ranges.get(room, {})) if on <= day.isoformat()]
    return [
        RangeRead(on, reset_on, farm.air_ranges[room][on])
        for reset_on, on in pairwise([None, *days])
        if on is not None
    ]


def _extremes(
    recent: list[tuple[float, AirRead]], ranges: list[RangeRead], day: date, hours: float
) -> Extremes:
    first = (day - timedelta(days=round(hours / 24))).isoformat()
    rows = [row for ago, row in recent if ago <= hours]
    inside = [one.reached for one in ranges if one.reset_on is not None and one.reset_on >= first]
    low_f = [one.f for one in rows] + [one.low_f for one in inside]
    high_f = [one.f for one in rows] + [one.high_f for one in inside]
    low_rh = [one.rh for one in rows] + [one.low_rh for one in inside]
    high_rh = [one.rh for one in rows] + [one.high_rh for one in inside]
    return Extremes(
        hours,
        min(_known(low_f), default=None),
        max(_known(high_f), default=None),
        min(_known(low_rh), default=None),
        max(_known(high_rh), default=None),
        len(rows),
        len(inside),
    )


def _known(values: Iterable[float | None]) -> list[float]:
    return [value for value in values if value is not None]
