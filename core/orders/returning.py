"""What comes back from a buyer who had it, and money that is given back.

What comes back is hers again and not paid for; it is wanted no more.
"""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.farm import Farm
from core.happened import Stay
from core.kinds import Kind, may, needs
from core.order_rows import CameBack, Item, Order, Payment
from core.orders.handing import over_to
from core.orders.named import ITEM, ORDER_REF, delivery_of, order_and_item, order_of, order_or_matter
from core.orders.picking import (
    DELIVERY,
    WHAT_LOT,
    WHAT_PIECE,
    check_order_and_item,
    note_back,
    unloaded_of,
)
from core.pieces.kinds import piece_or_matter
from core.places import BUCKET, Form, Place
from core.problems import Problem
from core.refusals import too_early, unknown
from core.stems.kinds import DRY, enter, keep_days, lot_or_matter, put
from core.stems.whereabouts import follow
from core.units import money


def handed_of(order: Order, item: Item, delivery: int, code: str) -> int:
    """How many of a lot or of pieces the buyer has for an item."""
    key = (item.id, delivery, code)
    return sum(over.number for over in order.handed if (over.item, over.delivery, over.code) == key)


def _check_came_back(farm: Farm, draft: Draft) -> Problem | None:
    found = check_order_and_item(farm, draft, may_be_gone=True)
    if isinstance(found, Problem):
        return found
    order, item = found
    f = draft.fields
    code = f.get("lot", f.get("piece"))
    there = handed_of(order, item, delivery_of(draft), code)
    number = f.get("stems", f.get("count"))
    if not 1 <= number <= there:
        return Problem(f"{order.buyer} has {there} of {code} for {order.code}.", "impossible", (str(there),))
    if "place" in f and (Place(f["place"]).is_set_aside or not Place(f["place"]).is_known):
        return Problem("Back to where? Name a box, a line, the bucket or the cooler.", "impossible")
    return None


def _came_back(farm: Farm, entry: Entry) -> None:
    lot, of = lot_or_matter(farm, entry), order_and_item(farm, entry)
    if lot is None or of is None:
        return
    order, item = of
    f = entry.fields
    place, stems = Place(f["place"]), f["stems"]
    _note_too_many(farm, order, item, entry, lot.code, stems)
    is_joining = place in lot.holdings
    form: Form | None = "wired" if item.form == "wired" else None
    since = entry.on if place.is_fresh or place.is_line else lot.cut_on  # no younger than it may be
    there = put(lot, place, stems, since, per=item.per, form=form)
    keep_days(lot, there.form, stems, entry.on)
    if place.is_line and item.form == DRY:
        enter(lot, DRY, -stems)
    if place.is_fresh:
        # where it stood at the buyer's nobody knows: as warm as the bucket
        follow(lot, [Stay(BUCKET, lot.cut_on, lot.cut_at)], place, entry.on, None, is_joining=is_joining)
    lot.sold -= stems
    lot.sales.append(over_to(order, item, entry, lot.code, -stems))
    note_back(order, item, delivery_of(entry), lot.code, place, stems)
    order.returns.append(CameBack(entry.on, item.id, delivery_of(entry), stems))


def _pieces_came_back(farm: Farm, entry: Entry) -> None:
    piece, of = piece_or_matter(farm, entry), order_and_item(farm, entry)
    if piece is None or of is None:
        return
    order, item = of
    count = entry.fields["count"]
    _note_too_many(farm, order, item, entry, piece.code, count)
    piece.sold -= count
    piece.sales.append(over_to(order, item, entry, piece.code, -count))
    note_back(order, item, delivery_of(entry), piece.code, Place(""), count)
    order.returns.append(CameBack(entry.on, item.id, delivery_of(entry), count))


def _check_home_unsold(farm: Farm, draft: Draft) -> Problem | None:
    found = check_order_and_item(farm, draft)
    if isinstance(found, Problem):
        return found
    order, item = found
    there = min(
        order.tallies()[item.id, delivery_of(draft)].open, unloaded_of(order, item, delivery_of(draft))
    )
    if not 1 <= draft.fields["count"] <= there:
        return Problem(
            f"Of {item.name} {there} were put back for {order.code} and are still open.",
            "impossible",
            (str(there),) if there else (),
        )
    return None


