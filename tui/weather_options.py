"""Options of `shedbook weather`."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path


def add_options(weather: argparse.ArgumentParser, shared: argparse.ArgumentParser) -> None:
    """What can be done with the weather; without a word it is shown."""
    weather.add_argument(
        "--method", choices=("weibull", "normal"), default="weibull", help="weibull unless said"
    )
    what = weather.add_subparsers(title="to do", metavar="WHAT")

    def sub(name: str, says: str, *, asks: bool) -> argparse.ArgumentParser:
        made = what.add_parser(
            name, help=says, description=says[0].upper() + says[1:] + ".", parents=[shared]
        )
        made.set_defaults(verb=f"weather_{name}")
        made.add_argument("--json", action="store_true", help="print JSON")
        if asks:
            made.add_argument("--yes", action="store_true", help="keep it; without, it is only shown")
        return made

    brought = sub("import", "bring in a station's daily lows and highs", asks=False)
    brought.add_argument(
        "file", metavar="FILE", type=Path, help="GHCN-Daily .dly or CSV, NCEI access CSV, or date,min_f,max_f"
    )
    brought.add_argument(
        "--unit", type=_unit, help="F or C (or tenths of C), where the file does not say", metavar="F|C"
    )
    keep = sub("keep", "the odds as your frost dates: what moves, and with --yes kept", asks=True)
    keep.add_argument(
        "--method", choices=("weibull", "normal"), default="weibull", help="weibull unless said"
    )
    keep.add_argument("--own", action="store_true", help="moved to your own ground by your own readings")
    risk = sub("risk", "the cold a class of crops waits for: what moves, and with --yes kept", asks=True)
    risk.add_argument("hardiness", metavar="CLASS", choices=("hardy", "half-hardy", "tender"))
    risk.add_argument("threshold", metavar="F", type=_with_unit("fF"), help="such as 36F")
    risk.add_argument("risk", metavar="PERCENT", type=_with_unit("%"), help="such as 10%%")


def _unit(text: str) -> str:
    if text.lower() not in ("f", "c", "tenths"):
        raise argparse.ArgumentTypeError("the unit is F, C or tenths (of a degree C)")
    return text.lower()


def _with_unit(unit: str) -> Callable[[str], float]:
    """Reads a number that may carry its unit: 36F, 10%."""

    def read(text: str) -> float:
        from tui.arguments import number

        value = number(text.rstrip(unit))
        return int(value) if value == int(value) else value

    return read
