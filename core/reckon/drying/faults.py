"""What weighings cannot mean drying, each told in one sentence that says what to do."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import isfinite
from typing import NamedTuple

from core.problems import Problem
from core.units import number

DAMP_RISE = 0.04
"""A dry bunch gains so large a share of its weight by a damp day, and hardly more (ours)."""
_LEAST_HOURS, _MOST_HOURS = 0.05, 24.0 * 400


class Weighing(NamedTuple):
    """One weighing of one marked bunch: hours on any clock that starts at or after its hanging, and grams."""

    hours: float
    grams: float


def wrong(weighings: Sequence[Weighing], resolution_g: float, hung_before: float) -> Problem | None:
    if any(not (isfinite(w.hours) and isfinite(w.grams)) for w in weighings):
        return no_sense("every weighing is an hour and a weight in grams, both plain numbers")
    if not (isfinite(resolution_g) and resolution_g > 0):
        return no_sense("the scale's step is a weight above 0, such as 1 g")
    if not (isfinite(hung_before) and hung_before >= 0):
        return no_sense("the hours it had hung before the first weighing are 0 or more")
    if any(w.grams <= 0 for w in weighings):
        return no_sense("a bunch weighs more than 0 g: look at the weighings again")
    if any(w.hours < 0 for w in weighings):
        return no_sense("hours count from the hanging: none is before 0")
    hours = sorted(w.hours for w in weighings)
    same = [a for a, b in pairwise(hours) if b - a < _LEAST_HOURS]
    if same:
        return no_sense(f"hour {number(round(same[0], 2))} is given twice: keep the weight that is right")
    if hours and hours[-1] > _MOST_HOURS:
        return no_sense("these weighings lie more than a year apart: hours count from the hanging")
    if len(weighings) < 3:
        return Problem(
            f"It takes three weighings to find where the weight ends, and there "
            f"{'is' if len(weighings) == 1 else 'are'} {len(weighings)}: weigh the same bunch again about a day later.",
            code="not yet",
        )
    return None


def never_falls(weighings: tuple[Weighing, ...], noise: float) -> Problem | None:
    for one, two in pairwise(weighings):
        if two.grams - one.grams > max(3 * noise, DAMP_RISE * one.grams):
            return no_sense(
                f"the weight rises from {number(one.grams)} to {number(two.grams)} g at hour {number(two.hours)}: "
                "another bunch, damp air, or a slip of the pen"
            )
    if weighings[-1].grams >= weighings[0].grams:
        return no_sense("the last weight is not below the first, so nothing has dried")
    return None


def no_sense(why: str) -> Problem:
    return Problem(f"No drying can be reckoned from this: {why}.", code="impossible")


def stood_still(hours: Sequence[float]) -> Problem:
    return Problem(
        f"The weight has stood still since hour {number(hours[1])}, and how it came there was not weighed: there is "
        "nothing left to reckon. Do the snap test.",
        code="impossible",
    )


def not_slowing(hours: Sequence[float]) -> Problem:
    gap = (hours[-1] - hours[0]) / (len(hours) - 1)
    return Problem(
        "The loss is not slowing yet, so these weights do not show where they will end: "
        f"weigh again in about {number(float(round(gap)) or round(gap, 1))} hours.",
        code="not yet",
    )
