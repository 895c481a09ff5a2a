"""`shedbook reckon air` and `reckon heat`: what the air holds and how hard it dries; the heat index and its caution."""

from __future__ import annotations

import argparse
from argparse import Namespace

from core.dialect import is_celsius, told_degrees, told_difference
from core.reckon.climate.air import air, c_from_f, f_from_c
from core.reckon.climate.heat_stress import EMERGENCY, FULL_SUN_F, heat
from tui.arguments import fahrenheit, number
from tui.calculation import calculation, takes_degrees, tell
from tui.out import good


def _air_options(air: argparse.ArgumentParser) -> None:
    takes_degrees(air)
    air.add_argument("--temp", type=fahrenheit, required=True, help="such as 70F or 21C")
    air.add_argument("--rh", metavar="PERCENT", type=number, required=True, help="relative humidity")
    air.add_argument(
        "--pressure", metavar="KPA", type=number, help="air pressure: the wet bulb then comes from it"
    )


def reckon_air(args: Namespace) -> int:
    """What the air holds, and how hard it dries."""
    found = good(air(c_from_f(args.temp), args.rh, args.pressure))
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
        else "Wet bulb: Stull 2011, J. Appl. Meteor. Climatol. 50:2267, near sea level, "
        f"{told_degrees(41, 104)} and 10 to 99 %; "
        "-0.7 to +0.85 C off (measured against ASHRAE's).",
    )
    return tell(args, value, lines, because)


def _both(degrees_c: float) -> str:
    return f"{degrees_c:.1f} C" if is_celsius() else f"{degrees_c * 1.8 + 32:.1f} F ({degrees_c:.1f} C)"


def _heat_options(heat: argparse.ArgumentParser) -> None:
    takes_degrees(heat)
    heat.add_argument("--temp", type=fahrenheit, required=True, help="such as 96F or 35C")
    heat.add_argument("--rh", metavar="PERCENT", type=number, required=True, help="relative humidity")


def reckon_heat(args: Namespace) -> int:
    """The heat index and its caution."""
    found = good(heat(args.temp, args.rh))
    value = {
        "heat_index_f": round(found.index_f, 2),
        "band": found.band,
        "full_sun_up_to_f": round(found.sun_index_f, 2),
        "full_sun_band": found.sun_band,
        "caution": found.caution,
        "emergency": EMERGENCY,
    }
    lines = [
        f"Feels like {told_degrees(round(found.index_f))} in shade: {found.band} risk; "
        f"in full sun up to {told_degrees(round(found.sun_index_f))}: {found.sun_band}",
        f"  {found.caution}",
        f"  {EMERGENCY}",
    ]
    because = (
        "NWS heat index: Rothfusz's regression with the adjustments for dry and damp air; below "
        f"{told_degrees(80)} the "
        "simple formula, whose own value is the test (it is not averaged with the temperature again).",
        f"Bands under {told_degrees(91)}, {told_degrees(103)}, {told_degrees(115)} and above: OSHA. Full sun "
        "adds up to "
        f"{told_difference(FULL_SUN_F, 'g')}: NWS.",
        "A caution only: follow your local rules and your own body.",
    )
    return tell(args, value, lines, because)


COMMANDS = {
    "air": calculation(reckon_air, _air_options),
    "heat": calculation(reckon_heat, _heat_options),
}
