"""Moisture in the air, by FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), chapter 3.

Temperatures in degrees C, pressures in kPa, relative humidity in percent. Over water, not ice: below 0 C the
saturation pressure is higher than over ice (by 5 % at -5 C).
"""

from __future__ import annotations

from math import atan, exp, log, sqrt
from typing import NamedTuple

from core.dialect import told_degrees
from core.problems import Problem

SEA_LEVEL_KPA = 101.3
_PSYCHROMETER = 0.000662
"""Coefficient of a ventilated psychrometer, 1/C (FAO-56 eq. 16)."""

STULL_C = (5.0, 40.0)
STULL_RH = (10.0, 99.0)
"""Within these Stull's wet bulb is off by -0.7 to +0.85 C, measured against ASHRAE's (tests/climate/test_air.py). The
paper says -1 to +0.65 C from -20 to 50 C (J. Appl. Meteor. Climatol. 50, 2011, p. 2267), less what is cold and
dry: there it is off by up to 3.9 C, so it says nothing."""


class Air(NamedTuple):
    """The state of the air; `wet_bulb_c` is None outside of what its formula is good for."""

    temp_c: float
    rh: float
    saturation_kpa: float
    vapour_kpa: float
    deficit_kpa: float
    dew_point_c: float
    wet_bulb_c: float | None


def air(temp_c: float, rh: float, pressure_kpa: float | None = None) -> Air | Problem:
    """All of it from temperature and humidity; with a pressure the wet bulb is that of a psychrometer."""
    if not -60 <= temp_c <= 60:
        return Problem(
            f"Air temperature lies between {told_degrees(-76)} and {told_degrees(140)}: check it.",
            "impossible",
        )
    if not 0 < rh <= 100:
        return Problem("Relative humidity lies above 0 and at most 100 %: check it.", "impossible")
    if pressure_kpa is not None and not 30 <= pressure_kpa <= 110:
        return Problem("Air pressure lies between 30 and 110 kPa: check it.", "impossible")
    full = saturation_kpa(temp_c)
    vapour = full * rh / 100
    if pressure_kpa is not None:
        wet: float | None = wet_bulb_psychrometer_c(temp_c, vapour, pressure_kpa)
    else:
        wet = wet_bulb_stull_c(temp_c, rh)
    return Air(temp_c, rh, full, vapour, full - vapour, dew_point_c(vapour), wet)


def saturation_kpa(temp_c: float) -> float:
    """Pressure of vapour in saturated air (FAO-56 eq. 11)."""
    return 0.6108 * exp(17.27 * temp_c / (temp_c + 237.3))


def vapour_from_psychrometer_kpa(dry_c: float, wet_c: float, pressure_kpa: float) -> float:
    """Pressure of vapour from a dry and a wet bulb in moved air (FAO-56 eq. 15 and 16)."""
    return saturation_kpa(wet_c) - _PSYCHROMETER * pressure_kpa * (dry_c - wet_c)


def pressure_kpa(height_m: float) -> float:
    """Usual air pressure at a height above the sea (FAO-56 eq. 7)."""
    return float(SEA_LEVEL_KPA * ((293 - 0.0065 * height_m) / 293) ** 5.26)


def dew_point_c(vapour_kpa: float) -> float:
    """The temperature at which that vapour saturates the air: eq. 11 turned round."""
    g = log(vapour_kpa / 0.6108)
    return 237.3 * g / (17.27 - g)


def wet_bulb_stull_c(temp_c: float, rh: float) -> float | None:
    """Wet bulb near sea level from temperature and humidity (Stull 2011, eq. 1); None beyond its range."""
    if not (STULL_C[0] <= temp_c <= STULL_C[1] and STULL_RH[0] <= rh <= STULL_RH[1]):
        return None
    return (
        temp_c * atan(0.151977 * sqrt(rh + 8.313659))
        + atan(temp_c + rh)
        - atan(rh - 1.676331)
        + 0.00391838 * rh * sqrt(rh) * atan(0.023101 * rh)
        - 4.686035
    )


def wet_bulb_psychrometer_c(temp_c: float, vapour_kpa: float, pressure_kpa: float) -> float:
    """The wet bulb that a ventilated psychrometer would show: eq. 15 solved for it by halving."""
    low, high = dew_point_c(vapour_kpa) - 0.01, temp_c
    for _ in range(60):
        middle = (low + high) / 2
        if vapour_from_psychrometer_kpa(temp_c, middle, pressure_kpa) > vapour_kpa:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def c_from_f(degrees_f: float) -> float:
    """Degrees F in degrees C."""
    return (degrees_f - 32) / 1.8


def f_from_c(degrees_c: float) -> float:
    """Degrees C in degrees F."""
    return degrees_c * 1.8 + 32
