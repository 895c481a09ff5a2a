"""Florist wire: what a gauge is in millimetres by the British (SWG) and by the American (AWG) standard.

The same number is not the same wire: 22 gauge is 0.71 mm by SWG and 0.64 mm by AWG, and both are sold to florists
[S79]. So a gauge is never shown without its thickness and its standard.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from core.problems import Problem

Standard = Literal["SWG", "AWG"]
STANDARDS: tuple[Standard, ...] = ("SWG", "AWG")

SWG_MM: Mapping[int, float] = {
    16: 1.626,
    17: 1.422,
    18: 1.219,
    19: 1.016,
    20: 0.914,
    21: 0.813,
    22: 0.711,
    23: 0.610,
    24: 0.559,
    25: 0.508,
    26: 0.457,
    27: 0.417,
    28: 0.376,
    29: 0.345,
    30: 0.315,
}
"""Gauge -> mm by the Standard Wire Gauge (BS 3737, from memory): inches to three or four places, times 25.4."""

GAUGES = (min(SWG_MM), max(SWG_MM))
"""Thickest and thinnest gauge of florist wire."""

USES: Mapping[int, str] = {
    20: "strawflower heads [S33]",
    22: "chrysanthemums [S80], winding a wreath [S75]",
    24: "roses, daisies, carnations [S80]",
    26: "statice and gypsophila [S80], tying a wreath [S74]",
    28: "fine work [S80]",
}
"""Gauge -> what it is used for; 20 to 24 is the range for flowers to be dried [S02]."""


def awg_mm(gauge: int) -> float:
    """The diameter in mm by the American Wire Gauge: 0.127 x 92^((36 - n) / 39) (ASTM B258)."""
    return float(0.127 * 92 ** ((36 - gauge) / 39))


def wire_mm(gauge: int, standard: Standard) -> float | Problem:
    """The diameter in mm; a Problem where that gauge is no florist wire."""
    if not GAUGES[0] <= gauge <= GAUGES[1]:
        return Problem(
            f"{gauge} gauge is no florist wire: that goes from {GAUGES[0]} (thick) to {GAUGES[1]} (thin).",
            "impossible",
        )
    return SWG_MM[gauge] if standard == "SWG" else awg_mm(gauge)


def gauge_text(gauge: int, standard: str | None = None) -> str:
    """ "22 gauge SWG, 0.71 mm"; both standards where the farm has not said which its wire is sold by."""
    if not GAUGES[0] <= gauge <= GAUGES[1]:
        return f"{gauge} gauge"
    swg, awg = f"{SWG_MM[gauge]:.2f} mm", f"{awg_mm(gauge):.2f} mm"
    if standard == "SWG":
        return f"{gauge} gauge SWG, {swg}"
    if standard == "AWG":
        return f"{gauge} gauge AWG, {awg}"
    return f"{gauge} gauge: {swg} if SWG, {awg} if AWG"
