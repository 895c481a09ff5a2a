"""Which order, which item of it, an entry speaks of."""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.farm import Farm
from core.kinds import may, needs
from core.order_rows import Item, Order
from core.problems import Problem
from core.refusals import too_early, unknown
from core.register import made_with, same
from core.units import dated_text

ORDER_REF = may(order_ref="code")
"""`order_ref`: the id of the entry that made the order; see `core.kinds.REF`."""
ITEM = needs(item="count") | may(item_ref="code")
"""An item by its number in the order, and the id of the entry that wrote it, should two have that number."""


def order_of(farm: Farm, item: Draft | Entry) -> Order | None:
    """The order that an entry speaks of; what was written with the order itself cannot name its id."""
    code, ref = item.fields["order"], item.fields.get("order_ref")
    if ref:
        return same(code, ref, farm.orders)
    return made_with(code, item.by if isinstance(item, Entry) else None, farm.orders)


def order_or_matter(farm: Farm, entry: Entry) -> Order | None:
    """The same; that the farm has none is a matter to settle."""
    found = order_of(farm, entry)
    if found is None:
        farm.note_unknown("order", entry.fields["order"], entry.id)
    return found


def need_order(farm: Farm, draft: Draft) -> Order | Problem:
    """The order of a draft, where it was taken by the draft's day and still stands."""
    order = order_of(farm, draft)
    if order is None:
        return unknown("order", draft.fields["order"], [o.code for o in farm.orders.live()])
    if order.cancelled_on:
        return Problem(f"{order.code} was cancelled on {dated_text(order.cancelled_on)}.", "impossible")
    return too_early("Order", order.code, order.taken_on, draft) or order


def item_of(order: Order, item: Draft | Entry) -> Item | None:
    """The item of the order that an entry speaks of."""
    f = item.fields
    return order.item(f["item_ref"]) if "item_ref" in f else order.item_at(f["item"])


def order_and_item(farm: Farm, entry: Entry) -> tuple[Order, Item] | None:
    """The order and the item of it that an entry speaks of; that the farm has none is a matter to settle."""
    if (order := order_or_matter(farm, entry)) is None:
        return None
    if (item := item_of(order, entry)) is None:
        farm.note_unknown(f"item of {order.code}", str(entry.fields["item"]), entry.id)
        return None
    return order, item


def delivery_of(entry: Draft | Entry) -> int:
    """Which delivery of its order an entry speaks of, from 1."""
    number: int = entry.fields.get("delivery", 1)
    return number
