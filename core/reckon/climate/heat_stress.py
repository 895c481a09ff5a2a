"""Heat on a working body: the heat index of the US National Weather Service, and the bands of OSHA.

A caution, not a limit to work up to: it holds for shade, light wind and people who are used to the heat.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Literal

from core.dialect import told_degrees
from core.problems import Problem

Band = Literal["lower", "moderate", "high", "very high"]

_BANDS: tuple[tuple[float, Band], ...] = ((115, "very high"), (103, "high"), (91, "moderate"))
"""Lowest heat index of each band, degrees F (OSHA heat index guide: < 91, 91-103, 103-115, > 115)."""

HOTTEST_F, CHARTED_F = 112, 137
"""The regression and its adjustments are given up to 112 F (NWS), and the chart ends at an index of 137 F: beyond them
it would run on to values that nobody measured."""
FULL_SUN_F = 15
"""Full sun can raise the heat index by up to this much (NWS)."""

CAUTIONS: dict[Band, str] = {
    "lower": "Water within reach, shade for the breaks; the first hot days are the hardest.",
    "moderate": "A cup of water every 15 to 20 minutes, breaks in shade, someone who looks in.",
    "high": "Move the work to the cool of the day; water, shade, short spells, never alone.",
    "very high": "Leave it until it is cooler; only what cannot wait, in short spells and never alone.",
}
"""What to do in each band (common practice after OSHA and NIOSH advice)."""

EMERGENCY = "Confusion, no sweat, collapse: call for emergency help (911) and cool the person at once."


@dataclass(frozen=True, slots=True)
class Heat:
    """The heat index in shade and in full sun (at most), degrees F, with the band of each and what to do."""

    temp_f: float
    rh: float
    index_f: float
    band: Band
    sun_index_f: float
    sun_band: Band
    caution: str


def heat(temp_f: float, rh: float) -> Heat | Problem:
    """The heat of the air; the caution is that of the shade, full sun is told beside it."""
    if not -60 <= temp_f <= 140:
        return Problem(
            f"Air temperature lies between {told_degrees(-60)} and {told_degrees(140)}: check it.",
            "impossible",
        )
    if not 0 <= rh <= 100:
        return Problem("Relative humidity lies between 0 and 100 %: check it.", "impossible")
    index = heat_index_f(temp_f, rh)
    if temp_f > HOTTEST_F or index >= CHARTED_F + 0.5:
        return Problem(
            f"{told_degrees(round(temp_f))} at {rh:.0f} % lies beyond the chart of the heat index "
            f"({told_degrees(HOTTEST_F)}, or {told_degrees(CHARTED_F)} by "
            f"feel), so no number is given: it is more than very high. {CAUTIONS['very high']}",
            "impossible",
        )
    in_sun = index + FULL_SUN_F
    return Heat(temp_f, rh, index, band(index), in_sun, band(in_sun), CAUTIONS[band(index)])


def heat_index_f(temp_f: float, rh: float) -> float:
    """The heat index in degrees F (NWS Weather Prediction Center, "The Heat Index Equation").

    The simple formula is used while its own value is below 80 F. The page can be read so that this value is
    averaged with the temperature once more before that test; its 0.5 already is that average, so it is not
    averaged again here (70 F at 50 % gives 69.05). From 80 F on it is Rothfusz's regression with the
    adjustments for dry and for damp air.
    """
    simple = 0.5 * (temp_f + 61 + (temp_f - 68) * 1.2 + 0.094 * rh)
    if simple < 80:
        return simple
    return rothfusz_f(temp_f, rh) + _adjustment(temp_f, rh)


def rothfusz_f(t: float, r: float) -> float:
    """The regression alone, which is what the NWS chart shows (Rothfusz 1990, SR 90-23)."""
    return (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 0.00683783 * t * t
        - 0.05481717 * r * r
        + 0.00122874 * t * t * r
        + 0.00085282 * t * r * r
        - 0.00000199 * t * t * r * r
    )


def _adjustment(t: float, r: float) -> float:
    if r < 13 and 80 <= t <= 112:
        return -(13 - r) / 4 * sqrt((17 - abs(t - 95)) / 17)
    if r > 85 and 80 <= t <= 87:
        return (r - 85) / 10 * (87 - t) / 5
    return 0.0


def band(index_f: float) -> Band:
    """OSHA's band of a heat index."""
    return next((name for least, name in _BANDS if index_f >= least), "lower")
