"""GHCN-Daily files: the fixed-width .dly and the by-station (or by-year) CSV.

Layouts: readme.txt of GHCN-Daily 3.26 and readme-by_station.txt (NOAA NCEI). Temperatures are tenths of a
degree C, -9999 is missing, and a reading with any quality flag is left out.
"""

from __future__ import annotations

import calendar
from datetime import date

from core.reckon.climate.faults import short
from core.reckon.climate.record_builder import RecordBuilder

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


def read_dly_line(into: RecordBuilder, number: int, line: str) -> None:
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


def by_station_cells(cells: list[str]) -> list[str] | None:
    """ID, YYYYMMDD, element, value and flags, in this order; None where a line is not laid out so.

    Copies without the station's ID are known, and such with the day as 2026-06-23; the ID is then "".
    """
    if _is_day(cells[0]):
        cells = ["", *cells]
    if len(cells) < 4 or not _is_day(cells[1]):
        return None
    element = cells[2].strip().upper()
    if len(element) != 4 or not element.isalnum():
        return None
    return [
        cells[0].strip(),
        cells[1].strip().replace("-", ""),
        element,
        *(cell.strip() for cell in cells[3:]),
    ]


def _is_day(cell: str) -> bool:
    digits = cell.strip().replace("-", "")
    return len(digits) == 8 and digits.isdecimal() and digits.isascii()


def is_by_station_header(cells: list[str]) -> bool:
    """Whether cells name the columns of a by-station file."""
    names = [cell.strip().strip("\ufeff").upper() for cell in cells]
    return len(names) > 3 and names[0] in ("ID", "STATION") and names[2] == "ELEMENT"


def read_by_station_line(into: RecordBuilder, number: int, cells: list[str]) -> None:
    """One line of a by-station file: one element of one day."""
    found = by_station_cells(cells)
    if found is None:
        into.faults.add(number, "not laid out as station, YYYYMMDD, element, value, flags")
        return
    station, text, element, reading, *flags = found
    if element not in ELEMENTS or not into.is_station(number, station):
        return
    try:
        day = date(int(text[:4]), int(text[4:6]), int(text[6:])).toordinal()
        value = int(reading)
    except ValueError:
        into.faults.add(number, f"{short(text)} {short(reading)} is no day and whole number")
        return
    if value == _MISSING:
        return
    if len(flags) > 1 and flags[1]:
        into.flagged += 1
    elif element == "TMIN":
        into.low(number, day, value)
    else:
        into.high(number, day, value)
