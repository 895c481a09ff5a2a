"""What a ring or a crown takes, by its size: pieces, bunches, sprigs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.dialect import told_size
from core.problems import Problem

RING_IN = 10.0
RING_PIECES = 100
"""Main pieces of 8 to 12 in on a 10 in clamp ring; it has 10 clamps, a bunch in each [S74]."""
CLAMPS = 10
PIECES_PER_IN = RING_PIECES / (math.pi * RING_IN)
"""About 3.2 main pieces to an inch of ring circumference (derived from S74)."""
RINGS = (4.0, 48.0)
"""Smallest and largest ring that is reckoned, inches across."""
CROWN_IN = (22.0, 24.0)
CROWN_SPRIGS = (25, 40)
"""Sprigs on a crown of 22 to 24 in (common practice)."""
CROWNS = (12.0, 36.0)
"""Shortest and longest crown that is reckoned, inches."""


@dataclass(frozen=True, slots=True)
class Wreath:
    """A wreath on a ring of `ring_in` inches across: main pieces, and bunches where the ring has clamps."""

    ring_in: float
    circumference_in: float
    pieces: int
    bunches: int
    pieces_per_bunch: int
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class Crown:
    """A crown `length_in` inches long: least and most sprigs."""

    length_in: float
    sprigs: tuple[int, int]
    because: str
    source: str


def wreath(ring_in: float) -> Wreath | Problem:
    """What a ring takes: as many pieces to the inch of circumference as a 10 in ring that takes 100."""
    if not RINGS[0] <= ring_in <= RINGS[1]:
        return Problem(
            f"A ring of {told_size(ring_in)} is not reckoned: write one from {told_size(*RINGS)} across.",
            "impossible",
        )
    bunches = max(1, round(CLAMPS * ring_in / RING_IN))
    pieces = round(PIECES_PER_IN * math.pi * ring_in)
    return Wreath(
        ring_in,
        round(math.pi * ring_in, 1),
        pieces,
        bunches,
        math.ceil(pieces / bunches),
        f"{PIECES_PER_IN:.1f} main pieces to an inch of circumference: 100 on a ring of {told_size(RING_IN)}",
        "derived from S74",
    )


def crown(length_in: float) -> Crown | Problem:
    """What a crown takes: 25 to 40 sprigs on 22 to 24 in, shorter and longer ones in proportion."""
    if not CROWNS[0] <= length_in <= CROWNS[1]:
        return Problem(
            f"A crown of {told_size(length_in)} is not reckoned: write one from {told_size(*CROWNS)} long.",
            "impossible",
        )
    usual = min(max(length_in, CROWN_IN[0]), CROWN_IN[1])
    least, most = (round(sprigs * length_in / usual) for sprigs in CROWN_SPRIGS)
    return Crown(
        length_in,
        (least, most),
        f"{CROWN_SPRIGS[0]} to {CROWN_SPRIGS[1]} sprigs on {told_size(*CROWN_IN)}",
        "common practice",
    )
