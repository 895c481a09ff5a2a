"""`shedbook reckon WHAT`: one calculation on its own, with no farm. Its options, and what it prints."""

from __future__ import annotations

import argparse
import re
from argparse import Namespace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from core.problems import Problem, ShedbookError
from tui import out, reckon_drying, reckon_moisture, reckon_pieces, reckon_plan, reckon_vase
from tui.arguments import day, fahrenheit, number, years
from tui.calculation import add_calculation, tell
from tui.wrapping import wrapped

if TYPE_CHECKING:
    from typing import Any

    from core.reckon.climate.heat_units import Scale
    from core.reckon.climate.record import Record
    from core.reckon.climate.sun import Sun


_BELOW_ZERO = re.compile(r"-(\d+(\.\d*)?|\.\d+)[CFcf]?$")

_HEAT_METHODS = ("average", "clipped", "sine", "double-sine", "triangle", "double-triangle")


# options


def add_parsers(reckon: argparse.ArgumentParser, shared: argparse.ArgumentParser) -> None:
    """Everything that can be reckoned, under the verb `reckon`."""
    what = reckon.add_subparsers(title="what", metavar="WHAT")

    def sub(name: str, says: str) -> argparse.ArgumentParser:
        made = add_calculation(what, name, says, parents=[shared])
        # Else argparse takes "-2C" for an option, though it takes "-2" for a number.
        made._negative_number_matcher = _BELOW_ZERO
        return made

    _dates_options(sub("dates", "a crop's dates to sow, harden, set out and cut, from the last frost"))
    _frost_options(sub("frost", "the odds of the last and first frost, from a weather file"))
    _heat_units_options(sub("heat-units", "degree days of one day, of a span, or the day a sum is reached"))
    _sun_options(sub("sun", "sunrise, sunset, day length and the cool hours to cut in"))
    _air_options(sub("air", "dew point, wet bulb and drying power of the air"))
    _heat_options(sub("heat", "the heat index of a hot morning, and its caution"))
    _night_low_options(sub("night-low", "tonight's low from dusk readings and your own clear nights"))
    reckon_plan.add_parsers(what)
    reckon_vase.add_parsers(what)
    reckon_drying.add_parsers(what)
    reckon_moisture.add_parsers(what)
    reckon_pieces.add_parsers(what)


def _dates_options(dates: argparse.ArgumentParser) -> None:
    dates.add_argument("crop", metavar="CROP", nargs="+")
    dates.add_argument(
        "--last-frost",
        metavar="YYYY-MM-DD",
        type=day,
        required=True,
        help="the average last frost: 32 F, one year in two",
    )
    dates.add_argument(
        "--first-frost", metavar="YYYY-MM-DD", type=day, help="the average first frost in autumn"
    )
    dates.add_argument("--way", metavar="WAY", help="another way of growing it, such as: early")


def _station_options(made: argparse.ArgumentParser, *, required: bool) -> None:
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


def _frost_options(frost: argparse.ArgumentParser) -> None:
    _station_options(frost, required=True)
    frost.add_argument("--years", metavar="A-B", type=years, help="only these years, such as 1991-2020")
    frost.add_argument(
        "--method", choices=("weibull", "normal"), default="weibull", help="weibull unless said"
    )
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


def _heat_units_options(units: argparse.ArgumentParser) -> None:
    units.add_argument("--min", metavar="T", type=fahrenheit, help="the day's low, such as 50, 50F or 10C")
    units.add_argument("--max", metavar="T", type=fahrenheit, help="the day's high")
    units.add_argument("--next-min", metavar="T", type=fahrenheit, help="the next day's low (double methods)")
    units.add_argument("--base", metavar="T", type=fahrenheit, required=True, help="the lower threshold")
    units.add_argument("--upper", metavar="T", type=fahrenheit, help="the upper threshold")
    units.add_argument(
        "--method",
        choices=_HEAT_METHODS,
        default="average",
        help="clipped is the 86/50 way; average unless said",
    )
    _station_options(units, required=False)
    units.add_argument("--from", dest="start", metavar="YYYY-MM-DD", type=day, help="the first day to count")
    units.add_argument("--to", dest="end", metavar="YYYY-MM-DD", type=day, help="the last day to count")
    units.add_argument(
        "--need", metavar="UNITS", type=number, help="instead of --to: when will so many be had?"
    )


