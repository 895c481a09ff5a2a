"""Makings that are to be bought again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.asks import Asked, Part, Sight


def _to_buy(sight: Sight) -> tuple[tuple[str, float], ...]:
    """Makings at or under the number at which they are bought again, and how many are left."""
    farm = sight.farm
    return tuple(
        (name, farm.makings.get(name, 0))
        for name, least in farm.reorder.items()
        if farm.makings.get(name, 0) <= least
    )


def _asked(rows: Sequence[tuple[str, float]]) -> Iterator[Asked]:
    for name, left in rows:
        yield Asked((), (name, left), f"{name} ({left:g} left)", "buy", opens="bench")


PARTS = (Part("to_buy", "Buy", 70, _to_buy, _asked),)
