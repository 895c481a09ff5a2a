"""The promises that will fall short in a usual season, with all that is there and growing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from core.farm import Farm
from core.promising.claims import Claim, as_need
from core.promising.supply import Supply, supply_for
from core.reckon.promise.allocation import served


class Lacking(NamedTuple):
    """A promise for which there is too little: so many of it are short, `days` from today on."""

    order: str
    buyer: str
    item: str
    due: str
    days: int
    wanted: int
    short: int
    crop: str
    """The crop liked best; "" for pieces."""
    form: str


def shortages(farm: Farm, today: date, promised: Sequence[Claim]) -> list[Lacking]:
    """The promises that fall short in a usual season, what is due first standing first. What is only planned counts."""
    if not promised:
        return []
    return lacking(supply_for(farm, today, promised, promised), today)


def lacking(supply: Supply, today: date) -> list[Lacking]:
    """The claims of a supply that it cannot serve in full as usual."""
    needs = [as_need(claim, supply.sorts) for claim in supply.claims]
    found = [
        Lacking(
            c.order,
            c.buyer,
            c.name,
            c.due.isoformat(),
            (c.due - today).days,
            c.wanted,
            c.wanted - count,
            c.liked[0].crop if c.liked else "",
            c.form,
        )
        for c, count in zip(supply.claims, served(needs, supply.lots(None)), strict=True)
        if count < c.wanted
    ]
    return sorted(found, key=lambda one: (one.due, one.order))