def _sun_options(sun: argparse.ArgumentParser) -> None:
    sun.add_argument("--latitude", metavar="DEGREES", type=number, required=True, help="south negative")
    sun.add_argument("--longitude", metavar="DEGREES", type=number, required=True, help="west negative")
    sun.add_argument("--date", metavar="YYYY-MM-DD", type=day, help="today unless said")
    sun.add_argument("--zone", metavar="ZONE", help="such as America/New_York; this machine's unless said")


def _air_options(air: argparse.ArgumentParser) -> None:
    air.add_argument("--temp", metavar="T", type=fahrenheit, required=True, help="such as 70F or 21C")
    air.add_argument("--rh", metavar="PERCENT", type=number, required=True, help="relative humidity")
    air.add_argument(
        "--pressure", metavar="KPA", type=number, help="air pressure: the wet bulb then comes from it"
    )


def _heat_options(heat: argparse.ArgumentParser) -> None:
    heat.add_argument("--temp", metavar="T", type=fahrenheit, required=True, help="such as 96F or 35C")
    heat.add_argument("--rh", metavar="PERCENT", type=number, required=True, help="relative humidity")


def _night_low_options(night: argparse.ArgumentParser) -> None:
    night.add_argument(
        "--nights",
        metavar="FILE",
        type=Path,
        required=True,
        help="a CSV t0_f,td_f,tmin_f (or _c) of clear, calm nights",
    )
    night.add_argument(
        "--t0",
        metavar="T",
        type=fahrenheit,
        required=True,
        help="air two hours after sunset, such as 50F or -2C",
    )
    night.add_argument("--td", metavar="T", type=fahrenheit, required=True, help="dew point at that time")
    night.add_argument("--guard", metavar="T", type=fahrenheit, help="when in the night is it so cold?")
    night.add_argument("--hours", metavar="H", type=number, help="from sunset to sunrise")


# what each prints


def reckon_what(_args: Namespace) -> int:
    """Reckon was called without saying what."""
    out.error("Say what to reckon, such as: frost. See: shedbook reckon --help")
    return out.USAGE


def reckon_dates(args: Namespace) -> int:
    """A crop's calendar from typed frost dates."""
    from core.crops.calendar import Frost, calendar_json, crop_dates
    from core.crops.library import sheet
    from core.units import long_day

    found = sheet(" ".join(args.crop), args.way)
    if isinstance(found, Problem):
        return out.refuse(found)
    if args.first_frost and args.first_frost <= args.last_frost:
        raise ShedbookError(
            Problem("The first frost of autumn comes after the last of spring: give both in one year.")
        )
    calendar = crop_dates(found, Frost.average(args.last_frost, args.first_frost))
    if args.json:
        out.as_json(calendar_json(calendar))
        return out.DONE
    out.lines([f"{found.crop}{f', {found.way}' if found.way else ''}"])
    for name, window in calendar.windows.items():
        out.lines([f"  {name.replace('_', ' '):10} {long_day(window.start)} to {long_day(window.end)}"])
    # a date without its reason is none: they are told with --why and without
    out.lines(["because", *wrapped(f"  {why}" for why in calendar.because)])
    return out.DONE


def reckon_frost(args: Namespace) -> int:
    """Frost odds from a weather file."""
    from core.reckon.climate.frost import THRESHOLDS_F, frost_json, frost_odds
    from tui.frost_page import frost_lines

    record = _station(args)
    if isinstance(record, Problem):
        return out.refuse(record)
    if args.latitude is not None:
        if abs(args.latitude) > 90:
            return out.refuse(Problem("Latitude runs from -90 to 90."))
        record = record.at_latitude(args.latitude)
    odds = frost_odds(record, thresholds=args.threshold or THRESHOLDS_F, years=args.years, method=args.method)
    if isinstance(odds, Problem):
        return out.refuse(odds)
    return tell(args, frost_json(odds), frost_lines(odds), odds.because)


