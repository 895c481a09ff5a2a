"""`shedbook reckon sun`: sunrise, sunset, the cool hours, and the short days of the winter."""

from __future__ import annotations

import argparse
from argparse import Namespace
from datetime import date, datetime

from core.reckon.climate.sun import FEW_HOURS, Sun, clock, cutting_windows, few_hours_span, sun
from core.units import dated_text, long_day, zone_of_machine
from tui.arguments import day, number
from tui.calculation import calculation, tell
from tui.out import good


def _sun_options(sun: argparse.ArgumentParser) -> None:
    sun.add_argument("--latitude", metavar="DEGREES", type=number, required=True, help="south negative")
    sun.add_argument("--longitude", metavar="DEGREES", type=number, required=True, help="west negative")
    sun.add_argument("--date", type=day, help="today unless said")
    sun.add_argument("--zone", metavar="ZONE", help="such as America/New_York; this machine's unless said")


def reckon_sun(args: Namespace) -> int:
    """Sunrise, sunset, the cool hours, and the short days of the winter."""
    zone = args.zone or zone_of_machine()
    asked = args.date or args.on or date.today()
    today = good(sun(asked, args.latitude, args.longitude, zone))
    spans = (few_hours_span(args.latitude, year) for year in (asked.year - 1, asked.year, asked.year + 1))
    # The winter that is on, else the next.
    span = next(s for s in spans if isinstance(s, str) or s[1] >= asked)
    windows = cutting_windows(today)
    value = {
        "date": asked,
        "zone": zone,
        "sunrise": _clock(today.sunrise),
        "sunset": _clock(today.sunset),
        "day_minutes": round(today.day_hours * 60),
        "polar": today.polar,
        "under_10_hours": span if isinstance(span, str) else {"from": span[0], "to": span[1]},
        "cutting": [{"from": _clock(w.start), "to": _clock(w.end), "because": w.because} for w in windows],
    }
    lines = [f"{long_day(asked)}, {zone}", *_sun_lines(today)]
    lines += [f"  cut {_clock(w.start)} to {_clock(w.end)}: {w.because}" for w in windows]
    if isinstance(span, str):
        lines.append(f"  days under {FEW_HOURS:g} hours: {span}")
    else:
        first, last = (dated_text(end.isoformat()) for end in span)
        lines.append(f"  days under {FEW_HOURS:g} hours: {first} to {last}")
    because = (
        "NOAA solar calculator (after Meeus), center of the sun 90.833 degrees from the zenith; "
        "within a minute of the US Naval Observatory's tables below 60 degrees.",
        "Ten hours: E. Coleman, The Winter Harvest Handbook, 2009; a growers' rule, warmth counts too.",
        "Cutting in the cool: common practice; the hours before and after are from memory.",
    )
    return tell(args, value, lines, because)


def _sun_lines(today: Sun) -> list[str]:
    if today.polar is not None:
        return [f"  {today.polar}"]
    hours, minutes = divmod(round(today.day_hours * 60), 60)
    return [
        f"  sunrise {_clock(today.sunrise)}  sunset {_clock(today.sunset)}  day {hours} h {minutes:02d} min"
    ]


def _clock(moment: datetime | None) -> str | None:
    """ "HH:MM", to the nearest minute."""
    return None if moment is None else clock(moment)


COMMANDS = {
    "sun": calculation(reckon_sun, _sun_options),
}
