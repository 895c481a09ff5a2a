"""What is left of the days in the vase: a range, from what respiration says to the worst that trials saw.

    used days = sum(hours / 24 * Q10 ** ((T - reference) / 10)),   left = life - used,   T in degrees C

Two published facts make this law: respiration rises with warmth by a fixed ratio for 10 C (Q10 = 3, from 0 to 10 C,
for rose 'First Red' and gypsophila), and vase life falls in a straight line with the respiration of the storage
(Celikel and Reid, Acta Horticulturae; the straight line also for gerbera and sunflower, HortScience 37:148-150,
2002). It is the kind end of the range: in trials stems lost up to six times as much above 40 F. The careful end is the
worst of the trials; a crop that was tried itself goes by its own (core.reckon.vase_trials).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from core.dialect import told_degrees
from core.marked import with_figures
from core.patterns import pattern
from core.problems import Problem
from core.reckon.climate.air import c_from_f, f_from_c
from core.reckon.vase_trials import OWN, SPREAD, Spell, at_worst, own_share, unborne
from core.text import clean

REFERENCE_C = 20.0
"""Vase life is tested at 68 F, 12 h of light a day [S17 S19]."""
Q10 = 3.0
PUBLISHED_C = (0.0, 10.0)
"""Between these the Q10 was measured; beyond them it is extrapolated."""
PUBLISHED_FOR = ("rose", "gypsophila")
TEMP_C = (-2.0, 45.0)
"""Below it petals freeze; the coldest published stores stand at 31 F [S22 S23]."""
Q10_SPAN = (1.0, 6.0)
LIFE_MOST, HOURS_MOST = 365.0, 24.0 * 365

RECUT_HOURS = 4.0
"""Zinnia out of water for 4 h is saved by cutting an inch off; after 24 h it never recovers [S20]."""
LOST_HOURS = 24.0

LOOK = "an estimate: look at the petals"


class VaseLife(NamedTuple):
    """`left_days` at the least, `left_most_days` at the most; below 0: past its end by so many days at the reference.
    `used_days` by the law, its `factors` stand beside the `spells`; `by` says what the range rests on.

    `water`: "" (hardly out of water), "recut" (cut an inch off and let it drink), "doubtful" (longer than was
    tried), "lost" (never recovers: then nothing is left, whatever the warmth was).
    """

    life_days: float
    used_days: float
    left_days: float
    left_most_days: float
    by: str
    degree_hours: float
    """Hours times degrees C above 0."""
    q10: float
    reference_c: float
    spells: tuple[Spell, ...]
    factors: tuple[float, ...]
    extrapolated_hours: float
    """Hours outside of the span in which the Q10 was measured."""
    water: str


def ageing_factor(temp_c: float, q10: float = Q10, reference_c: float = REFERENCE_C) -> float:
    """How many times faster than at the reference a stem ages: 0.1111 at 0 C, 1 at 20 C."""
    return float(q10 ** ((temp_c - reference_c) / 10))


def used_days(spells: Iterable[Spell], q10: float = Q10, reference_c: float = REFERENCE_C) -> float:
    """Days of vase life at the reference that the spells have used."""
    return math.fsum(s.hours / 24 * ageing_factor(s.temp_c, q10, reference_c) for s in spells)


def degree_hours(spells: Iterable[Spell]) -> float:
    """The simple sum that the trade keeps beside it: hours times degrees C above 0."""
    return math.fsum(s.hours * max(s.temp_c, 0.0) for s in spells)


def out_of_water(hours: float) -> str:
    """What hours out of water before the bucket mean: "", "recut", "doubtful" or "lost" [S20, for zinnia].

    Common practice lets the first hour pass: what is carried from the bed is cut anew anyway.
    """
    if hours >= LOST_HOURS:
        return "lost"
    return "" if hours <= 1 else "recut" if hours <= RECUT_HOURS else "doubtful"


WATER_SAYS: Mapping[str, str] = {
    "recut": "out of water for up to 4 h: cut an inch off and let it drink [S20, zinnia]",
    "doubtful": "out of water for longer than was tried (4 h is saved by a new cut, 24 h is not) [S20, zinnia]: cut an "
    "inch off and look whether it stands up",
    "lost": "out of water for 24 h or more: zinnia never recovers [S20]",
}


def vase_life(
    life_days: float,
    spells: Iterable[Spell],
    *,
    q10: float = Q10,
    reference_c: float = REFERENCE_C,
    dry_hours: float = 0.0,
    crop: str | None = None,
) -> VaseLife | Problem:
    """What is left of `life_days` (from the cut, in the vase, at the reference) after the spells; by the trials of
    `crop` where it has its own. A Problem where such storage is known to end it."""
    given = tuple(spells)
    if not 0 < life_days <= LIFE_MOST:
        return Problem("Vase life is a number of days above 0, such as 10.", "impossible")
    if not Q10_SPAN[0] <= q10 <= Q10_SPAN[1]:
        return Problem(
            f"Q10 lies between {Q10_SPAN[0]:g} and {Q10_SPAN[1]:g}; {Q10:g} is the published one.",
            "impossible",
        )
    if not 0 <= dry_hours <= HOURS_MOST:
        return Problem("Hours out of water begin at 0.", "impossible")
    for temp_c in (reference_c, *(s.temp_c for s in given)):
        if not TEMP_C[0] <= temp_c <= TEMP_C[1]:
            return Problem(
                f"Cut stems are kept at {told_degrees(*map(f_from_c, TEMP_C))}: check the temperatures.",
                "impossible",
            )
    if any(not 0 <= s.hours <= HOURS_MOST for s in given):
        return Problem("Hours run from 0 to a year: check them.", "impossible")
    if ended := unborne(crop, given, dry_hours):
        return Problem(f"No number can be given: {ended}.", "impossible")
    water = out_of_water(dry_hours)
    least, most = left_of((life_days, life_days), given, q10, reference_c, crop)
    if water == "lost":
        least, most = min(least, 0.0), min(most, 0.0)
    own = OWN.get(crop or "")
    return VaseLife(
        life_days,
        used_days(given, q10, reference_c),
        least,
        most,
        f"{crop}, {with_figures(own.source)}" if own is not None else "",
        degree_hours(given),
        q10,
        reference_c,
        given,
        tuple(ageing_factor(s.temp_c, q10, reference_c) for s in given),
        math.fsum(s.hours for s in given if not PUBLISHED_C[0] <= s.temp_c <= PUBLISHED_C[1]),
        water,
    )


def left_of(
    life_days: tuple[float, float],
    spells: Iterable[Spell],
    q10: float = Q10,
    reference_c: float = REFERENCE_C,
    crop: str | None = None,
) -> tuple[float, float]:
    """Least and most of what the spells leave of the least and most of a vase life; below 0 where it is past."""
    given = tuple(spells)
    factors = [ageing_factor(s.temp_c, q10, reference_c) for s in given]
    share = own_share(crop or "", given, factors)
    if share is not None:
        least = life_days[0] * (1 - (1 + SPREAD) * share)
        return least, max(life_days[1] * (1 - (1 - SPREAD) * share), least)
    return life_days[0] - at_worst(given, factors), life_days[1] - used_days(given, q10, reference_c)


_SPELL = pattern(r"([0-9]+(?:\.[0-9]+)?)\s*h?\s*@\s*(\S.*)", re.IGNORECASE)
_TEMP = pattern(r"([+-]?[0-9]+(?:\.[0-9]+)?)\s*([cf]?)", re.IGNORECASE)
_SHOWN = 24


def read_spells(text: str) -> tuple[Spell, ...] | Problem:
    """Hours at temperatures in "36@4C,6@24C" or "36@39F, 6@75F"; each temperature says its unit."""
    spells = []
    for part in text.split(","):
        found = _SPELL.fullmatch(part.strip())
        if not found:
            return Problem(f"'{_short(part)}' is not hours at a temperature: write them as 36@4C,6@24C.")
        temp_c = read_temp_c(found[2])
        if isinstance(temp_c, Problem):
            return temp_c
        spells.append(Spell(float(found[1]), temp_c))
    return tuple(spells)


def read_temp_c(text: str) -> float | Problem:
    """Degrees C of "4C" or "39F"; without its unit a temperature is refused."""
    found = _TEMP.fullmatch(text.strip())
    if not found:
        return Problem(f"'{_short(text)}' is no temperature: write it with its unit, as 4C or 39F.")
    if not found[2]:
        shown = _short(found[1])
        return Problem(f"Is {shown} in C or in F? Write the unit with it: {shown}C or {shown}F.")
    value = float(found[1])
    return value if found[2].upper() == "C" else c_from_f(value)


def _short(text: str) -> str:
    return clean(text.strip())[:_SHOWN]