def reckon_heat_units(args: Namespace) -> int:
    """Degree days F of one day, of the days of a weather file, or when a sum is reached."""
    from core.reckon.climate.heat_units import METHODS, Scale, daily_units

    if (args.station is None) == (args.min is None and args.max is None):
        return out.refuse(Problem("Give one day's --min and --max, or a weather file with --station."))
    scale = Scale(args.base, args.upper, args.method.replace("-", " "))
    because = (f"{args.method}: {METHODS[scale.method]}.",)
    if args.station is not None:
        return _units_of_station(args, scale, because)
    if args.min is None or args.max is None:
        return out.refuse(Problem("One day needs both its --min and its --max."))
    units = daily_units(
        args.min,
        args.max,
        base=scale.base_f,
        upper=scale.upper_f,
        method=scale.method,
        next_low=args.next_min,
    )
    if isinstance(units, Problem):
        return out.refuse(units)
    value = {"heat_units": round(units, 3), "heat_units_c": round(units / 1.8, 3), **_scale(scale)}
    line = f"{units:.2f} degree days F above {scale.base_f:g} F ({units / 1.8:.2f} degree days C)"
    return tell(args, value, [line], because)


def _scale(scale: Scale) -> dict[str, Any]:
    return {"unit": "degree days F", "base_f": scale.base_f, "upper_f": scale.upper_f, "method": scale.method}


def _units_of_station(args: Namespace, scale: Scale, because: tuple[str, ...]) -> int:
    from core.reckon.climate.heat_units import sum_units

    record = _station(args)
    if isinstance(record, Problem):
        return out.refuse(record)
    if args.need is not None:
        return _day_of_need(args, scale, because, record)
    first, last = args.start or record.first_day, args.end or record.last_day
    summed = sum_units(record, first.toordinal(), last.toordinal(), scale)
    if isinstance(summed, Problem):
        return out.refuse(summed)
    value = {
        "heat_units": round(summed.units, 1),
        "heat_units_c": round(summed.units / 1.8, 1),
        "from": first,
        "to": last,
        "days": summed.days,
        "filled": summed.filled,
        **_scale(scale),
    }
    lines = [f"{summed.units:.0f} degree days F above {scale.base_f:g} F, {first} to {last}"]
    if summed.filled:
        lines.append(f"  {summed.filled} of {summed.days} days had no reading: they got their usual warmth")
    return tell(args, value, lines, because)


def _day_of_need(args: Namespace, scale: Scale, because: tuple[str, ...], record: Record) -> int:
    from core.reckon.climate.ripening import expected_day

    if args.end is not None:
        return out.refuse(
            Problem("Give --to for the sum of a span, or --need for the day of a sum: not both.")
        )
    if args.start is None:
        return out.refuse(Problem("Say from which day to count, with --from 2026-05-20."))
    found = expected_day(args.need, args.start, scale, record, seen=record, today=args.on or date.today())
    if isinstance(found, Problem):
        return out.refuse(found)
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


def reckon_sun(args: Namespace) -> int:
    """Sunrise, sunset, the cool hours, and the short days of the winter."""
    from core.reckon.climate.sun import FEW_HOURS, Sun, cutting_windows, few_hours_span, sun
    from core.units import dated_text, long_day, zone_of_machine

    zone = args.zone or zone_of_machine()
    asked = args.date or args.on or date.today()
    today = sun(asked, args.latitude, args.longitude, zone)
    if not isinstance(today, Sun):
        return out.refuse(today)
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
        "NOAA solar calculator (after Meeus), centre of the sun 90.833 degrees from the zenith; "
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
    from core.reckon.climate.sun import clock

    return None if moment is None else clock(moment)


