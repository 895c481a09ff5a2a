"""The days of a station while its file is being read: checked as they come, packed when all are in."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from core.problems import Problem
from core.reckon.climate.faults import LISTED, Faults, short
from core.reckon.climate.record import COLDEST_TENTHS_C, WARMEST_TENTHS_C, Record, record_of
from core.text import clean
from core.units import plural

EARLIEST = date(1700, 1, 1).toordinal()
"""No thermometer record is older."""

_LONGEST_NAME = 80
_DAYS_FOR_ONE_CROSSED = 1000


@dataclass(slots=True)
class RecordBuilder:
    """What has been read so far of the file called `file`, as seen on the day `today`.

    `archive` says that the file is laid out as an archive's, whose readings have been checked once already.
    """

    file: str
    today: date
    station: str = ""
    name: str = ""
    latitude: float | None = None
    lows: dict[int, int] = field(default_factory=dict)
    highs: dict[int, int] = field(default_factory=dict)
    flagged: int = 0
    coded: int = 0
    archive: bool = False
    _crossed: dict[int, int] = field(default_factory=dict)
    faults: Faults = field(init=False)

    def __post_init__(self) -> None:
        self.faults = Faults(self.file)

    def is_station(self, line: int, station: str) -> bool:
        """Whether the line is of the one station of the file; a second station is a fault."""
        station = clean(station)[:_LONGEST_NAME]
        if not self.station:
            self.station = station
        if station == self.station:
            return True
        self.faults.add(line, f"a second station, {short(station)}; keep one station in a file")
        return False

    def placed(self, latitude: str, name: str = "") -> None:
        """The station's latitude and name, from the first line that gives them."""
        if self.latitude is None:
            try:
                degrees = float(latitude)
            except ValueError:
                degrees = 999.0
            self.latitude = degrees if abs(degrees) <= 90 else None
        if not self.name:
            self.name = clean(name)[:_LONGEST_NAME]

    def low(self, line: int, day: int, tenths: int) -> None:
        """The low of a day."""
        self._put(line, day, tenths, self.lows, "low")

    def high(self, line: int, day: int, tenths: int) -> None:
        """The high of a day."""
        self._put(line, day, tenths, self.highs, "high")

    def _put(self, line: int, day: int, tenths: int, into: dict[int, int], what: str) -> None:
        if day > self.today.toordinal():
            self.faults.add(line, f"{date.fromordinal(day)} lies in the future")
        elif day < EARLIEST:
            self.faults.add(line, f"{date.fromordinal(day)} is older than any thermometer record")
        elif not COLDEST_TENTHS_C <= tenths <= WARMEST_TENTHS_C:
            self.faults.add(
                line, f"a {what} of {tenths / 10:g} C is no air temperature: wrong or mixed units?"
            )
        elif day in into:
            self.faults.add(line, f"{date.fromordinal(day)} has two {what}s")
        else:
            into[day] = tenths
            low, high = self.lows.get(day), self.highs.get(day)
            if low is not None and high is not None and low > high:
                self._crossed[day] = line

    def _settle_crossed(self) -> str:
        """Days whose low is above their high: a fault, but for a few that passed an archive's own checks."""
        if self.archive and len(self._crossed) * _DAYS_FOR_ONE_CROSSED <= len(self.lows):
            for day in self._crossed:
                del self.lows[day], self.highs[day]
        else:
            for day, line in self._crossed.items():
                self.faults.add(line, f"the low of {date.fromordinal(day)} is above its high")
        told = [f"{date.fromordinal(day)} (line {line})" for day, line in self._crossed.items()]
        if not told:
            return ""
        more = f" and {len(told) - LISTED} more" if len(told) > LISTED else ""
        return f"Left out, their low is above their high: {', '.join(told[:LISTED])}{more}."

    def record(self) -> Record | Problem:
        """All of it, or why not."""
        crossed = self._settle_crossed()
        if problem := self.faults.problem():
            return problem
        if not self.lows:
            return Problem(
                f"{clean(self.file)} holds no daily lows (TMIN, or a column such as min_f): "
                "choose a file that has them."
            )
        flagged = (
            f"{plural(self.flagged, 'reading')} left out, flagged as doubtful by the archive."
            if self.flagged
            else ""
        )
        coded = (
            f"{plural(self.coded, 'reading')} such as -99 left out: no reading is meant."
            if self.coded
            else ""
        )
        return record_of(
            self.lows,
            self.highs,
            station=self.station,
            name=self.name,
            latitude=self.latitude,
            remarks=[remark for remark in (flagged, coded, crossed) if remark],
        )
