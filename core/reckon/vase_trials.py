"""What trials say of stems that were stored: how fast they age at the worst, by crop where one has its own, and what
none survives.

No single law of warmth holds (tests/stems/vase_trials.csv): above 40 F stems lost two to six times what their
respiration says, in the cold less than in step with the days, and some cold or dry storage ends them.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from core.marked import with_figures


class Spell(NamedTuple):
    """So many hours at one temperature."""

    hours: float
    temp_c: float


Knots = tuple[tuple[float, float], ...]
"""(degrees C, what a day there takes), rising; a straight line between, level beyond the ends."""

COLD_C = 4.0
COLD_A_DAY, COLD_LATER = 0.3, 0.1
COLD_DAYS = 7.0
"""Up to 4 C a day takes at the worst 0.3 of one for a week and 0.1 after it: lupine lost 3 days in a week at 1 C,
dahlia up to 2 (Dole et al., HortScience); tazetta narcissus 1.2 in 4 days and 1.5 in 6 at 3 C, tuberose 2.1 in 12;
rose 4 in 21 at 1 C (Mor, Acta Horticulturae 261:271, 1989)."""
WARM: Knots = ((COLD_C, COLD_A_DAY), (8.0, 0.85), (12.0, 1.0), (20.0, 1.0))
"""Days a day at the worst above 4 C: as snapdragon lost them at 46 F (4.2 in 5) and at 54 F (more than 5 in 5; Celikel,
Cevallos and Reid, Scientia Horticulturae 125:429, 2010); at 68 F a day is a day in the vase."""


class Own(NamedTuple):
    """A crop's own trial. `shares`: the share of its vase life that a day takes; `source` of it."""

    shares: Knots
    source: str


SPREAD = 0.15
"""How far a crop's own trial is taken to lie off, either way (ours: within a day of each trial)."""

OWN: Mapping[str, Own] = {
    "snapdragon": Own(
        ((0.0, 0.0), (7.8, 0.079), (12.2, 0.105), (20.0, 0.11)),
        "dry, 5 days: nothing lost at {degrees:32}, 4.2 of 10.6 days at {degrees:46}, over 5.2 in water at "
        "{degrees:54} (Celikel, Cevallos and "
        "Reid, Scientia Horticulturae 125:429, 2010)",
    ),
    "zinnia": Own(
        ((1.0, 0.0), (20.0, 0.25)),
        "13 days after 48 h at {degrees:34}, 6.5 after 48 h at {degrees:68} [S20]; a straight line between is ours",
    ),
    "peony": Own(
        ((1.0, 0.0024), (4.0, 0.03), (8.0, 0.085), (20.0, 0.11)),
        "dry, 12 weeks at {degrees:32 to 34} cost a fifth of it (Agronomy 10:1631, 2020); above {degrees:34} "
        "as others at the worst",
    ),
}


class Unborne(NamedTuple):
    """Storage that a crop does not survive: `days` and more at `coldest_c` to `warmest_c`; only out of water where
    `dry_only`. `says` in one sentence."""

    days: float
    coldest_c: float
    warmest_c: float
    dry_only: bool
    says: str


_IRIS = "(van Doorn, Dole, Celikel and Harkema 2014)"
UNBORNE: Mapping[str, tuple[Unborne, ...]] = {
    "Dutch iris": (
        Unborne(
            3,
            -2.0,
            15.0,
            True,
            "three days out of water, at whatever warmth from {degrees:33 to 59}, and Dutch iris never opens "
            + _IRIS,
        ),
        Unborne(
            3,
            -2.0,
            1.0,
            False,
            "three days at {degrees:33}, even in water, and Dutch iris never opens "
            + _IRIS
            + "; {degrees:37} it bears",
        ),
    ),
    "zinnia": (Unborne(7, -2.0, COLD_C, False, "zinnia bears a week of storage neither wet nor dry [S21]"),),
    "tuberose": (
        Unborne(
            28,
            -2.0,
            COLD_C,
            False,
            "tuberose is not alive after four weeks at {degrees:31} or {degrees:39} (HortTechnology 34:101, 2024)",
        ),
    ),
}
"""By crop; those that the library has no sheet of are here for a calculation on their own."""


def unborne(crop: str | None, spells: Iterable[Spell], dry_hours: float) -> str:
    """Why such storage leaves nothing of a crop, "" where none is known."""
    given = tuple(spells)
    for limit in UNBORNE.get(crop or "", ()):
        hours = sum(s.hours for s in given if limit.coldest_c <= s.temp_c <= limit.warmest_c)
        if limit.dry_only:
            hours = min(hours, dry_hours)
        if hours >= 24 * limit.days:
            return with_figures(limit.says)
    return ""


def at_worst(spells: Iterable[Spell], factors: Sequence[float]) -> float:
    """Days of vase life that the spells have used at the worst that trials of any crop saw; never less than the law's
    `factors` say."""
    cold = cold_by_law = warm = 0.0
    for spell, factor in zip(spells, factors, strict=True):
        days = spell.hours / 24
        if spell.temp_c <= COLD_C:
            cold += days
            cold_by_law += days * factor
        else:
            warm += days * max(at(WARM, spell.temp_c), factor)
    chilled = COLD_A_DAY * min(cold, COLD_DAYS) + COLD_LATER * max(cold - COLD_DAYS, 0.0)
    return max(chilled, cold_by_law) + warm


def own_share(crop: str, spells: Iterable[Spell], factors: Sequence[float]) -> float | None:
    """The share of its vase life that the spells have used by the crop's own trial, None where it has none."""
    own = OWN.get(crop)
    if own is None:
        return None
    warmest = own.shares[-1][1]  # tried at the warmth of the vase: beyond it faster as by the law
    return sum(
        s.hours
        / 24
        * (warmest * max(factor, 1.0) if s.temp_c >= own.shares[-1][0] else at(own.shares, s.temp_c))
        for s, factor in zip(spells, factors, strict=True)
    )


def at(knots: Knots, temp_c: float) -> float:
    """The value at a temperature, in a straight line between knots."""
    i = bisect_left([c for c, _ in knots], temp_c)
    if i == 0:
        return knots[0][1]
    if i == len(knots):
        return knots[-1][1]
    (c, low), (d, high) = knots[i - 1], knots[i]
    return low + (high - low) * (temp_c - c) / (d - c)
