"""A station's days: the lowest and highest temperature of each, packed tightly."""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

MISSING = -32768
"""What stands in a record for a day without a reading."""

COLDEST_TENTHS_C = -950
WARMEST_TENTHS_C = 600
"""No air temperature on earth lies outside of these (the records are -89.2 and 56.7 C, WMO)."""

_WHOLE_F_SHARE = 0.98


@dataclass(frozen=True, slots=True)
class Record:
    """Daily lows and highs in tenths of a degree C, from the day numbered `start` (`date.toordinal`) on.

    `latitude` is None where the file does not say. `whole_f` is set where the readings were made in whole
    degrees F, so that degrees F can be given back exactly. `remarks` are clean sentences about the reading.
    """

    station: str
    name: str
    latitude: float | None
    start: int
    lows: array[int]
    highs: array[int]
    whole_f: bool
    remarks: tuple[str, ...] = ()

    @property
    def first_day(self) -> date:
        """The first day with a reading."""
        return date.fromordinal(self.start)

    @property
    def last_day(self) -> date:
        """The last day with a reading."""
        return date.fromordinal(self.end - 1)

    @property
    def end(self) -> int:
        """The number of the day after the last."""
        return self.start + len(self.lows)

    @property
    def days(self) -> int:
        """How many days have a low."""
        return len(self.lows) - self.lows.count(MISSING)

    def low(self, day: int) -> int | None:
        """The low of the day numbered `day` in tenths of a degree C, None where it is missing."""
        return _at(self.lows, day - self.start)

    def high(self, day: int) -> int | None:
        """The high of the day numbered `day` in tenths of a degree C, None where it is missing."""
        return _at(self.highs, day - self.start)

    def without_low(self, first: int, last: int) -> list[int]:
        """The days from one to another, both included, that have no low; those beyond the record are among them."""
        begin, end = max(first, self.start), min(last + 1, self.end)
        lows = self.lows[begin - self.start : max(end, begin) - self.start]
        gaps = [day for day, low in enumerate(lows, begin) if low == MISSING] if MISSING in lows else []
        return [*range(first, min(begin, last + 1)), *gaps, *range(max(end, first), last + 1)]

    def low_f(self, day: int) -> float | None:
        """The low in degrees F, as it was read where it was read in whole degrees F."""
        return self._f(self.low(day))

    def high_f(self, day: int) -> float | None:
        """The high in degrees F, as it was read where it was read in whole degrees F."""
        return self._f(self.high(day))

    def _f(self, tenths: int | None) -> float | None:
        if tenths is None:
            return None
        return float(whole_f(tenths)) if self.whole_f else tenths * 0.18 + 32

    def at_latitude(self, latitude: float) -> Record:
        """The same days, placed at a latitude."""
        return replace(self, latitude=latitude)

    def shifted(self, degrees_f: float) -> Record:
        """The same days with every low moved by `degrees_f`: the station seen from other ground."""
        move = round(degrees_f / 0.18)
        lows = array("h", (v if v == MISSING else v + move for v in self.lows))
        return replace(self, lows=lows, whole_f=False)


def _at(values: array[int], index: int) -> int | None:
    if not 0 <= index < len(values):
        return None
    value = values[index]
    return None if value == MISSING else value


def record_of(
    lows: Mapping[int, int],
    highs: Mapping[int, int] | None = None,
    *,
    station: str = "",
    name: str = "",
    latitude: float | None = None,
    remarks: Iterable[str] = (),
) -> Record:
    """A record from {day number: tenths of a degree C}; there must be at least one low."""
    highs = highs or {}
    start = min(lows)
    length = max(lows) - start + 1
    packed_lows, packed_highs = (array("h", [MISSING]) * length for _ in range(2))
    for packed, values in ((packed_lows, lows), (packed_highs, highs)):
        for day, value in values.items():
            if 0 <= day - start < length:
                packed[day - start] = value
    whole = sum(tenths_c(whole_f(v)) == v for v in lows.values()) >= _WHOLE_F_SHARE * len(lows)
    return Record(station, name, latitude, start, packed_lows, packed_highs, whole, tuple(remarks))


def whole_f(tenths: int) -> int:
    """Tenths of a degree C as whole degrees F, halves up: how US stations read before they are archived."""
    return (18 * tenths + 3250) // 100


def tenths_c(degrees_f: float) -> int:
    """Degrees F as the tenth of a degree C in which archives keep them: 32 -> 0, 28 -> -22."""
    return round((degrees_f - 32) / 0.18)