def reckon_air(args: Namespace) -> int:
    """What the air holds, and how hard it dries."""
    from core.reckon.climate.air import air, c_from_f, f_from_c

    found = air(c_from_f(args.temp), args.rh, args.pressure)
    if isinstance(found, Problem):
        return out.refuse(found)
    wet = found.wet_bulb_c
    value = {
        "temp_f": round(args.temp, 2),
        "temp_c": round(found.temp_c, 2),
        "rh": found.rh,
        "saturation_kpa": round(found.saturation_kpa, 4),
        "vapour_kpa": round(found.vapour_kpa, 4),
        "vpd_kpa": round(found.deficit_kpa, 4),
        "dew_point_f": round(f_from_c(found.dew_point_c), 2),
        "dew_point_c": round(found.dew_point_c, 2),
        "wet_bulb_f": None if wet is None else round(f_from_c(wet), 2),
        "wet_bulb_c": None if wet is None else round(wet, 2),
    }
    lines = [
        f"{_both(found.temp_c)} at {found.rh:g} %",
        f"  dew point {_both(found.dew_point_c)}",
        f"  wet bulb  {'not known so far from usual air' if wet is None else _both(wet)}",
        f"  vapour    {found.vapour_kpa:.2f} of {found.saturation_kpa:.2f} kPa, "
        f"{found.deficit_kpa:.2f} kPa short of full",
    ]
    because = (
        "Saturation 0.6108 exp(17.27 T / (T + 237.3)) kPa, T in C; dew point is that turned round "
        "(FAO Irrigation and Drainage Paper 56, eq. 11).",
        "Wet bulb: psychrometer equation at the pressure given (FAO 56, eq. 15)."
        if args.pressure is not None
        else "Wet bulb: Stull 2011, J. Appl. Meteor. Climatol. 50:2267, near sea level; -1 to +0.65 C off.",
    )
    return tell(args, value, lines, because)


def _both(degrees_c: float) -> str:
    return f"{degrees_c * 1.8 + 32:.1f} F ({degrees_c:.1f} C)"


def reckon_heat(args: Namespace) -> int:
    """The heat index and its caution."""
    from core.reckon.climate.heat_stress import EMERGENCY, FULL_SUN_F, heat

    found = heat(args.temp, args.rh)
    if isinstance(found, Problem):
        return out.refuse(found)
    value = {
        "heat_index_f": round(found.index_f, 2),
        "band": found.band,
        "full_sun_up_to_f": round(found.sun_index_f, 2),
        "full_sun_band": found.sun_band,
        "caution": found.caution,
        "emergency": EMERGENCY,
    }
    lines = [
        f"Feels like {found.index_f:.0f} F in shade: {found.band} risk; "
        f"in full sun up to {found.sun_index_f:.0f} F: {found.sun_band}",
        f"  {found.caution}",
        f"  {EMERGENCY}",
    ]
    because = (
        "NWS heat index: Rothfusz's regression with the adjustments for dry and damp air; below 80 F the "
        "simple formula, whose own value is the test (it is not averaged with the temperature again).",
        f"Bands under 91, 103, 115 F and above: OSHA. Full sun adds up to {FULL_SUN_F} F: NWS.",
        "A caution only: follow your local rules and your own body.",
    )
    return tell(args, value, lines, because)


def reckon_night_low(args: Namespace) -> int:
    """Tonight's low, and when a guard is crossed."""
    from core.reckon.climate.air import c_from_f, f_from_c
    from core.reckon.climate.night_low import calibrate, course, read_nights

    nights = read_nights(args.nights)
    if isinstance(nights, Problem):
        return out.refuse(nights)
    fit = calibrate(nights)
    if isinstance(fit, Problem):
        return out.refuse(fit)
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
        f"about {low_f:.0f} F ({low_c:.1f} C) if it stays clear and calm",
        f"  from {fit.nights} of your clear nights, two in three within {fit.spread_c * 1.8:.1f} F of this;",
        "  an estimate beside the forecast, not in its place",
    ]
    if args.hours is not None:
        night = course(args.t0, low_f, args.hours)
        if isinstance(night, Problem):
            return out.refuse(night)
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
        return f"  stays above {guard_f:g} F"
    if crossed <= 2:
        return f"  at or below {guard_f:g} F already at dusk"
    return f"  {guard_f:g} F is crossed about {crossed:.1f} hours after sunset"


# shared


def _station(args: Namespace) -> Record | Problem:
    """The weather file that was named; how far it is read shows where someone is watching."""
    from core.reckon.climate.stations import read_station

    progress = out.progress("the weather")
    record = read_station(
        args.station,
        today=date.today(),
        unit=args.unit,
        progress=out.reading(progress),
    )
    if progress is not None:
        progress(1)
    return record
