"""What a range says of chances: the middle 80 % of what happens, and a fixed sample of seasons drawn from it.

A range "60 to 90" is taken as the days of one year in ten and of nine years in ten. Between and beyond them a figure
lies as a normal distribution has it, or, where it cannot be below 0, halfway between that and a normal distribution
of its logarithm: both pass through the ends of the range. The sample is the same every time (an additive recurrence
on the powers of one irrational number), so that the same wish has the same answer twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import exp, log
from statistics import NormalDist
from typing import Literal

Span = tuple[float, float]
"""Least and most of a figure: one time in ten it is below, one time in ten above."""

_NORMAL = NormalDist()
Z = _NORMAL.inv_cdf(0.9)
"""From the middle of a normal distribution to the end of its middle 80 %, in standard deviations."""


def even(span: Span, z: float) -> float:
    """The value that lies `z` standard deviations from the middle of the range."""
    least, most = span
    return (least + most + z * (most - least) / Z) / 2


def positive(span: Span, z: float) -> float:
    """As `even`, of a figure that cannot be below 0."""
    least, most = span
    if least == most:
        return most
    straight = max(even(span, z), 0.0)
    if least <= 0:
        return straight
    low, high = log(least), log(most)
    return (straight + exp((low + high + z * (high - low) / Z) / 2)) / 2


def usual(span: Span) -> float:
    """The median of a spread: what comes is above it as often as below."""
    return positive(span, 0.0)


def at_chance(chance: float) -> float:
    """The standard deviations below which a normal variable lies with that chance (above 0, below 1)."""
    return _NORMAL.inv_cdf(chance)


How = Literal["even", "positive", "share", "left"]
"""How a figure is drawn: as `even` or `positive`, as a share of at most 1, or as what is left beside such a share."""


def draw(how: How, span: Span, z: float) -> float:
    """The value of a figure that lies `z` standard deviations from the usual."""
    if how == "even":
        return even(span, z)
    value = positive(span, z)
    if how == "positive":
        return value
    return min(value, 1.0) if how == "share" else 1 - min(value, 1.0)


@lru_cache(maxsize=256)
def drawn(how: How, span: Span, place: int, figures: int, count: int) -> tuple[float, ...]:
    """The figure that stands at that place among so many, in `count` points of the sample."""
    if span[0] == span[1]:
        return (draw(how, span, 0.0),) * count
    return tuple(column(how, span, [point[place] for point in sample(count, figures)]))


def column(how: How, span: Span, points: Sequence[float]) -> list[float]:
    """What `draw` gives for each of the points; what is the same for all of them is reckoned once."""
    least, most = span
    both, wide = least + most, most - least
    if how == "even":
        return [(both + z * wide / Z) / 2 for z in points]
    if least == most:
        found = [most] * len(points)
    elif least <= 0:
        found = [max((both + z * wide / Z) / 2, 0.0) for z in points]
    else:
        low, high = log(least), log(most)
        log_both, log_wide = low + high, high - low
        found = [
            (max((both + z * wide / Z) / 2, 0.0) + exp((log_both + z * log_wide / Z) / 2)) / 2 for z in points
        ]
    if how == "positive":
        return found
    return (
        [min(value, 1.0) for value in found] if how == "share" else [1 - min(value, 1.0) for value in found]
    )


@lru_cache(maxsize=8)
def sample(count: int, figures: int) -> tuple[tuple[float, ...], ...]:
    """`count` points of so many independent normal variables, spread evenly: one tuple for each point.

    Where a step lies near a simple fraction its figure comes out in bunches, and without its tails (an early frost is
    in the tail): so every figure keeps the order of the points, and is dealt one value from each equal share of its
    chances, as Latin hypercube sampling does (McKay, Beckman & Conover, Technometrics 21:239, 1979).
    """
    base = 2.0
    for _ in range(60):  # the one root above 1 of x^(figures + 1) = x + 1
        base = (1 + base) ** (1 / (figures + 1))
    steps = [base ** -(i + 1) for i in range(figures)]
    dealt = [at_chance((place + 0.5) / count) for place in range(count)]
    columns: list[list[float]] = []
    for step in steps:
        column = [0.0] * count
        for place, n in enumerate(sorted(range(count), key=lambda n: (0.5 + (n + 1) * step) % 1)):
            column[n] = dealt[place]
        columns.append(column)
    return tuple(zip(*columns, strict=True))


def later_than(at: float, values: Sequence[float]) -> list[float]:
    """The values of a sample where it is known that each is later than `at`: the earliest of them stands for the
    earliest of those that are; as they are where none is."""
    coming = sorted(value for value in values if value > at)
    if not coming or len(coming) == len(values):
        return list(values)
    found = list(values)
    for place, n in enumerate(sorted(range(len(values)), key=values.__getitem__)):
        found[n] = coming[place * len(coming) // len(values)]
    return found
