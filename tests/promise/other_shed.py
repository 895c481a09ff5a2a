"""How long what hangs takes in the air of its own shed, by another hand: day by day, as physics and trials have it.

The days of a handbook are those of a room of 75 F and 50 % humidity (common practice). Drying speeds up with warmth by
an activation energy (Arrhenius): 29 kJ/mol of rose heads (80.7 h at 30 C, 39.4 h at 50 C in an oven [S54]), 46 to 48
of leaves of Lippia multiflora, which take 7 days in shade (Elenga et al. 2011, Research Journal of Applied Sciences,
Engineering and Technology 3:1135), 51 of rose petals [S815]; and in step with what the air still takes up (Dalton).
"""

from __future__ import annotations

from datetime import date

import numpy as np

from core.farm import Farm
from tests.plans.other_hand import Array

ROOM_F, ROOM_RH = 75.0, 50.0
KJ_PER_MOL = (29.0, 51.0)
GAS = 8.314e-3
"""kJ/mol K."""
AS_OF_LATE = 14
"""The days to come are as those of so many days before today, in their mean."""
LONGEST = 200
"""Days of hanging that are looked at."""
ON_A_LINE = (7.0, 21.0)
"""Days where the handbook has only those in silica: 3 days to 3 weeks for all kinds [S104], a week at the least for a
whole bunch (common practice)."""
NOON = 0.5
"""It was hung in the middle of its day."""


def air_of(farm: Farm, today: int) -> dict[int, tuple[float, float]]:
    """day (an ordinal) -> its degrees F and humidity in percent, as read in the shed; a range before the readings of
    a day, for it has the night in it."""
    read: dict[int, list[tuple[float, float]]] = {}
    for one in farm.air.get("shed", []):
        if one.f is not None and one.rh is not None:
            read.setdefault(_day(one.on), []).append((one.f, one.rh))
    found = {day: (_mean(f for f, _ in each), _mean(rh for _, rh in each)) for day, each in read.items()}
    for on, span in farm.air_ranges.get("shed", {}).items():
        if None not in span:
            found[_day(on)] = (
                (span.low_f + span.high_f) / 2,  # type: ignore[operator]
                (span.low_rh + span.high_rh) / 2,  # type: ignore[operator]
            )
    return {day: air for day, air in found.items() if day <= today}


def dried_by_day(farm: Farm, hung: int, today: int, energy: Array) -> Array:
    """[season, day]: how many of the days of its handbook a bunch has done after so many days of hanging; `energy` in
    kJ/mol, one for each season."""
    read = air_of(farm, today)
    late = [air for day, air in read.items() if today - AS_OF_LATE < day]
    to_come = (_mean(f for f, _ in late), _mean(rh for _, rh in late)) if late else (ROOM_F, ROOM_RH)
    past = sorted(day for day in read if day >= hung - 1)
    air = []
    for day in range(hung, hung + LONGEST):
        near = min(past, key=lambda one: abs(one - day), default=None) if day <= today else None
        air.append(to_come if near is None else read[near])
    kelvin = np.array([_kelvin(f) for f, _ in air])
    takes_up = np.array([max(100 - rh, 1.0) for _, rh in air]) / (100 - ROOM_RH)
    faster = np.exp(-energy[:, None] / GAS * (1 / kelvin - 1 / _kelvin(ROOM_F))[None, :])
    done = np.cumsum(faster * takes_up, axis=1)
    return np.asarray(np.concatenate([np.zeros((len(energy), 1)), done], axis=1))


def after(done: Array, days: Array) -> Array:
    """The days of hanging after which so many days of the handbook are done, in each season."""
    return np.array([np.interp(of, row, np.arange(len(row))) for of, row in zip(days, done, strict=True)])


def _kelvin(f: float) -> float:
    return (f - 32) / 1.8 + 273.15


def _day(on: str) -> int:
    return date.fromisoformat(on).toordinal()


def _mean(values: object) -> float:
    found = list(values)  # type: ignore[call-overload]
    return float(sum(found) / len(found))