def _home_unsold(farm: Farm, entry: Entry) -> None:
    """What was put back before the day of a market is wanted no more, now that it is over."""
    if (of := order_and_item(farm, entry)) is not None:
        order, item = of
        order.returns.append(CameBack(entry.on, item.id, delivery_of(entry), entry.fields["count"]))


def _note_too_many(farm: Farm, order: Order, item: Item, entry: Entry, code: str, number: int) -> None:
    over = number - max(handed_of(order, item, delivery_of(entry), code), 0)
    if over > 0:
        farm.note_matter(
            f"{over} more of {code} came back from {order.buyer} than were handed over for {order.code}: take back "
            "what did not happen.",
            entry.id,
            "came back",
            order.code,
            code,
            amount=over,
        )


# money given back


def _check_given_back(farm: Farm, draft: Draft) -> Problem | None:
    order = order_of(farm, draft)
    if order is None:
        return unknown("order", draft.fields["order"], [o.code for o in farm.orders.live()])
    cents = draft.fields["cents"]
    if not 1 <= cents <= order.paid:
        return Problem(
            f"For {order.code} {money(order.paid)} was paid: {money(cents)} cannot be given back.",
            "impossible",
            (money(order.paid),) if order.paid > 0 else (),
        )
    return too_early("Order", order.code, order.taken_on, draft)


def _given_back(farm: Farm, entry: Entry) -> None:
    if (order := order_or_matter(farm, entry)) is not None:
        order.payments.append(Payment(entry.on, -entry.fields["cents"]))


def _check_let_off(farm: Farm, draft: Draft) -> Problem | None:
    order = order_of(farm, draft)
    if order is None:
        return unknown("order", draft.fields["order"], [o.code for o in farm.orders.live()])
    most = order.taken - order.let_off
    if not 1 <= draft.fields["cents"] <= most:
        return Problem(f"{order.code} comes to {money(most)}: no more can be let off.", "impossible")
    return None


def _let_off(farm: Farm, entry: Entry) -> None:
    if (order := order_or_matter(farm, entry)) is not None:
        order.let_off += entry.fields["cents"]


def _check_kept(farm: Farm, draft: Draft) -> Problem | None:
    order = order_of(farm, draft)
    if order is None:
        return unknown("order", draft.fields["order"], [o.code for o in farm.orders.live()])
    if not 1 <= draft.fields["cents"] <= order.credit:
        return Problem(f"Of {order.code} {money(order.credit)} is to be given back, or kept.", "impossible")
    return None


def _kept(farm: Farm, entry: Entry) -> None:
    if (order := order_or_matter(farm, entry)) is not None:
        order.kept += entry.fields["cents"]


_OF_MONEY = needs(order="code", cents="count", who="text") | ORDER_REF

RETURNING = (
    Kind(
        "came back",
        "{who} gave back {stems} of {lot} to {place} ({order})",
        needs(order="code", place="code", who="text") | ITEM | ORDER_REF | DELIVERY | WHAT_LOT,
        _came_back,
        check=_check_came_back,
        when="lot",
    ),
    Kind(
        "came back",
        "{who} gave back {count} of {piece} ({order})",
        needs(order="code", who="text") | ITEM | ORDER_REF | DELIVERY | WHAT_PIECE,
        _pieces_came_back,
        check=_check_came_back,
        when="piece",
    ),
    Kind(
        "home unsold",
        "{count}[ {what}] came home from {order}",
        needs(order="code", count="count") | ITEM | may(what="text") | ORDER_REF | DELIVERY,
        _home_unsold,
        check=_check_home_unsold,
    ),
    Kind(
        "given back",
        "gave {who} {cents} back for {order}",
        _OF_MONEY,
        _given_back,
        check=_check_given_back,
    ),
    Kind(
        "let off",
        "{order} of {who} comes to {cents} less",
        _OF_MONEY,
        _let_off,
        check=_check_let_off,
    ),
    Kind(
        "money kept",
        "{cents} that {who} paid for {order} is kept",
        _OF_MONEY,
        _kept,
        check=_check_kept,
    ),
)
"""The kinds of entry that are written of what comes back."""
