"""GHCN-Daily files: the fixed-width .dly and the by-station (or by-year) CSV.

Layouts: readme.txt of GHCN-Daily 3.26 and readme-by_station.txt (NOAA NCEI). Temperatures are tenths of a
degree C, -9999 is missing, and a reading with any quality flag is left out.
"""

from __future__ import annotations

import calendar
from datetime import date

from core.climate.faults import short
from core.climate.gathering import Gathering

ELEMENTS = ("TMIN", "TMAX")
_MISSING = -9999
_FIRST_VALUE = 21
_VALUE_WIDTH = 8


def is_dly(line: str) -> bool:
    """Whether a line is laid out as one station-month-element of a .dly file."""
    return (
        len(line) >= _FIRST_VALUE + 5
        and "," not in line[:_FIRST_VALUE]
        and line[11:17].isdigit()
        and line[17:21].isalnum()
        and not line[:11].isspace()
    )


def read_dly_line(into: Gathering, number: int, line: str) -> None:
    """One line of a .dly file: 31 days of one element."""
    element = line[17:21]
    if element not in ELEMENTS and is_dly(line):
        return
    if not is_dly(line):
        into.faults.add(number, "not laid out as a .dly line (station, year, month, element, 31 values)")
        return
    if not into.is_station(number, line[:11].strip()):
        return
    year, month = int(line[11:15]), int(line[15:17])
    if not (1 <= month <= 12 and year >= 1):
        into.faults.add(number, f"no such month: {short(line[11:17])}")
        return
    put = into.low if element == "TMIN" else into.high
    first = date(year, month, 1).toordinal()
    days = calendar.monthrange(year, month)[1]
    for index in range(31):
        at = _FIRST_VALUE + index * _VALUE_WIDTH
        text = line[at : at + 5].strip()
        if not text:
            continue
        try:
            value = int(text)
        except ValueError:
            into.faults.add(number, f"{short(text)} is no number")
            return
        if value == _MISSING:
            continue
        if index >= days:
            into.faults.add(number, f"a reading on day {index + 1} of a month of {days}")
        elif line[at + 6 : at + 7].strip():
            into.flagged += 1
        else:
            put(number, first + index, value)


def is_by_station(cells: list[str]) -> bool:
    """Whether cells are laid out as ID, YYYYMMDD, element, value, three flags and a time."""
    if len(cells) < 4:
        return False
    return len(cells[1]) == 8 and cells[1].isdigit() and len(cells[2]) == 4 and cells[2].isalnum()


def read_by_station_line(into: Gathering, number: int, cells: list[str]) -> None:
    """One line of a by-station file: one element of one day."""
    if not is_by_station(cells):
        into.faults.add(number, "not laid out as station, YYYYMMDD, element, value, flags")
        return
    element = cells[2]
    if element not in ELEMENTS or not into.is_station(number, cells[0].strip()):
        return
    text = cells[1]
    try:
        day = date(int(text[:4]), int(text[4:6]), int(text[6:])).toordinal()
        value = int(cells[3])
    except ValueError:
        into.faults.add(number, f"{short(text)} {short(cells[3])} is no day and whole number")
        return
    if value == _MISSING:
        return
    if len(cells) > 5 and cells[5].strip():
        into.flagged += 1
    elif element == "TMIN":
        into.low(number, day, value)
    else:
        into.high(number, day, value)
