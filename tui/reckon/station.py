"""The weather file that a calculation reads."""

from __future__ import annotations

import argparse
from argparse import Namespace
from datetime import date
from pathlib import Path

from core.reckon.climate.record import Record
from core.reckon.climate.stations import read_station
from tui import out
from tui.out import good


def station_options(made: argparse.ArgumentParser, *, required: bool) -> None:
    """The file, and the unit of its temperatures."""
    made.add_argument(
        "--station",
        metavar="FILE",
        type=Path,
        required=required,
        help="a GHCN-Daily .dly or CSV, an NCEI access CSV, or date,min_f,max_f",
    )
    made.add_argument(
        "--unit",
        choices=("f", "c", "tenths"),
        type=str.lower,
        help="of the temperatures, where the file does not say",
    )


def station_record(args: Namespace) -> Record:
    """The weather file that was named; how far it is read shows where someone is watching."""
    progress = out.progress("reading the weather")
    record = read_station(
        args.station,
        today=date.today(),
        unit=args.unit,
        progress=out.reading(progress),
    )
    if progress is not None:
        progress(1)
    return good(record)
