"""Who bought: the names written with sales, so that a known one need not be typed again, and a slip is asked about."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from core.farm import Farm

if TYPE_CHECKING:
    from core.language.line import Line

KEPT = 30
"""Buyers kept in mind, those who bought last."""


@dataclass(slots=True)
class Buyers:
    """The buyers, who bought last standing last."""

    names: list[str] = field(default_factory=list)


_KEPT = f"{Buyers.__module__}.{Buyers.__qualname__}"
"""Under which the farm keeps them."""


def known_buyers(farm: Farm) -> tuple[str, ...]:
    """The buyers kept in mind and those of orders still to do, who bought last standing last: so that a beginning will
    do, and a slip in a name is asked about. Asking changes nothing on the farm."""
    kept = farm.part(Buyers).names if _KEPT in farm.own else ()
    waiting = dict.fromkeys(order.buyer for order in farm.orders.live())
    return *(name for name in waiting if name not in kept), *kept


def note_buyer(farm: Farm, who: str) -> None:
    """A sale to this buyer."""
    names = farm.part(Buyers).names
    farm.part(Buyers).names = [*(name for name in names if name != who), who][-KEPT:]


def buyers(line: Line, farm: Farm) -> Iterable[str]:
    """What may follow in a sale: "to" and a known buyer, who bought last first; the name alone after "to"."""
    is_to = bool(line.words) and line.words[-1].low == "to"
    return [name if is_to else f"to {name}" for name in reversed(known_buyers(farm))]
