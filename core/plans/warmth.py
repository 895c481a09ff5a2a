"""The warmth a station's years lead us to expect, for spacing sowings."""

from __future__ import annotations

from datetime import date

from core.crops.sheet import HardinessClass, Sheet
from core.dialect import told_degrees
from core.plans.succession import Warmth
from core.reckon.climate.heat_units import Scale, units_on
from core.reckon.climate.record import Record
from core.units import plural

SCALES: dict[HardinessClass, Scale] = {
    "hardy": Scale(40.0, 86.0, "clipped"),
    "half-hardy": Scale(40.0, 86.0, "clipped"),
    "tender": Scale(50.0, 86.0, "clipped"),
}
"""How warmth is counted: cool-season crops from 40 F, warm-season ones from 50 F, no more above 86 F (common
practice; 86/50 as in McMaster and Wilhelm 1997)."""

FEWEST_YEARS = 10
"""Years of readings a day of the year needs before it is reckoned with."""
NEAR_DAYS = 3
_DAYS = 366
_LEAP_YEAR = 2024


def scale_of(sheet: Sheet) -> Scale:
    """How a crop's warmth is counted: as its sheet says, where it has heat units of its own; else as of its class."""
    if sheet.heat_units_to_first_cut is None or sheet.heat_base_f is None:
        return SCALES[sheet.hardiness_class]
    upper = sheet.heat_upper_f.value if sheet.heat_upper_f else None
    return Scale(sheet.heat_base_f.value, upper, "average" if upper is None else "clipped")


def warmth_of_record(record: Record, sheet: Sheet) -> Warmth | None:
    """What the record leads to expect for a crop; None where some day of the year has under `FEWEST_YEARS`.

    A day's units are the mean of all years, three days either side counted in.
    """
    scale = scale_of(sheet)
    sums, counts = [0.0] * _DAYS, [0] * _DAYS
    for number_of_day in range(record.start, record.end):
        units = units_on(record, number_of_day, scale)
        if units is not None:
            i = _place(date.fromordinal(number_of_day))
            sums[i] += units
            counts[i] += 1
    # 29 February has a quarter of the years: its neighbours stand in for it
    if min(count for i, count in enumerate(counts) if i != _place(date(_LEAP_YEAR, 2, 29))) < FEWEST_YEARS:
        return None
    near = range(-NEAR_DAYS, NEAR_DAYS + 1)
    usual = [
        sum(sums[(i + n) % _DAYS] for n in near) / sum(counts[(i + n) % _DAYS] for n in near)
        for i in range(_DAYS)
    ]
    years = plural(max(counts), "year")
    called = record.name or record.station
    source = f"heat units above {told_degrees(scale.base_f)}, as in {years} of {called}"
    return Warmth(lambda day: usual[_place(day)], source)


def _place(day: date) -> int:
    """The place of a day in a leap year, from 0."""
    return date(_LEAP_YEAR, day.month, day.day).timetuple().tm_yday - 1
