"""What is picked for an order, and put back.

A picked stem is still on hand, in a place of its own ("for O014"): what was cut of a lot is on hand, sold, used or
lost, whatever was picked.
"""

from __future__ import annotations

import math

from core.book.entry import Draft, Entry
from core.farm import Farm, Lot, Piece
from core.kinds import REF, Kind, may, needs
from core.order_rows import CameBack, Item, Order, Picked
from core.orders.named import (
    ITEM,
    ORDER_REF,
    delivery_of,
    item_of,
    need_order,
    order_and_item,
    order_of,
)
from core.orders.open_items import accepts
from core.pieces.kinds import need_piece, piece_or_matter
from core.places import Form, Holding, Place
from core.problems import Problem
from core.stems.kinds import check_source, enter, find_lot, keep_days, lot_or_matter, put, take
from core.stems.whereabouts import path_of
from core.text import named

DRY = "dry"
DELIVERY = may(delivery="count")
"""`delivery`: which one of a standing order, from 1, which is also where it is not said."""
UNSOLD = may(unsold="flag")
"""`unsold`: it came home from a market, and is wanted no more."""
WHAT_LOT = needs(lot="code", stems="count") | REF
WHAT_PIECE = needs(piece="code", count="count") | REF


def check_order_and_item(
    farm: Farm, draft: Draft, *, may_be_gone: bool = False
) -> tuple[Order, Item] | Problem:
    """The order and the item of a draft; refused where they are not there, or were taken back."""
    gone = order_of(farm, draft) if may_be_gone else None
    order = gone if gone is not None else need_order(farm, draft)
    if isinstance(order, Problem):
        return order
    item = item_of(order, draft)
    if item is None or (item.dropped_on and not may_be_gone):
        names = ", ".join(one.name for one in order.wanted_items)
        return Problem(f"{order.code} has no such item: it has {names or 'none'}.", "unknown")
    if problem := check_delivery(order, draft):
        return problem
    if "lot" in draft.fields and item.form == "piece":
        return Problem(f"{item.name} is made by the piece: name pieces, such as M001.", "impossible")
    if "piece" in draft.fields and item.form != "piece":
        return Problem(f"{item.name} is ordered by the stem: name stems of a lot.", "impossible")
    return order, item


def check_delivery(order: Order, draft: Draft) -> Problem | None:
    last = max(number for number, _ in order.deliveries())
    if not 1 <= delivery_of(draft) <= last:
        return Problem(f"{order.code} has {last} deliveries: which is meant?", "unknown")
    return None


# picked


def _check_picked(farm: Farm, draft: Draft) -> Problem | None:
    found = check_order_and_item(farm, draft)
    if isinstance(found, Problem):
        return found
    order, _ = found
    f = draft.fields
    source = Place(f["source"])
    if source.is_set_aside:
        return Problem(f"These are picked {source} already: put them back first.", "impossible")
    if problem := check_source(farm, draft, f["stems"]):
        return problem
    lot = find_lot(farm, draft)
    assert lot is not None  # else it was refused
    form = _form_picked(lot.holdings[source])
    there = lot.holdings.get(order.place)
    if there is not None and there.form != form:
        return Problem(
            f"{lot.code} is picked {there.form} for {order.code} already: hand that over first, or put it back.",
            "impossible",
        )
    return None


def _form_picked(held: Holding) -> Form:
    """What hung is dry once it is taken down."""
    return "dry" if held.form == "hanging" else held.form


def _picked(farm: Farm, entry: Entry) -> None:
    lot, of = lot_or_matter(farm, entry), order_and_item(farm, entry)
    if lot is None or of is None:
        return
    order, item = of
    f = entry.fields
    _set_aside(farm, lot, order, entry, f["source"], f["stems"])
    note_pick(order, item, delivery_of(entry), lot.code, f["source"], f["stems"], entry.on)
    _note_loaded(order, item, entry, f["stems"])


def _set_aside(farm: Farm, lot: Lot, order: Order, entry: Entry, source: str, stems: int) -> None:
    path = path_of(lot, Place(source))
    before = take(farm, lot, source, stems, entry)
    if before.form == "hanging":
        before = before._replace(form="dry", since=entry.on)
        enter(lot, DRY, stems)
    there = put(lot, order.place, stems, before.since, per=before.per, form=before.form, grade=before.grade)
    keep_days(lot, there.form, stems, entry.on)
    if before.form == "fresh" and order.place in lot.holdings:
        lot.stays.setdefault(order.place, path)  # it goes on standing where it stood


