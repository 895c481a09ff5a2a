"""What is written of orders: taken, an item put in or dropped, the whole taken back."""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.codes import free_code, is_new
from core.crops.library import crop_names
from core.farm import Farm
from core.kinds import PERCENT, Kind, may, needs
from core.order_rows import LAST_PRIORITY, MOST_DELIVERIES, USUAL_PRIORITY, Item, Order, Skipped
from core.orders.handing import HANDING
from core.orders.named import (
    ITEM,
    ORDER_REF,
    delivery_of,
    item_of,
    need_order,
    order_or_matter,
)
from core.orders.picking import DELIVERY, PICKING, check_delivery
from core.orders.prices import PRICING
from core.orders.returned_sale import RETURNED_SALE
from core.orders.returning import RETURNING
from core.problems import Problem
from core.refusals import unknown
from core.stems.buyers import note_buyer
from core.units import day_from_iso, long_day

FORMS = ("fresh", "dry", "wired", "piece")
"""In what form an item is asked for."""
MOST_ITEMS = 60
"""Items of one order."""
OR = " or "
"""Between the colors and the crops that an entry names."""
# taken


def _check_ordered(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if not is_new(farm, f["order"], farm.orders):
        return Problem(f"There is an order {f['order']} already.", "impossible")
    due, until = day_from_iso(f["due_on"]), day_from_iso(f.get("until_on", f["due_on"]))
    assert due is not None and until is not None  # else its shape was wrong
    if f["due_on"] < draft.on:
        return Problem(f"{long_day(due)} has gone by: an order is for a day to come.", "impossible")
    if ("until_on" in f) != (f.get("every_days", 0) > 0) or until < due:
        return Problem("A standing order has its days from one day to a later one.", "impossible")
    if "until_on" in f and (until - due).days // f["every_days"] >= MOST_DELIVERIES:
        return Problem(
            f"A standing order has {MOST_DELIVERIES} deliveries at most: end it sooner.", "impossible"
        )
    if not 1 <= f.get("priority", 1) <= LAST_PRIORITY:
        return Problem(f"The priority of an order is 1, which comes first, to {LAST_PRIORITY}.", "impossible")
    return None


def _ordered(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    code = free_code(farm, f["order"], farm.orders, entry.id)
    order = Order(
        code,
        entry.id,
        entry.by,
        f["buyer"],
        entry.on,
        f["due_on"],
        f.get("every_days", 0),
        f.get("until_on", ""),
        f.get("priority", USUAL_PRIORITY),
        f.get("spare_pct", 0),
        f.get("deposit_cents", 0),
        f.get("note", ""),
    )
    farm.orders.add(code, order)
    note_buyer(farm, order.buyer)


# items


def _check_item(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["form"] not in FORMS:
        return unknown("form", f["form"], list(FORMS))
    if f["count"] < 1:
        return Problem("At least one is ordered.", "impossible")
    if (f["form"] == "piece") != ("recipe" in f) or ("crop" in f) == ("recipe" in f):
        return Problem("An item of an order is of a crop, or a piece of a recipe.", "impossible")
    for crop in (*split(f.get("crop", "")), *split(f.get("instead", ""))):
        if crop not in (*crop_names(), *farm.crops):
            return unknown("crop", crop, [*farm.crops, *crop_names()])
    if "order_ref" not in f:
        return None  # it is written with its order
    order = need_order(farm, draft)
    if isinstance(order, Problem):
        return order
    if len(order.wanted_items) >= MOST_ITEMS:
        return Problem(f"{order.code} has {MOST_ITEMS} items: an order has no more.", "impossible")
    return None


def split(names: str) -> tuple[str, ...]:
    """ "coral or peach" as ("coral", "peach")."""
    return tuple(name for name in names.split(OR) if name)


def _item(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    if (order := order_or_matter(farm, entry)) is None:
        return
    if len(order.items) >= 2 * MOST_ITEMS or f["form"] not in FORMS:
        raise ValueError("no item of an order")
    order.items.append(
        Item(
            entry.id,
            f["item"] if order.item_at(f["item"]) is None else order.next_place,
            f["count"],
            f["form"],
            f.get("crop", ""),
            f.get("recipe", ""),
            split(f.get("colors", "")),
            split(f.get("instead", "")),
            f.get("per", 0),
            f.get("cents"),
        )
    )


def _check_dropped(farm: Farm, draft: Draft) -> Problem | None:
    order = need_order(farm, draft)
    if isinstance(order, Problem):
        return order
    item = item_of(order, draft)
    if item is None or item.dropped_on:
        return Problem(f"{order.code} has no such item.", "unknown")
    if any(tally.set_aside for (of, _), tally in order.tallies().items() if of == item.id):
        return Problem(
            f"{item.name} is picked for {order.code}: put it back first ('back {order.code}').", "impossible"
        )
    return None


def _dropped(farm: Farm, entry: Entry) -> None:
    if (order := order_or_matter(farm, entry)) is None:
        return
    if (item := item_of(order, entry)) is None:
        farm.note_unknown(f"item of {order.code}", str(entry.fields["item"]), entry.id)
        return
    order.items = [one._replace(dropped_on=entry.on) if one is item else one for one in order.items]


# taken back


def _check_cancelled(farm: Farm, draft: Draft) -> Problem | None:
    order = need_order(farm, draft)
    return order if isinstance(order, Problem) else None


def _cancelled(farm: Farm, entry: Entry) -> None:
    if (order := order_or_matter(farm, entry)) is not None:
        order.cancelled_on, order.cancelled_by = entry.on, entry.id


# a delivery skipped


def _check_skipped(farm: Farm, draft: Draft) -> Problem | None:
    order = need_order(farm, draft)
    if isinstance(order, Problem):
        return order
    if problem := check_delivery(order, draft):
        return problem
    number = delivery_of(draft)
    if any(one.delivery == number for one in order.skipped):
        return Problem(f"That delivery of {order.code} is skipped already.", "impossible")
    tallies = [tally for (_, of), tally in order.tallies().items() if of == number]
    if any(tally.handed for tally in tallies):
        return Problem(
            f"That delivery of {order.code} is handed over: what comes back is written as 'back 5 {order.code}'.",
            "impossible",
        )
    if any(tally.set_aside for tally in tallies):
        return Problem(
            f"It is picked for {order.code}: put it back first ('back {order.code}').", "impossible"
        )
    return None


def _skipped(farm: Farm, entry: Entry) -> None:
    if (order := order_or_matter(farm, entry)) is not None:
        order.skipped.append(Skipped(entry.on, delivery_of(entry)))


KINDS = (
    Kind(
        "ordered",
        "order {order}: {buyer}, by {due_on}[, every {every_days} days to {until_on}][, spare {spare_pct} %]"
        "[, priority {priority}][, deposit {deposit_cents}][, {note}]",
        needs(order="code", buyer="text", due_on="day")
        | may(
            every_days="count",
            until_on="day",
            priority="count",
            spare_pct=PERCENT,
            deposit_cents="count",
            note="text",
        ),
        _ordered,
        check=_check_ordered,
        makes="order",
    ),
    Kind(
        "order item",
        "{order}: {count}[ {crop}][ {recipe}][ {colors}][, else {instead}], {form}[, bunches of {per}][ at {cents}]",
        needs(order="code", item="count", count="count", form="code")
        | may(crop="text", recipe="text", colors="text", instead="text", per="count", cents="count")
        | ORDER_REF,
        _item,
        check=_check_item,
    ),
    Kind(
        "item dropped",
        "{order}: dropped[ {what}]",
        needs(order="code") | ITEM | may(what="text") | ORDER_REF,
        _dropped,
        check=_check_dropped,
    ),
    Kind(
        "order cancelled",
        "cancelled order {order}[ of {buyer}]",
        needs(order="code") | may(buyer="text") | ORDER_REF,
        _cancelled,
        check=_check_cancelled,
    ),
    Kind(
        "skipped",
        "{buyer} skips {due_on} of {order}",
        needs(order="code", buyer="text", due_on="day") | ORDER_REF | DELIVERY,
        _skipped,
        check=_check_skipped,
    ),
    *PICKING,
    *HANDING,
    *RETURNING,
    RETURNED_SALE,
    *PRICING,
)
