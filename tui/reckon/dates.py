"""`shedbook reckon dates`: a crop's calendar from typed frost dates."""

from __future__ import annotations

import argparse
from argparse import Namespace

from core.crops.calendar import crop_dates
from core.crops.frost_dates import Frost
from core.crops.library import sheet
from core.crops.windows import calendar_json
from core.problems import Problem
from core.text import clean, wrapped
from core.units import long_day
from tui import out
from tui.arguments import day
from tui.calculation import calculation
from tui.command import tell
from tui.out import good


def _dates_options(dates: argparse.ArgumentParser) -> None:
    dates.add_argument("crop", metavar="CROP", nargs="+", help="one crop, in as many words as its name has")
    dates.add_argument(
        "--last-frost", type=day, required=True, help="the average last frost: 32 F, one year in two"
    )
    dates.add_argument("--first-frost", type=day, help="the average first frost in fall")
    dates.add_argument("--way", metavar="WAY", help="another way of growing it, such as: early")


def reckon_dates(args: Namespace) -> int:
    """A crop's calendar from typed frost dates."""
    found = sheet(" ".join(args.crop), args.way)
    if isinstance(found, Problem) and len(args.crop) > 1:
        alone = [each for each in args.crop if not isinstance(sheet(each, None), Problem)]
        if len(alone) > 1:
            found = Problem(
                f"One crop at a time: {' and '.join(clean(each) for each in alone)} are asked for apart."
            )
    grown = good(found)
    if args.first_frost and args.first_frost <= args.last_frost:
        return out.refuse(
            Problem("The first frost of fall comes after the last of spring: give both in one year.")
        )
    calendar = crop_dates(grown, Frost.average(args.last_frost, args.first_frost))
    windows = [
        f"  {name.replace('_', ' '):10} {long_day(window.start)} to {long_day(window.end)}"
        for name, window in calendar.windows.items()
    ]
    # a date without its reason is none: they are told with --why and without
    because = ["because", *wrapped(f"  {why}" for why in calendar.because)]
    name = f"{grown.crop}{f', {grown.way}' if grown.way else ''}"
    return tell(args, calendar_json(calendar), [name, *windows, *because])


COMMANDS = {
    "dates": calculation(reckon_dates, _dates_options),
}