def note_pick(
    order: Order, item: Item, delivery: int, code: str, source: str, number: int, on: str = ""
) -> None:
    """So many more are picked on that day, or fewer, and then no day is said."""
    key = (item.id, delivery, code, Place(source))
    before = next((pick for pick in order.picks if pick[:4] == key), None)
    kept = [pick for pick in order.picks if pick is not before]
    if before is not None:
        number, on = number + before.number, max(on, before.on)
    order.picks = [*kept, Picked(*key, number, on)] if number else kept


def too_much(order: Order, item: Item, delivery: int, number: int, lot: Lot | None = None) -> str:
    """Why so many of an item are not to be picked without being asked about: more than was ordered, or, of a lot, other
    than what will do; "" where they are."""
    tally = order.tallies()[item.id, delivery]
    done = tally.picked + tally.short
    if done + number > math.ceil(round(tally.asked * (1 + order.spare_pct / 100), 6)):
        return f"{order.code} asks for {tally.asked} {item.name}, and {done} are picked or told short"
    if lot is not None and not any(one.takes(lot.crop, lot.variety) for one in accepts(item)):
        return f"{lot.code} is {named(lot.crop, lot.variety)}, and {order.code} asks for {item.name}"
    return ""


PIECE_PLACE = Place("")


def _check_pieces_picked(farm: Farm, draft: Draft) -> Problem | None:
    found = check_order_and_item(farm, draft)
    if isinstance(found, Problem):
        return found
    piece = need_piece(farm, draft)
    if isinstance(piece, Problem):
        return piece
    return check_enough(piece, draft.fields["count"], piece.free)


def check_enough(piece: Piece, count: int, there: int) -> Problem | None:
    if count < 1:
        return Problem("At least one piece is meant.", "impossible")
    if count > there:
        return Problem(
            f"{piece.code} has {there} {piece.recipe}: {count} is more than there is.", "impossible"
        )
    return None


def _pieces_picked(farm: Farm, entry: Entry) -> None:
    piece, of = piece_or_matter(farm, entry), order_and_item(farm, entry)
    if piece is None or of is None:
        return
    order, item = of
    count = entry.fields["count"]
    set_pieces_aside(farm, piece, order, count, entry)
    note_pick(order, item, delivery_of(entry), piece.code, PIECE_PLACE, count, entry.on)
    _note_loaded(order, item, entry, count)


def set_pieces_aside(farm: Farm, piece: Piece, order: Order, count: int, entry: Entry) -> None:
    """So many more, or fewer, are picked for the order; more than there are is a matter to settle."""
    number = piece.set_aside.pop(order.code, 0) + count
    if number:
        piece.set_aside[order.code] = number
    short = max(-piece.free if count > 0 else 0, -number)
    if short > 0:
        farm.note_matter(
            f"{short} more {piece.recipe} of {piece.code} are picked than there were: put them back, or take back what "
            "did not happen.",
            entry.id,
            "pieces overdrawn",
            piece.code,
            amount=short,
        )


# put back


def _check_put_back(farm: Farm, draft: Draft) -> Problem | None:
    found = check_order_and_item(farm, draft, may_be_gone=True)
    if isinstance(found, Problem):
        return found
    order, item = found
    f = draft.fields
    there = set_aside_of(order, item, delivery_of(draft), f.get("lot", f.get("piece")))
    number = f.get("stems", f.get("count"))
    if not 1 <= number <= there:
        return Problem(
            f"Of {f.get('lot', f.get('piece'))} {there} are picked for {order.code}.",
            "impossible",
            (str(there),),
        )
    if "place" in f and Place(f["place"]).is_set_aside:
        return Problem("Put back where? Name a box, a line, the bucket or the cooler.", "impossible")
    return None


def set_aside_of(order: Order, item: Item, delivery: int, code: str) -> int:
    """How many of a lot or of pieces are picked for an item and not handed over."""
    picked = sum(p.number for p in order.picks if (p.item, p.delivery, p.code) == (item.id, delivery, code))
    return picked - sum(
        h.number for h in order.handed if (h.item, h.delivery, h.code) == (item.id, delivery, code)
    )


