"""The promises that will fall short in a usual season, with all that is there and growing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from core.farm import Farm
from core.promising.claims import Claim, as_need
from core.promising.supply import Supply, supply_for
from core.reckon.promise.allocation import served
from core.units import day_text


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


class ShortOrder(NamedTuple):
    """One thing an order asks for that will be short, once or at several deliveries: first and last day, how many are
    lacking at the most, and how many deliveries are short."""

    order: str
    buyer: str
    item: str
    due: str
    last_due: str
    days: int
    wanted: int
    short: int
    times: int
    crop: str
    form: str

    @property
    def says(self) -> str:
        """ "10 of 50 zinnia fresh short for O003 Fern Hollow, 1 Jul"."""
        whose = f"{self.short} of {self.wanted} {self.item} short for {self.order} {self.buyer}"
        if self.times == 1:
            return f"{whose}, {day_text(self.due)}"
        return f"up to {whose}, {self.times} times from {day_text(self.due)} to {day_text(self.last_due)}"


def by_order(found: Iterable[Lacking]) -> list[ShortOrder]:
    """The same, the deliveries of a standing order together; what is due first stands first."""
    together: dict[tuple[str, str], list[Lacking]] = {}
    for one in found:
        together.setdefault((one.order, one.item), []).append(one)
    return [
        ShortOrder(
            mine[0].order,
            mine[0].buyer,
            mine[0].item,
            mine[0].due,
            mine[-1].due,
            mine[0].days,
            max(one.wanted for one in mine),
            max(one.short for one in mine),
            len(mine),
            mine[0].crop,
            mine[0].form,
        )
        for mine in together.values()
    ]
