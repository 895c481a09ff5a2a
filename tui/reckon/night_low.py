"""`shedbook reckon night-low`: tonight's low from dusk readings, and when a guard is crossed."""

from __future__ import annotations

import argparse
from argparse import Namespace
from pathlib import Path
from typing import Any

from core.dialect import is_celsius, told_degrees, told_difference
from core.problems import Problem
from core.reckon.climate.air import c_from_f, f_from_c
from core.reckon.climate.night_low import calibrate, course, read_nights
from tui import out
from tui.arguments import fahrenheit, number
from tui.calculation import calculation, takes_degrees, tell
from tui.out import good


def _night_low_options(night: argparse.ArgumentParser) -> None:
    takes_degrees(night)
    night.add_argument(
        "--nights",
        metavar="FILE",
        type=Path,
        required=True,
        help="a CSV t0_f,td_f,tmin_f (or _c) of clear, calm nights",
    )
    night.add_argument(
        "--t0", type=fahrenheit, required=True, help="air two hours after sunset, such as 50F or -2C"
    )
    night.add_argument("--td", type=fahrenheit, required=True, help="dew point at that time")
    night.add_argument("--guard", type=fahrenheit, help="when in the night is it so cold?")
    night.add_argument("--hours", metavar="H", type=number, help="from sunset to sunrise")


def reckon_night_low(args: Namespace) -> int:
    """Tonight's low, and when a guard is crossed."""
    nights = good(read_nights(args.nights))
    fit = good(calibrate(nights))
    if args.td > args.t0:
        return out.refuse(Problem("The dew point cannot be above the temperature: check --t0 and --td."))
    if args.guard is not None and args.hours is None:
        return out.refuse(Problem("To say when the guard is crossed, give the night's length with --hours."))
    low_c = fit.low_c(c_from_f(args.t0), c_from_f(args.td))
    low_f = f_from_c(low_c)
    value: dict[str, Any] = {
        "low_f": round(low_f, 2),
        "low_c": round(low_c, 4),
        "spread_f": round(fit.spread_c * 1.8, 2),
        "nights": fit.nights,
        "fit": {"b": round(fit.b, 6), "a": round(fit.a, 6), "c": round(fit.c, 6), "r2": round(fit.r2, 4)},
    }
    lines = [
        f"about {low_c:.1f} C if it stays clear and calm"
        if is_celsius()
        else f"about {low_f:.0f} F ({low_c:.1f} C) if it stays clear and calm",
        f"  from {fit.nights} of your clear nights, two in three within {told_difference(fit.spread_c * 1.8)} of this;",
        "  an estimate beside the forecast, not in its place",
    ]
    if args.hours is not None:
        night = good(course(args.t0, low_f, args.hours))
        value["course"] = [
            {"hours_after_sunset": h, "temp_f": round(night.at(h), 2)} for h in range(2, int(args.hours) + 1)
        ]
        if args.guard is not None:
            crossed = night.crosses(args.guard)
            value["guard_f"] = args.guard
            value["guard_crossed_hours_after_sunset"] = None if crossed is None else round(crossed, 2)
            lines.append(_guard_line(args.guard, crossed))
    because = (
        "Two steps, on your own nights: the low on the dusk temperature, then the rest on the dew point: "
        f"low = {fit.b:.4f} T0 + {fit.a:.4f} Td {fit.c:+.4f} (C), R2 {fit.r2:.2f} "
        "(Snyder and de Melo-Abreu, FAO 2005, volume 1, chapter 5).",
        "Through the night: T2 - (T2 - low) sqrt((x - 2) / (n - 2)), x hours after sunset (the same book).",
    )
    return tell(args, value, lines, because)


def _guard_line(guard_f: float, crossed: float | None) -> str:
    if crossed is None:
        return f"  stays above {told_degrees(guard_f)}"
    if crossed <= 2:
        return f"  at or below {told_degrees(guard_f)} already at dusk"
    return f"  {told_degrees(guard_f)} is crossed about {crossed:.1f} hours after sunset"


COMMANDS = {
    "night-low": calculation(reckon_night_low, _night_low_options),
}
