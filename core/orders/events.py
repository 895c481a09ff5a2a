"""The days on which orders are to be handed over, for the calendar."""

from __future__ import annotations

from collections.abc import Iterator

from core.asks import Sight
from core.dated import Dated
from core.orders.item_text import item_text
from core.orders.rows import order_page
from core.text import clean


def _due(sight: Sight) -> Iterator[Dated]:
    for order in sight.farm.orders.all():
        if order.cancelled_on or order.taken_on > sight.day.isoformat():
            continue
        page = order_page(sight.farm, order, sight.day)
        what = "; ".join(item_text(item) for item in order.wanted_items)
        for delivery in page.deliveries:
            if delivery.skipped_on:
                continue
            done = any(item.handed_over for item in delivery.items) and delivery.is_finished
            yield Dated(
                (order.made_by, str(delivery.delivery)),
                delivery.due_on,
                delivery.due_on,
                f"{'handed over: ' if done else ''}{order.code} {order.buyer}: {what}",
                clean(order.note),
            )


EVENTS = {"orders": _due}
