"""What becomes of an order: told short, packed, handed over, paid. What is handed over is sold."""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.farm import Farm
from core.happened import Sale
from core.kinds import Kind, may, needs
from core.order_rows import HandedOver, Item, Order, Packed, Payment, ToldShort
from core.orders.named import ITEM, ORDER_REF, delivery_of, need_order, order_and_item, order_or_matter
from core.orders.picking import (
    DELIVERY,
    PIECE_PLACE,
    WHAT_LOT,
    WHAT_PIECE,
    check_delivery,
    check_enough,
    check_order_and_item,
    note_pick,
    set_aside_of,
    set_pieces_aside,
)
from core.pieces.kinds import need_piece, note_overdrawn, piece_or_matter
from core.places import Place
from core.problems import Problem
from core.stems.buyers import note_buyer
from core.stems.kinds import check_source, lot_or_matter, take
from core.units import money

# told short, packed


def _check_short(farm: Farm, draft: Draft) -> Problem | None:
    found = check_order_and_item(farm, draft)
    if isinstance(found, Problem):
        return found
    order, item = found
    count, tally = draft.fields["count"], order.tallies()[item.id, delivery_of(draft)]
    if not 1 <= count <= tally.open:
        return Problem(
            f"Of {item.name} {tally.open} of {tally.asked} are still open for {order.code}: {count} cannot be short.",
            "impossible",
            (str(tally.open),) if tally.open else (),
        )
    return None


def _short(farm: Farm, entry: Entry) -> None:
    if (of := order_and_item(farm, entry)) is not None:
        order, item = of
        order.shorts.append(ToldShort(entry.on, item.id, delivery_of(entry), entry.fields["count"]))


def _check_packed(farm: Farm, draft: Draft) -> Problem | None:
    order = need_order(farm, draft)
    return order if isinstance(order, Problem) else check_delivery(order, draft)


def _packed(farm: Farm, entry: Entry) -> None:
    if (order := order_or_matter(farm, entry)) is not None:
        order.packed.append(Packed(entry.on, delivery_of(entry)))


# handed over


def _check_handed(farm: Farm, draft: Draft) -> Problem | None:
    found = check_order_and_item(farm, draft)
    if isinstance(found, Problem):
        return found
    order, item = found
    f = draft.fields
    if Place(f["source"]).is_set_aside:
        there = set_aside_of(order, item, delivery_of(draft), f["lot"])
        if not 1 <= f["stems"] <= there:
            return Problem(f"Of {f['lot']} {there} are picked for {order.code}.", "impossible", (str(there),))
        return None
    return check_source(farm, draft, f["stems"])


def _handed(farm: Farm, entry: Entry) -> None:
    lot, of = lot_or_matter(farm, entry), order_and_item(farm, entry)
    if lot is None or of is None:
        return
    order, item = of
    f = entry.fields
    if not Place(f["source"]).is_set_aside:
        note_pick(order, item, delivery_of(entry), lot.code, f["source"], f["stems"])
    take(farm, lot, order.place if Place(f["source"]).is_set_aside else f["source"], f["stems"], entry)
    lot.sold += f["stems"]
    lot.sales.append(over_to(order, item, entry, lot.code, f["stems"]))


def over_to(order: Order, item: Item, entry: Entry, code: str, number: int) -> Sale:
    """What was just handed over (below 0: came back), noted with the order; rounded so that all of an item come to what
    they should."""
    delivery = delivery_of(entry)
    before = [h for h in order.handed if (h.item, h.delivery) == (item.id, delivery)]
    had = sum(h.number for h in before)
    cents = item.value(had + number) - item.value(had)
    order.handed.append(HandedOver(entry.on, item.id, delivery, code, number, cents))
    return Sale(entry.on, number, None if item.cents is None else cents, order.buyer, order.code)


def _check_pieces_handed(farm: Farm, draft: Draft) -> Problem | None:
    found = check_order_and_item(farm, draft)
    if isinstance(found, Problem):
        return found
    order, item = found
    piece = need_piece(farm, draft)
    if isinstance(piece, Problem):
        return piece
    there = set_aside_of(order, item, delivery_of(draft), piece.code)
    return check_enough(piece, draft.fields["count"], there if draft.fields.get("picked") else piece.free)


def _pieces_handed(farm: Farm, entry: Entry) -> None:
    piece, of = piece_or_matter(farm, entry), order_and_item(farm, entry)
    if piece is None or of is None:
        return
    order, item = of
    count = entry.fields["count"]
    if not entry.fields.get("picked"):
        note_pick(order, item, delivery_of(entry), piece.code, PIECE_PLACE, count)
    else:
        set_pieces_aside(farm, piece, order, -count, entry)
    piece.sold += count
    piece.sales.append(over_to(order, item, entry, piece.code, count))
    note_overdrawn(farm, piece, entry)


# paid


def _check_paid(farm: Farm, draft: Draft) -> Problem | None:
    order = need_order(farm, draft)
    if isinstance(order, Problem):
        return order
    if draft.fields["cents"] < 1:
        return Problem("What was paid is more than 0.", "impossible")
    return None


def _paid(farm: Farm, entry: Entry) -> None:
    if (order := order_or_matter(farm, entry)) is not None:
        order.payments.append(Payment(entry.on, entry.fields["cents"]))
        note_buyer(farm, order.buyer)


def overpaid(order: Order, cents: int) -> str:
    """Why so much is not taken without being asked about: more than all of the order comes to, and than its deposit;
    "" where it is, where some of it has no price, and for a market, which makes what it makes."""
    paid, most = order.paid + cents, order.most_due
    if order.is_market or most is None or paid <= most:
        return ""
    return f"{order.code} comes to {money(order.price)}, and {money(paid)} would be paid"


HANDING = (
    Kind(
        "told short",
        "{count}[ {what}] short for {order}[, {cause}]",
        needs(order="code", count="count") | ITEM | may(what="text", cause="text") | ORDER_REF | DELIVERY,
        _short,
        check=_check_short,
    ),
    Kind(
        "packed", "packed {order}", needs(order="code") | ORDER_REF | DELIVERY, _packed, check=_check_packed
    ),
    Kind(
        "handed over",
        "handed over {stems} of {lot} to {who} ({order})",
        needs(order="code", source="code", who="text") | ITEM | ORDER_REF | DELIVERY | WHAT_LOT,
        _handed,
        check=_check_handed,
        when="lot",
    ),
    Kind(
        "handed over",
        "handed over {count} of {piece} to {who} ({order})",
        needs(order="code", who="text") | may(picked="flag") | ITEM | ORDER_REF | DELIVERY | WHAT_PIECE,
        _pieces_handed,
        check=_check_pieces_handed,
        when="piece",
    ),
    Kind(
        "paid",
        "{who} paid {cents} for {order}",
        needs(order="code", cents="count", who="text") | ORDER_REF,
        _paid,
        check=_check_paid,
    ),
)
"""The kinds of entry that are written of what is done for an order."""
