"""How the shed stretches or shortens a crop's drying days: its warmth, its damp, its fan, the size of the bunch.

Handbooks give days for a warm, dark, airy room; which warmth and damp they mean they do not say. Here that room is
taken to have 75 F and 50 % humidity (common practice: 70-90 F, under 50-55 %, the fan always on). All four factors are
weak: warmth by the one published pair of times, the rest by common practice. Her weighings overrule all of it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import NamedTuple

from core.crops.sheet import Sheet
from core.dialect import told_degrees
from core.farm import Farm
from core.places import Holding, Place
from core.shed.kinds import SHED
from core.units import plural

ROOM_F, ROOM_RH = 75.0, 50.0
Q10_RATE = 1.43
"""Drying speeds up by so much for 10 C: rose heads in an oven took 80.7 h at 30 C and 39.4 h at 50 C [S54]. Weak: one
flower, in an oven, hotter than any shed, and read in a copy; rose petals dried thin speed up twice, by their 51.1
kJ/mol [S815]. The smaller is taken: it says less of a warm shed."""
F_OF_10C = 18.0
DRY_AIR = 100.0
NO_FAN = 1.15
"""Still air takes about a seventh longer (common practice)."""
BIG_BUNCH = 12
"""Stems in a usual bunch: 5 to 10 [S156], 12 [S157]."""
PER_STEM_OVER, BUNCH_MOST = 0.025, 1.5
"""A bigger bunch takes longer in the middle: a fortieth for each stem more, at most half as long again (common
practice)."""
RH_SPAN = (0.8, 1.6)
DAYS_READ = 3
"""Days of readings from which the air since it was hung is taken in full: one damp dawn says little of three weeks to
come, and counts for a third (ours)."""
LEAST, MOST = 0.6, 2.0
"""Nothing known here is good enough to more than double the days, or to take away more than two in five."""
WORTH_SAYING = 0.03


class ShedAirSince(NamedTuple):
    """The mean of the air since a day, from readings and max-min ranges; None where not read. `days` that had any."""

    f: float | None
    rh: float | None
    days: int


class ShedFactor(NamedTuple):
    """`factor` times the handbook's days; `because` says what went into it, empty where nothing did."""

    factor: float
    because: tuple[str, ...]


def air_since(farm: Farm, since: str, until: str) -> ShedAirSince:
    """The shed's mean air from one day to another, both included; each day counts the same."""
    f: dict[str, list[float]] = {}
    rh: dict[str, list[float]] = {}
    for on, _, degrees, humidity in farm.air.get(SHED, []):
        if since <= on <= until:
            if degrees is not None:
                f.setdefault(on, []).append(degrees)
            if humidity is not None:
                rh.setdefault(on, []).append(humidity)
    for on, (low_f, high_f, low_rh, high_rh) in farm.air_ranges.get(SHED, {}).items():
        # a range tells of the night as well: it stands for its day, the readings of daylight do not
        if since < on <= until:
            if low_f is not None and high_f is not None:
                f[on] = [(low_f + high_f) / 2]
            if low_rh is not None and high_rh is not None:
                rh[on] = [(low_rh + high_rh) / 2]
    return ShedAirSince(
        _mean([_mean(day) for day in f.values()]) if f else None,
        _mean([_mean(day) for day in rh.values()]) if rh else None,
        len(f.keys() | rh.keys()),
    )


def _mean(values: Collection[float]) -> float:
    return sum(values) / len(values)


def shed_factor(farm: Farm, sheet: Sheet | None, place: Place, held: Holding, until: str) -> ShedFactor:
    """What the shed makes of a lot's drying days, by what was read since it was hung and what its line is like."""
    air = air_since(farm, held.since, until)
    parts = [part for part in _parts(farm, sheet, air, place, held) if abs(part[0] - 1) >= WORTH_SAYING]
    factor = 1.0
    for each, _ in parts:
        factor *= each
    because = [f"{why} ({each:.2f} times as long)" for each, why in parts]
    if not LEAST <= factor <= MOST:
        factor = min(max(factor, LEAST), MOST)
        because.append(f"together held to {factor:g} times")
    return ShedFactor(factor, tuple(because))


def _parts(
    farm: Farm, sheet: Sheet | None, air: ShedAirSince, place: Place, held: Holding
) -> Iterator[tuple[float, str]]:
    known = min(air.days / DAYS_READ, 1.0)
    read = "" if known == 1 else f", read on {plural(air.days, 'day')} only"
    if air.f is not None:
        yield (
            Q10_RATE ** ((ROOM_F - air.f) / F_OF_10C * known),
            f"mean {told_degrees(round(air.f))} against {told_degrees(ROOM_F)}{read}, weak: from rose heads "
            "in an oven [S54]",
        )
    if air.rh is not None:
        least, most = RH_SPAN
        slower = (DRY_AIR - ROOM_RH) / max(DRY_AIR - air.rh, 1.0)
        yield (
            min(max(slower, least), most) ** known,
            f"mean {air.rh:.0f} % humidity against {ROOM_RH:.0f} %{read}, weak: in step with what the air still takes",
        )
    line = farm.lines.get(place)
    if line is not None and line.fan is False:
        yield NO_FAN, f"no fan on {place}, common practice"
    usual = sheet.stems_per_dried_bunch.value[1] if sheet is not None and sheet.stems_per_dried_bunch else 0
    over = held.per - max(BIG_BUNCH, usual)
    if over > 0:
        yield (
            min(1 + PER_STEM_OVER * over, BUNCH_MOST),
            f"bunches of {held.per} against {max(BIG_BUNCH, usual):.0f}, common practice",
        )