def _put_back(farm: Farm, entry: Entry) -> None:
    lot, of = lot_or_matter(farm, entry), order_and_item(farm, entry)
    if lot is None or of is None:
        return
    order, item = of
    f = entry.fields
    path = lot.stays.get(order.place)
    before = take(farm, lot, order.place, f["stems"], entry)
    place = Place(f["place"])
    form = before.form if place.form == before.form or place.is_set_aside else None
    there = put(lot, place, f["stems"], before.since, per=before.per, form=form, grade=before.grade)
    keep_days(lot, there.form, f["stems"], entry.on)
    if before.form == DRY and place.is_line:
        enter(lot, DRY, -f["stems"])
    if path is not None and place.is_fresh and place in lot.holdings:
        lot.stays.setdefault(place, path)
    note_back(order, item, delivery_of(entry), lot.code, place, f["stems"])
    _note_home(order, item, entry, f["stems"])


def _note_home(order: Order, item: Item, entry: Entry, number: int) -> None:
    """What was loaded for a market and came home unsold is wanted no more."""
    home = CameBack(entry.on, item.id, delivery_of(entry), number)
    if entry.fields.get("unsold"):
        order.returns.append(home)
    elif order.is_market:
        order.unloaded.append(home)


def unloaded_of(order: Order, item: Item, delivery: int) -> int:
    """How many of an item were loaded for a market, put back before its day, and not loaded again."""
    return sum(home.number for home in order.unloaded if home[1:3] == (item.id, delivery))


def _note_loaded(order: Order, item: Item, entry: Entry, number: int) -> None:
    """What was put back is loaded again."""
    delivery = delivery_of(entry)
    if again := min(number, unloaded_of(order, item, delivery)):
        order.unloaded.append(CameBack(entry.on, item.id, delivery, -again))


def note_back(order: Order, item: Item, delivery: int, code: str, place: Place, number: int) -> None:
    """Put `number` picked stems or pieces back into `place`: those that were picked there are put back first."""
    key = (item.id, delivery, code)
    sources = [pick.source for pick in order.picks if pick[:3] == key and pick.number > 0]
    for source in sorted(sources, key=lambda source: source != place):
        there = next(p.number for p in order.picks if (*p[:3], p.source) == (*key, source))
        note_pick(order, item, delivery, code, source, -min(number, there))
        number -= min(number, there)
    if number:
        note_pick(
            order, item, delivery, code, place, -number
        )  # more than was picked: what lies there says so


def _pieces_put_back(farm: Farm, entry: Entry) -> None:
    piece, of = piece_or_matter(farm, entry), order_and_item(farm, entry)
    if piece is None or of is None:
        return
    order, item = of
    count = entry.fields["count"]
    set_pieces_aside(farm, piece, order, -count, entry)
    note_pick(order, item, delivery_of(entry), piece.code, PIECE_PLACE, -count)
    _note_home(order, item, entry, count)


PICKING = (
    Kind(
        "picked",
        "picked {stems} of {lot} from {source} for {order}",
        needs(order="code", source="code") | ITEM | ORDER_REF | DELIVERY | WHAT_LOT,
        _picked,
        check=_check_picked,
        when="lot",
    ),
    Kind(
        "picked",
        "picked {count} of {piece} for {order}",
        needs(order="code") | ITEM | ORDER_REF | DELIVERY | WHAT_PIECE,
        _pieces_picked,
        check=_check_pieces_picked,
        when="piece",
    ),
    Kind(
        "put back",
        "put back {stems} of {lot} to {place}, picked for {order}",
        needs(order="code", place="code") | UNSOLD | ITEM | ORDER_REF | DELIVERY | WHAT_LOT,
        _put_back,
        check=_check_put_back,
        when="lot",
    ),
    Kind(
        "put back",
        "put back {count} of {piece}, picked for {order}",
        needs(order="code") | UNSOLD | ITEM | ORDER_REF | DELIVERY | WHAT_PIECE,
        _pieces_put_back,
        check=_check_put_back,
        when="piece",
    ),
)
"""The kinds of entry that are written of picking."""
