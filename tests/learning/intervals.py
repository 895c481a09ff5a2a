"""The interval of a single distribution."""

from __future__ import annotations

from collections.abc import Callable

from core.reckon.learning.special import at_chance


def interval(
    upto: Callable[..., float], of: tuple[float, float], chance: float = 0.9, most: float = 200
) -> tuple[float, float]:
    """From where to where what has these parameters lies with that chance, as much beyond either end."""
    low, high = (
        at_chance(lambda x: upto(x, *of), c, 0.0, most) for c in ((1 - chance) / 2, (1 + chance) / 2)
    )
    return low, high
