"""The farm's own thermometer beside the station: how much colder or milder her ground is.

Cold air drains to low ground on clear nights: what counts is the difference on nights near frost.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from statistics import median

from core.dialect import told_degrees, told_difference
from core.problems import Problem
from core.reckon.climate.record import Record, record_of, tenths_c
from core.units import plural

NEAR_FROST_F = (20.0, 45.0)
"""Nights whose low at the station lies between these count towards the shift of the frost odds."""

FEWEST_NIGHTS = 30
"""With fewer such nights the odds are not shifted (common practice: a month of them)."""


@dataclass(frozen=True, slots=True)
class Ground:
    """Own low less the station's, degrees F: median, and how far apart the middle half of nights lies.

    `bias_f` and `spread_f` are of all `nights` both have; `frost_bias_f` and `frost_spread_f` of the
    `frost_nights` near frost. `enough` says whether the odds may be shifted by it.
    """

    bias_f: float
    spread_f: float
    nights: int
    frost_bias_f: float | None
    frost_spread_f: float | None
    frost_nights: int
    enough: bool
    says: str


def own_record(
    lows_f: Mapping[date, float], highs_f: Mapping[date, float] | None = None, latitude: float | None = None
) -> Record | None:
    """The farm's own readings, degrees F by day, as a record; None where there is no low."""
    if not lows_f:
        return None
    lows, highs = (
        {day.toordinal(): tenths_c(value) for day, value in values.items()}
        for values in (lows_f, highs_f or {})
    )
    return record_of(lows, highs, station="own", name="own thermometer", latitude=latitude)


def compare(own: Record, station: Record) -> Ground | Problem:
    """The own readings against the station's on common days; a Problem where there are none."""
    everywhere, near = [], []
    for day in range(max(own.start, station.start), min(own.end, station.end)):
        here, there = own.low_f(day), station.low_f(day)
        if here is None or there is None:
            continue
        everywhere.append(here - there)
        if NEAR_FROST_F[0] <= there <= NEAR_FROST_F[1]:
            near.append(here - there)
    if not everywhere:
        return Problem(
            "Your readings and the station's have no night in common: bring in a newer station file.",
            "impossible",
        )
    enough = len(near) >= FEWEST_NIGHTS
    bias = median(near) if near else None
    return Ground(
        median(everywhere),
        _spread(everywhere),
        len(everywhere),
        bias,
        _spread(near) if near else None,
        len(near),
        enough,
        _says(bias, _spread(near) if near else 0.0, len(near)),
    )


def _spread(values: list[float]) -> float:
    """Width of the middle half."""
    ordered = sorted(values)
    half = len(ordered) // 2
    if not half:
        return 0.0
    return median(ordered[-half:]) - median(ordered[:half])


def _says(bias: float | None, spread: float, nights: int) -> str:
    if bias is None or nights < FEWEST_NIGHTS:
        return (
            f"Not yet: {plural(nights, 'night')} near frost (station low {told_degrees(20, 45)}) in both records, "
            f"{FEWEST_NIGHTS} are needed to shift the odds; they are the station's own."
        )
    if bias == 0:
        how = "as cold as the station"
    else:
        how = f"{told_difference(abs(bias))} {'colder' if bias < 0 else 'milder'} than the station"
    return (
        f"On {nights} nights near frost your ground was {how} "
        f"(half of the nights within {told_difference(spread)} of each other); the odds are shifted by that."
    )


def on_own_ground(station: Record, ground: Ground) -> Record:
    """The station's record as it would have been on her ground; unchanged where there is not enough."""
    if not ground.enough or ground.frost_bias_f is None:
        return station
    return station.shifted(ground.frost_bias_f)
