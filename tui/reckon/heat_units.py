"""`shedbook reckon heat-units`: degree days of one day, of a span, or the day a sum is reached."""

from __future__ import annotations

import argparse
from argparse import Namespace
from datetime import date
from typing import Any

from core.dialect import told_degree_days, told_degrees
from core.marked import with_figures
from core.problems import Problem
from core.reckon.climate.heat_units import METHODS, Scale, daily_units, sum_units
from core.reckon.climate.record import Record
from core.reckon.climate.ripening import expected_day
from tui import out
from tui.arguments import day, fahrenheit, number
from tui.calculation import calculation, takes_degrees, tell
from tui.out import good
from tui.reckon.station import station_options, station_record

_HEAT_METHODS = ("average", "clipped", "sine", "double-sine", "triangle", "double-triangle")


def _heat_units_options(units: argparse.ArgumentParser) -> None:
    takes_degrees(units)
    units.add_argument("--min", type=fahrenheit, help="the day's low, such as 50, 50F or 10C")
    units.add_argument("--max", type=fahrenheit, help="the day's high")
    units.add_argument("--next-min", type=fahrenheit, help="the next day's low (double methods)")
    units.add_argument("--base", type=fahrenheit, required=True, help="the lower threshold")
    units.add_argument("--upper", type=fahrenheit, help="the upper threshold")
    units.add_argument(
        "--method",
        choices=_HEAT_METHODS,
        default="average",
        help="clipped is the 86/50 way; average unless said",
    )
    station_options(units, required=False)
    units.add_argument("--from", dest="start", type=day, help="the first day to count")
    units.add_argument("--to", dest="end", type=day, help="the last day to count")
    units.add_argument(
        "--need", metavar="UNITS", type=number, help="instead of --to: when will so many be had?"
    )


def reckon_heat_units(args: Namespace) -> int:
    """Degree days F of one day, of the days of a weather file, or when a sum is reached."""
    if (args.station is None) == (args.min is None and args.max is None):
        return out.refuse(Problem("Give one day's --min and --max, or a weather file with --station."))
    scale = Scale(args.base, args.upper, args.method.replace("-", " "))
    because = (f"{args.method}: {with_figures(METHODS[scale.method])}.",)
    if args.station is not None:
        return _units_of_station(args, scale, because)
    if args.min is None or args.max is None:
        return out.refuse(Problem("One day needs both its --min and its --max."))
    units = good(
        daily_units(
            args.min,
            args.max,
            base=scale.base_f,
            upper=scale.upper_f,
            method=scale.method,
            next_low=args.next_min,
        )
    )
    value = {"heat_units": round(units, 3), "heat_units_c": round(units / 1.8, 3), **_scale(scale)}
    line = f"{told_degree_days(f'{units:.2f}')} above {told_degrees(scale.base_f)}"
    return tell(args, value, [line], because)


def _scale(scale: Scale) -> dict[str, Any]:
    return {"unit": "degree days F", "base_f": scale.base_f, "upper_f": scale.upper_f, "method": scale.method}


def _units_of_station(args: Namespace, scale: Scale, because: tuple[str, ...]) -> int:
    record = station_record(args)
    if args.need is not None:
        return _day_of_need(args, scale, because, record)
    first, last = args.start or record.first_day, args.end or record.last_day
    summed = good(sum_units(record, first.toordinal(), last.toordinal(), scale))
    value = {
        "heat_units": round(summed.units, 1),
        "heat_units_c": round(summed.units / 1.8, 1),
        "from": first,
        "to": last,
        "days": summed.days,
        "filled": summed.filled,
        **_scale(scale),
    }
    lines = [
        f"{told_degree_days(f'{summed.units:.0f}')} above {told_degrees(scale.base_f)}, {first} to {last}"
    ]
    if summed.filled:
        lines.append(f"  {summed.filled} of {summed.days} days had no reading: they got their usual warmth")
    return tell(args, value, lines, because)


def _day_of_need(args: Namespace, scale: Scale, because: tuple[str, ...], record: Record) -> int:
    if args.end is not None:
        return out.refuse(
            Problem("Give --to for the sum of a span, or --need for the day of a sum: not both.")
        )
    if args.start is None:
        return out.refuse(Problem("Say from which day to count, with --from 2026-05-20."))
    found = good(
        expected_day(args.need, args.start, scale, record, seen=record, today=args.on or date.today())
    )
    value = {
        "early": found.early,
        "middle": found.middle,
        "late": found.late,
        "seen": round(found.seen, 1),
        "years": found.years,
        **_scale(scale),
    }
    words = ["not in a year" if d is None else d.isoformat() for d in (found.early, found.middle, found.late)]
    lines = [f"by {words[0]} in one year of ten, {words[1]} in five, {words[2]} in nine"]
    if not found.years:  # all of it in the days seen: no year decides any more
        lines = [f"reached on {words[1]}"]
    return tell(args, value, lines, (*because, found.because))


COMMANDS = {
    "heat-units": calculation(reckon_heat_units, _heat_units_options),
}
