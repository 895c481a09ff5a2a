"""`shedbook reckon frost`: the odds of the last and first frost, from a weather file."""

from __future__ import annotations

import argparse
from argparse import Namespace

from core.problems import Problem
from core.reckon.climate.frost import METHODS, THRESHOLDS_F, USUAL_METHOD, frost_json, frost_odds
from tui import out
from tui.arguments import fahrenheit, number, years
from tui.calculation import calculation, takes_degrees, tell
from tui.frost_page import frost_lines
from tui.out import good
from tui.reckon.station import station_options, station_record


def _frost_options(frost: argparse.ArgumentParser) -> None:
    takes_degrees(frost)
    station_options(frost, required=True)
    frost.add_argument("--years", metavar="A-B", type=years, help="only these years, such as 1991-2020")
    frost.add_argument("--method", choices=METHODS, default=USUAL_METHOD, help=f"{USUAL_METHOD} unless said")
    frost.add_argument(
        "--threshold",
        metavar="F",
        type=fahrenheit,
        nargs="+",
        action="extend",
        help="36 32 28 24 F unless said",
    )
    frost.add_argument(
        "--latitude", metavar="DEGREES", type=number, help="south negative, where the file has none"
    )


def reckon_frost(args: Namespace) -> int:
    """Frost odds from a weather file."""
    record = station_record(args)
    if args.latitude is not None:
        if abs(args.latitude) > 90:
            return out.refuse(Problem("Latitude runs from -90 to 90."))
        record = record.at_latitude(args.latitude)
    odds = good(
        frost_odds(record, thresholds=args.threshold or THRESHOLDS_F, years=args.years, method=args.method)
    )
    return tell(args, frost_json(odds), frost_lines(odds), odds.because)


COMMANDS = {
    "frost": calculation(reckon_frost, _frost_options),
}
