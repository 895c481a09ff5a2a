"""Files of one day a line with a header: the NCEI access CSV, and a plain CSV of date, min and max."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import fmean, median_low
from typing import Literal

from core.patterns import pattern
from core.problems import Problem
from core.reckon.climate.faults import short
from core.reckon.climate.record_builder import RecordBuilder
from core.text import clean
from core.units import MONTHS, day_from_iso

Unit = Literal["f", "c", "tenths"]
UNITS: tuple[Unit, ...] = ("f", "c", "tenths")
"""Degrees F, degrees C, tenths of a degree C."""

_COLUMN = pattern(
    r"(?:t|temp(?:erature)?)?[\s_]*(?P<what>min|max|low|high)(?:imum)?(?:[\s_]*temp(?:erature)?)?"
    r"[\s_(\[]*(?:deg(?:rees)?\.?|°)?[\s_]*(?P<unit>[cf])?[)\]]*"
)
_NUMBER = pattern(r"(?P<number>[-+]?(?:\d+(?:\.\d*)?|\.\d+))\s*(?:°|deg)?\s*(?P<unit>[A-Za-z]*)")
_NOTHING = {"", "na", "n/a", "nan", "none", "null", "m", "-", "-9999", "-9999.0"}
_UNIT_NAMES = {"f": "degrees F", "c": "degrees C", "tenths": "tenths of a degree C"}
_CODES = {99.0, 99.9, 99.99, 999.0, 999.9, 9999.0}
"""Minus these, in F or C, stand for no reading in files of loggers (common practice); so do 999 and more."""
_GUESS_DAYS = 365
_HALF_A_YEAR = 183
_TOO_COLD_F = 50.0, 36.0
"""Where in half a year or more no high in F is above the first, or without highs no low above the second, the values
are taken to be Celsius: no ground that is farmed is so cold, and Celsius hardly exceeds them."""
_UNIT_BREAK_TENTHS = 200
"""No calendar month's mean low is ever 20 C from its usual; one unit taken for the other is (F and C in
summer by 28 C). Common practice."""
_FEWEST_OF_A_MONTH = 10


@dataclass(frozen=True, slots=True)
class Columns:
    """Where things stand in a line; `unit` is None where the header does not name it."""

    date: int
    low: int
    high: int | None
    unit: Unit | None
    each_unit: int | None = None
    low_flags: int | None = None
    high_flags: int | None = None
    station: int | None = None
    name: int | None = None
    latitude: int | None = None
    archive: bool = False


def columns(header: Sequence[str], file: str) -> Columns | Problem:
    """The columns of a header line, or what is wrong with it."""
    heads = [cell.strip().strip("\ufeff").lower() for cell in header]
    day = _index(heads, "date", "day")
    lows: list[tuple[int, str | None]] = []
    highs: list[tuple[int, str | None]] = []
    for i, head in enumerate(heads):
        if found := _COLUMN.fullmatch(head):
            low = found["what"] in ("min", "low")
            (lows if low else highs).append((i, found["unit"]))
    if day is None or len(lows) != 1 or len(highs) > 1:
        return Problem(
            f"{clean(file)} needs a first line that names its columns, such as date,min_f,max_f: "
            "one for the day, one for the low, and perhaps one for the high."
        )
    units = {unit for _, unit in (*lows, *highs) if unit}
    if len(units) > 1:
        return Problem(
            f"{clean(file)} has its low in one unit and its high in another: bring both to one unit first."
        )
    unit: Unit | None = None
    if units:
        unit = "f" if units == {"f"} else "c"
    archive = heads[lows[0][0]] == "tmin" and _index(heads, "station") is not None
    return Columns(
        day,
        lows[0][0],
        highs[0][0] if highs else None,
        unit,
        _index(heads, "unit", "units"),
        _index(heads, "tmin_attributes"),
        _index(heads, "tmax_attributes"),
        _index(heads, "station", "id"),
        _index(heads, "name"),
        _index(heads, "latitude"),
        archive,
    )


def _index(heads: Sequence[str], *names: str) -> int | None:
    return next((heads.index(name) for name in names if name in heads), None)


@dataclass(slots=True)
class Table:
    """A file of one day a line being read. Values wait until the unit of the whole file is known."""

    into: RecordBuilder
    at: Columns
    unit: Unit | None
    waiting: list[tuple[int, int, float | None, float | None]]
    said: bool = False

    @classmethod
    def of(cls, into: RecordBuilder, at: Columns, unit: Unit | None) -> Table | Problem:
        """A table whose unit is named by the reader of the file, its header, or neither."""
        if unit is not None and at.unit is not None and unit != at.unit:
            return Problem(
                f"{clean(into.file)} names {_UNIT_NAMES[at.unit]} in its header, not {_UNIT_NAMES[unit]}: "
                "leave the unit out, or correct the header."
            )
        return cls(into, at, unit or at.unit, [], unit is not None)

    def read_line(self, number: int, cells: list[str]) -> None:
        """One line."""
        at, into = self.at, self.into
        day = _day(_cell(cells, at.date))
        if day is None:
            said = short(_cell(cells, at.date))
            into.faults.add(number, f"{said} is no day, write it as 2026-06-23")
            return
        if at.station is not None and not into.is_station(number, _cell(cells, at.station)):
            return
        if into.latitude is None and at.latitude is not None:
            into.placed(_cell(cells, at.latitude), "" if at.name is None else _cell(cells, at.name))
        if at.each_unit is not None and not self._same_unit(number, _cell(cells, at.each_unit)):
            return
        low = self._value(number, cells, at.low, at.low_flags)
        high = self._value(number, cells, at.high, at.high_flags)
        if low is not None or high is not None:
            self.waiting.append((number, day.toordinal(), low, high))

    def _value(self, number: int, cells: list[str], at: int | None, flags: int | None) -> float | None:
        text = "" if at is None else _cell(cells, at)
        if text.lower() in _NOTHING:
            return None
        found = _NUMBER.fullmatch(text)
        if found is None:
            self.into.faults.add(number, f"{short(text)} is no temperature")
            return None
        if found["unit"] and not self._same_unit(number, found["unit"]):
            return None
        if flags is not None and _quality(_cell(cells, flags)):
            self.into.flagged += 1
            return None
        return float(found["number"])

    def _same_unit(self, number: int, said: str) -> bool:
        unit = said.strip().strip("°").lower()[:1]
        if unit not in ("f", "c"):
            self.into.faults.add(number, f"{short(said)} is no unit, write F or C")
            return False
        if self.unit is None:
            self.unit = "f" if unit == "f" else "c"
        if unit != self.unit:
            what = f"{short(said)} in a file of {_UNIT_NAMES[self.unit]}"
            self.into.faults.add(number, f"mixed units, {what}")
            return False
        return True

    def finish(self) -> Problem | None:
        """Hand all values on in tenths of a degree C; a Problem where their unit is not to be known."""
        unit = self.unit or self._guess()
        if unit is None:
            what = "TMIN and TMAX" if self.at.archive else "the temperatures"
            return Problem(
                f"{clean(self.into.file)} does not say in which unit {what} are: name it in the header, "
                "as in date,min_f,max_f, or give --unit f, c or tenths.",
                "ambiguous",
            )
        if unit != "tenths":
            self._leave_out_codes()
        if unit == "f" and not self.said and (problem := self._is_celsius()):
            return problem
        for number, day, low, high in self.waiting:
            if low is not None:
                self.into.low(number, day, _tenths(low, unit))
            if high is not None:
                self.into.high(number, day, _tenths(high, unit))
        self._look_for_mixed_units()
        return None

    def _leave_out_codes(self) -> None:
        """-99 and the like are no temperatures but say that there is none."""

        def read(value: float | None) -> float | None:
            is_code = value is not None and (-value in _CODES or value >= 999)
            self.into.coded += is_code
            return None if is_code else value

        self.waiting = [(number, day, read(low), read(high)) for number, day, low, high in self.waiting]

    def _is_celsius(self) -> Problem | None:
        """Why degrees F cannot be meant, though the header names them."""
        highs = [high for _, _, _, high in self.waiting if high is not None]
        lows = [low for _, _, low, _ in self.waiting if low is not None]
        values, most = (highs, _TOO_COLD_F[0]) if highs else (lows, _TOO_COLD_F[1])
        if len({day - day % 30 for _, day, _, _ in self.waiting}) < _HALF_A_YEAR // 30 or not values:
            return None
        days = [day for _, day, _, _ in self.waiting]
        if len(values) < _HALF_A_YEAR or max(days) - min(days) < 300 or max(values) > most:
            return None
        return Problem(
            f"{clean(self.into.file)} names degrees F and is never warmer than {max(values):g}: these look like "
            "degrees C. Correct the header to min_c, or say --unit f if it is so cold there.",
            "ambiguous",
        )

    def _look_for_mixed_units(self) -> None:
        """Months that lie farther from the same month of other years than weather can."""
        lines: dict[tuple[int, int], int] = {}
        lows: dict[tuple[int, int], list[int]] = {}
        for number, day, _, _ in self.waiting:
            when = date.fromordinal(day)
            if day in self.into.lows:
                lines.setdefault((when.year, when.month), number)
                lows.setdefault((when.year, when.month), []).append(self.into.lows[day])
        means = {month: fmean(v) for month, v in lows.items() if len(v) >= _FEWEST_OF_A_MONTH}
        for calendar_month in range(1, 13):
            same = {month: value for month, value in means.items() if month[1] == calendar_month}
            if not same:
                continue
            usual = median_low(same.values())
            for month, value in same.items():
                if abs(value - usual) > _UNIT_BREAK_TENTHS:
                    name = f"{MONTHS[calendar_month - 1]} {month[0]}"
                    self.into.faults.add(lines[month], f"mixed units, {name} is far from other years")

    def _guess(self) -> Unit | None:
        """The unit of an archive's file by the look of a year of values; None where more than one will do.

        Only the archive's own table is guessed at: whole numbers beyond any air temperature in F are tenths
        of C, fractions are C, and whole numbers that reach a summer day in F, but no more, are F.
        """
        if not self.at.archive or not self.waiting:
            return None
        values = [v for _, _, low, high in self.waiting for v in (low, high) if v is not None]
        top, bottom = max(values), min(values)
        if any(v != int(v) for v in values):
            return "c" if top < 60 else None
        if top > 140 or bottom < -130:
            return "tenths"
        return "f" if len(self.waiting) >= _GUESS_DAYS and 60 < top <= 130 else None


def _cell(cells: list[str], at: int) -> str:
    return cells[at].strip() if at < len(cells) else ""


def _day(text: str) -> date | None:
    if len(text) == 8 and text.isdigit():
        text = f"{text[:4]}-{text[4:6]}-{text[6:]}"
    return day_from_iso(text.replace("/", "-"))


def _quality(attributes: str) -> str:
    """The quality flag among "measurement,quality,source[,time]"."""
    parts = attributes.split(",")
    return parts[1].strip() if len(parts) > 1 else ""


def _tenths(value: float, unit: Unit) -> int:
    degrees = {"f": (value - 32) / 1.8, "c": value, "tenths": value / 10}[unit]
    return round(degrees * 10)
