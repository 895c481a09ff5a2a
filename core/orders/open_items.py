"""What is still wanted for orders, item by item and delivery by delivery, in the order in which stock goes to them."""

from __future__ import annotations

import math
from datetime import date
from typing import NamedTuple

from core.crops.color import is_of_color
from core.farm import Farm
from core.order_rows import Item, ItemForm, Order

FORGOTTEN_DAYS, FRESH_FORGOTTEN_DAYS = 7, 2
"""Days after which what is still open of an order is no more cut for, nor are stems kept for it: she is asked what
became of it. What was to be fresh is wanted fresh on its day (ours)."""


class Accepted(NamedTuple):
    """What will do for an item: a crop, and its color where not any will do ("" for any)."""

    crop: str
    color: str = ""

    def takes(self, crop: str, variety: str | None) -> bool:
        """Whether stems of that crop and variety will do: "apricot" takes an "Apricot Blush" too."""
        return crop == self.crop and is_of_color(variety, self.color)


class OpenItem(NamedTuple):
    """One item of one delivery of which something is still wanted."""

    order: Order
    item: Item
    delivery: int
    """From 1: an order for one day has one."""
    due: date
    rank: int
    """0 comes first: by the day due, then by her priority, then the order taken first."""
    wanted: int
    """Stems (heads where wired) or pieces: promised, and neither picked, handed over nor told short."""
    spare: int
    """So many more are wanted beside them, if there are."""
    accepts: tuple[Accepted, ...]
    """What will do, in order of liking: the colors asked for, then other crops; none for pieces."""

    @property
    def form(self) -> ItemForm:
        """ "fresh", "dry", "wired", or "piece", which is made by `item.recipe`."""
        return self.item.form

    def is_forgotten(self, today: date) -> bool:
        """Whether its day has gone by so long ago that nothing is kept for it."""
        late = (today - self.due).days
        return late > (FRESH_FORGOTTEN_DAYS if self.form == "fresh" else FORGOTTEN_DAYS)

    def takes(self, crop: str, variety: str | None) -> bool:
        """Whether stems of that crop and variety will do, in the form asked for."""
        return any(accepted.takes(crop, variety) for accepted in self.accepts)


def accepts(item: Item) -> tuple[Accepted, ...]:
    """What will do for an item, in order of liking; none for pieces."""
    if not item.crop:
        return ()
    first = tuple(Accepted(item.crop, color) for color in item.colors) or (Accepted(item.crop),)
    return (*first, *(Accepted(crop) for crop in item.instead))


def open_items(farm: Farm, today: date) -> tuple[OpenItem, ...]:
    """Everything still wanted, as of a day, in the order of its rank; what is overdue comes first of all.

    Orders taken after `today` are left out.
    """
    found = [
        OpenItem(order, item, delivery, due, 0, tally.open, _spare(order, tally.open), accepts(item))
        for order in farm.orders.live()
        if order.taken_on <= today.isoformat() and not order.cancelled_on
        for tallies in (order.tallies(),)
        for delivery, due in order.deliveries()
        for item in order.wanted_items
        for tally in (tallies[item.id, delivery],)
        if tally.open
    ]
    found.sort(key=lambda o: (o.due, o.order.priority, o.order.taken_on, o.order.made_by))
    return tuple(one._replace(rank=rank) for rank, one in enumerate(found))


def _spare(order: Order, wanted: int) -> int:
    return math.ceil(round(wanted * order.spare_pct / 100, 6))
