"""How the shed stretches or shortens a crop's drying days: its warmth, its damp, its fan, the size of the bunch.

Handbooks give days for a warm, dark, airy room; which warmth and damp they mean they do not say. Here that room is
taken to have 75 F and 50 % humidity (common practice: 70-90 F, under 50-55 %, the fan always on). All four factors are
weak: warmth by the one published pair of times, the rest by common practice. Her weighings overrule all of it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date, timedelta
from math import exp, hypot, log
from typing import NamedTuple

from core.crops.sheet import Sheet, Span
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
Q10_MOST = 2.0
"""That of the petals: what the warmth does lies between the two."""
WEAK: Span = (0.5, 1.5)
"""A factor of common practice lies between its root and half as much again, in its logarithm, eight times in ten
(ours)."""
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
AS_OF_LATE = 14
"""The air of so many days says what is to be expected of the next (ours)."""
LEAST, MOST = 0.6, 2.0
"""Nothing known here is good enough to more than double the days, or to take away more than two in five."""
WORTH_SAYING = 0.03


class ShedAirSince(NamedTuple):
    """The mean of the air since a day, from readings and max-min ranges; None where not read. `days` that had any."""

    f: float | None
    rh: float | None
    days: int


class ShedFactor(NamedTuple):
    """`factor` times the handbook's days; `because` says what went into it, empty where nothing did. Weak as it is, it
    lies in its `span` eight times in ten."""

    factor: float
    because: tuple[str, ...]
    span: Span


class Part(NamedTuple):
    """One thing about the shed: how many times as long it makes the drying, and why; it lies in its `span` eight times
    in ten."""

    factor: float
    why: str
    span: Span

    @staticmethod
    def common(factor: float, why: str) -> Part:
        """By common practice."""
        least, most = (factor**power for power in WEAK)
        return Part(factor, why, (least, most))


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
    parts = [part for part in _parts(farm, sheet, air, place, held) if abs(part.factor - 1) >= WORTH_SAYING]
    factor = 1.0
    for part in parts:
        factor *= part.factor
    because = [f"{part.why} ({part.factor:.2f} times as long)" for part in parts]
    if not LEAST <= factor <= MOST:
        factor = min(max(factor, LEAST), MOST)
        because.append(f"together held to {factor:g} times")
    # what hangs since today is to dry in air as it was of late
    fortnight = (date.fromisoformat(until) - timedelta(days=AS_OF_LATE)).isoformat()
    lately = air_since(farm, min(held.since, fortnight), until)
    return ShedFactor(
        factor, tuple(because), _span([part.span for part in _parts(farm, sheet, lately, place, held)])
    )


def _span(spans: Collection[Span]) -> Span:
    """Where all factors together lie eight times in ten, each straying for itself."""
    middle = sum(log(least * most) / 2 for least, most in spans)
    middle = min(max(middle, log(LEAST)), log(MOST))
    half = hypot(*(log(most / least) / 2 for least, most in spans))
    return exp(middle - abs(half)), exp(middle + abs(half))


def _parts(farm: Farm, sheet: Sheet | None, air: ShedAirSince, place: Place, held: Holding) -> Iterator[Part]:
    known = min(air.days / DAYS_READ, 1.0)
    read = "" if known == 1 else f", read on {plural(air.days, 'day')} only"
    if air.f is not None:
        cooler = (ROOM_F - air.f) / F_OF_10C * known
        least, most = sorted((Q10_RATE**cooler, Q10_MOST**cooler))
        yield Part(
            Q10_RATE**cooler,
            f"mean {told_degrees(round(air.f))} against {told_degrees(ROOM_F)}{read}, weak: from rose heads "
            "in an oven [S54]",
            (least, most),
        )
    if air.rh is not None:
        least, most = RH_SPAN
        slower = (DRY_AIR - ROOM_RH) / max(DRY_AIR - air.rh, 1.0)
        yield Part.common(
            min(max(slower, least), most) ** known,
            f"mean {air.rh:.0f} % humidity against {ROOM_RH:.0f} %{read}, weak: in step with what the air still takes",
        )
    line = farm.lines.get(place)
    if line is not None and line.fan is False:
        yield Part.common(NO_FAN, f"no fan on {place}, common practice")
    usual = sheet.stems_per_dried_bunch.value[1] if sheet is not None and sheet.stems_per_dried_bunch else 0
    over = held.per - max(BIG_BUNCH, usual)
    if over > 0:
        yield Part.common(
            min(1 + PER_STEM_OVER * over, BUNCH_MOST),
            f"bunches of {held.per} against {max(BIG_BUNCH, usual):.0f}, common practice",
        )
