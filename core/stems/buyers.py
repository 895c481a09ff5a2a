"""Who buys: the names written so far, so that a slip in one is asked about."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

from core.farm import Farm


@dataclass(slots=True)
class Buyers:
    """Name as it was last written -> how often something was sold there."""

    sales: dict[str, int] = field(default_factory=dict)


_KEPT = f"{Buyers.__module__}.{Buyers.__qualname__}"
"""Under which the farm keeps them."""


def buyers(farm: Farm) -> Collection[str]:
    """The names of all who bought; asking changes nothing on the farm."""
    return farm.part(Buyers).sales if _KEPT in farm.own else ()


def note_buyer(farm: Farm, name: str | None) -> None:
    """One more sale to `name`; None where it was not said."""
    if name:
        sales = farm.part(Buyers).sales
        sales[name] = sales.get(name, 0) + 1
