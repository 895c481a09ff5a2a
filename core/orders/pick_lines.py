"""Picking in one line: what is set aside for an order and from where, put back, told short."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, NamedTuple

from core.book.entry import Draft
from core.codes import LOT, PIECE
from core.language.again import asked
from core.language.causes import take_cause
from core.language.line import Line, Reading, Refused, either
from core.language.named_places import one_place
from core.language.own_words import take_by
from core.order_rows import Item, Order, Tally
from core.orders.item_text import amount_text, item_text
from core.orders.item_words import bunch_of, take_number
from core.orders.meant import item_meant
from core.orders.order_words import delivery_named, need_order, take_yesterday
from core.orders.pickable import Pickable, pickable
from core.orders.picking import PIECE_PLACE, too_much
from core.places import Place

MOST = 10_000_000
"""More than there is of anything."""
TAKE_IT = "Add 'anyway' to take it all the same."


class Chosen(NamedTuple):
    """So many of a lot in a place, or of pieces, for an item."""

    item: Item
    stock: Pickable
    number: int


class Meant(NamedTuple):
    """What a line speaks of: an order, one of its deliveries, the lots or pieces named, the item, and how many.

    `is_day_said`: whether the line says which delivery, by its day."""

    order: Order
    delivery: int
    due: date
    codes: list[str]
    place: Place | None
    item: Item | None
    number: int | None
    is_day_said: bool = False


def what_is_meant(line: Line, *, is_done_then: bool = True) -> Meant:
    kept = need_order(line)
    named = delivery_named(line, kept, is_done_then=is_done_then)
    delivery = kept.next_delivery if named is None else named
    due = dict(kept.deliveries())[delivery]
    codes = [*line.take_codes(LOT), *line.take_codes(PIECE)]
    place = one_place(line, "place")
    line.take_words(("all",))
    bunches, per, number = take_number(line)
    item = _item_said(line, kept, codes)
    if bunches is not None:
        item = item or _only(line, kept, delivery)
        number = bunches * (per or item.per or bunch_of(line.farm, item.crop, item.form))
    if number is not None:
        item = item or _only(line, kept, delivery)
    return Meant(kept, delivery, due, codes, place, item, number, named is not None)


def _item_said(line: Line, kept: Order, codes: list[str]) -> Item | None:
    """The item that is named, or for which alone the lots named will do."""
    from_words = item_meant(kept, line, must=False)
    if from_words is not None or not codes:
        return from_words
    if len(kept.wanted_items) == 1:
        return kept.wanted_items[0]
    fit = [item for item in kept.wanted_items if all(_may_be(line, item, code) for code in codes)]
    if len(fit) != 1:
        names = [item.name for item in fit or kept.wanted_items]
        raise Refused(
            f"For which item of {kept.code}: {either(names)}? Write it as well.", "ambiguous", names[:6]
        )
    return fit[0]


def _may_be(line: Line, item: Item, code: str) -> bool:
    lot = line.farm.lots.get(code)
    piece = line.farm.pieces.get(code)
    if piece is not None:
        return item.recipe in (piece.recipe, piece.sort)
    return lot is not None and lot.crop in (item.crop, *item.instead)


def _only(line: Line, kept: Order, delivery: int) -> Item:
    """The one item of which something is open, or the question which."""
    tallies = kept.tallies()
    items = [item for item in kept.wanted_items if tallies[item.id, delivery].open] or kept.wanted_items
    if len(items) != 1:
        names = [item.name for item in items]
        raise Refused(
            f"Of which item of {kept.code}: {either(names or ['none'])}? Write it as well.",
            "ambiguous",
            names[:6],
        )
    return items[0]


# picked


def pick(line: Line) -> Reading:
    """ "pick O014", "pick 12 O014 L009", "pick 3 bu lavender O014 box 7": out of the stock, set aside for the order."""
    line.verb = "pick"
    meant = signed(line)
    chosen, short = choose(line, meant)
    if not chosen:
        raise nothing(line, meant, short)
    drafts = [_pick_draft(line, meant, one) for one in chosen]
    for item, stock, number in chosen:
        why = too_much(meant.order, item, meant.delivery, number, line.farm.lots.get(stock.code))
        drafts += asked(line, why, stock.code)
    drafts += overruled(line, chosen)
    tell_poor(line, chosen)
    says = f"pick for {meant.order.code} {meant.order.buyer}: {chosen_text(chosen)}"
    if short:
        says += f"; short {', '.join(item_text(item, n) for item, n in short)}"
        line.remark(f"still open: {', '.join(item_text(item, n) for item, n in short)}")
    return replace(line.reading(*drafts), says=says)


def signed(line: Line, *, is_done_then: bool = True) -> Meant:
    """What the line speaks of, once it is read whose it is; `is_done_then`: see `delivery_named`."""
    take_by(line)
    take_yesterday(line)
    return what_is_meant(line, is_done_then=is_done_then)


def tell_poor(line: Line, chosen: Sequence[Chosen]) -> None:
    """What of it had better be looked at before a buyer has it."""
    for one in chosen:
        if one.stock.poor:
            line.remark(f"{one.stock.where} {one.stock.poor}: look at it, and say so")


def overruled(line: Line, chosen: Sequence[Chosen]) -> list[Draft]:
    """What is kept of why some of it had better not be taken, where she insisted."""
    if not line.insists:
        return []
    return [
        note
        for one in chosen
        if one.stock.why_not
        for note in asked(line, f"{one.stock.where} {one.stock.why_not}", one.stock.code)
    ]


def chosen_text(chosen: Sequence[Chosen]) -> str:
    return ", ".join(f"{amount_text(item, number)} {stock.where}" for item, stock, number in chosen)


def choose(line: Line, meant: Meant) -> tuple[list[Chosen], list[tuple[Item, int]]]:
    """What a pick takes: (from which lot and place how many of which item, how many of which item are short).

    What had better not be taken is taken only where she insists and is refused without it; what is fit goes first.
    """
    chosen, short = _chosen(line, meant, unfit=False)
    if line.insists and short and (not chosen or meant.number is not None):
        chosen, short = _chosen(line, meant, unfit=True)
    if meant.number is not None and short and chosen:
        raise _more_than_there(line, meant, short[0][0], chosen)
    return chosen, short


def _more_than_there(line: Line, meant: Meant, item: Item, chosen: Sequence[Chosen]) -> Refused:
    there = sum(one.number for one in chosen)
    says = f"{item_text(item, meant.number or there)} is more than there is: {chosen_text(chosen)}."
    if line.insists or not (why := _unfit(line, meant, item)):
        return Refused(says, "impossible", (str(there),))
    return Refused(f"{says[:-1]}; {why}. {TAKE_IT}", "impossible", (str(there), "anyway"))


def _chosen(line: Line, meant: Meant, *, unfit: bool) -> tuple[list[Chosen], list[tuple[Item, int]]]:
    tallies = meant.order.tallies()
    used: dict[tuple[str, Place], int] = {}
    chosen: list[Chosen] = []
    short: list[tuple[Item, int]] = []
    for item in [meant.item] if meant.item is not None else meant.order.wanted_items:
        tally = tallies[item.id, meant.delivery]
        number = meant.number if meant.number is not None else _still_to_pick(meant.order, item, tally)
        left = number
        for stock in _candidates(line, meant, item, unfit=unfit):
            free = stock.free - used.get((stock.code, stock.place), 0)
            some = min(left, free)
            if some > 0:
                used[stock.code, stock.place] = used.get((stock.code, stock.place), 0) + some
                chosen.append(Chosen(item, stock, some))
                left -= some
        missing = left if meant.number is not None else max(left - (number - tally.open), 0)
        if missing > 0:
            short.append((item, missing))
    return chosen, short


def _still_to_pick(kept: Order, item: Item, tally: Tally) -> int:
    """What is open, and what is spare beside it."""
    spare = -(-tally.asked * kept.spare_pct // 100) if item.form != "piece" else 0
    return max(int(tally.asked + spare) - tally.picked - tally.short, 0) if tally.open else 0


def _candidates(line: Line, meant: Meant, item: Item, *, unfit: bool) -> list[Pickable]:
    """The stock in the order in which it is taken: the lots and the place that are named, else all that will do; what
    had better not be taken after it, of lots that are named where nothing of them is fit, of others where `unfit`."""
    found = pickable(line.farm, item, meant.due, line.on)
    if meant.codes:
        found += _others(line, [code for code in meant.codes if all(code != p.code for p in found)])
        found = sorted((p for p in found if p.code in meant.codes), key=lambda p: meant.codes.index(p.code))
    if meant.place is not None:
        found = [p for p in found if p.place == meant.place]
    fit = [p for p in found if not p.why_not]
    if unfit or (meant.codes and meant.place is None and not fit):
        fit += [p for p in found if p.why_not]
    return fit


def _unfit(line: Line, meant: Meant, item: Item) -> str:
    """What there is of an item that had better not be taken, and why; "" where there is none."""
    found = [p for p in _candidates(line, meant, item, unfit=True) if p.why_not]
    return "; ".join(f"{p.where} {p.why_not}" for p in found[:3])


def _others(line: Line, codes: list[str]) -> Iterator[Pickable]:
    """Lots that she names and that are not what was ordered: asked about when they are written."""
    for code in codes:
        lot, piece = line.farm.lots.get(code), line.farm.pieces.get(code)
        if piece is not None:
            yield Pickable(code, piece.made_by, PIECE_PLACE, piece.free, 0, "", piece.made_on)
        elif lot is None:
            raise Refused(f"There is no {code} in the book.", "unknown")
        else:
            for place, held in lot.holdings.items():
                if held.stems > 0 and not place.is_set_aside:
                    yield Pickable(code, lot.made_by, place, held.stems, 0, "", lot.cut_on)


def nothing(line: Line, meant: Meant, short: list[tuple[Item, int]]) -> Refused:
    """Why nothing can be picked."""
    kept = meant.order
    if not short:
        items = [meant.item] if meant.item is not None else kept.items
        if any(kept.tallies()[item.id, meant.delivery].set_aside for item in items):
            what = f"the {meant.item.name} for {kept.code}" if meant.item is not None else kept.code
            return Refused(
                f"All of {what} is picked: 'handed over {kept.code}' when the buyer has it.",
                "impossible",
                (f"handed over {kept.code}",),
            )
        return Refused(
            f"Nothing is open for {kept.code}: it is picked, handed over or told short.", "impossible"
        )
    item, number = short[0]
    unfit = [(of, n, why) for of, n in short if (why := _unfit(line, meant, of))]
    if unfit:
        what = ", ".join(item_text(of, n) for of, n, _ in unfit)
        whys = "; ".join(why for _, _, why in unfit)
        return Refused(f"Nothing for {what} is fit: {whys}. {TAKE_IT}", "impossible", ("anyway",))
    if item.form == "piece":
        return Refused(f"There is no {item.name} on hand: make {number} {item.recipe}.", "impossible")
    return Refused(
        f"There is no {item.name} {item.form} on hand: cut more; 'short {number} {kept.code}' where so many "
        "will not be delivered.",
        "impossible",
    )


def fields(meant: Meant, item: Item) -> dict[str, Any]:
    """The order, its item and delivery, as an entry has them."""
    return order_fields(meant.order, item, meant.delivery)


def order_fields(kept: Order, item: Item, delivery: int) -> dict[str, Any]:
    """The same of any order."""
    found: dict[str, Any] = {
        "order": kept.code,
        "order_ref": kept.made_by,
        "item": item.place,
        "item_ref": item.id,
    }
    return found if delivery == 1 else found | {"delivery": delivery}


def _pick_draft(line: Line, meant: Meant, one: Chosen) -> Draft:
    item, stock, number = one
    named = fields(meant, item)
    if item.form == "piece":
        return line.draft("picked", **named, piece=stock.code, count=number, ref=stock.ref)
    return line.draft("picked", **named, lot=stock.code, stems=number, source=stock.place, ref=stock.ref)


def number_of(draft: Draft) -> int:
    """How many stems or pieces a draft speaks of."""
    number: int = draft.fields.get("stems", draft.fields.get("count", 0))
    return number


# short


def short(line: Line) -> Reading:
    """ "short 5 O014", "short 5 lavender O014 mold", "short O014": all that is open will not be delivered; "short all
    O014": of every delivery whose day has come."""
    line.verb = "short"
    is_all = any(t.is_word and t.low == "all" for t in line.free())
    cause = take_cause(line)
    meant = signed(line)
    if meant.codes or meant.place is not None:
        stray = meant.codes[0] if meant.codes else meant.place
        raise Refused(f"What is {stray} in a 'short' line? Name the item alone.", "unknown")
    tallies = meant.order.tallies()
    items = [meant.item] if meant.item is not None else meant.order.wanted_items
    days = meant.order.deliveries()
    meant_days = [n for n, due in days if n == meant.delivery or (is_all and due <= line.on)]
    open_now = [(item, n, tallies[item.id, n].open) for n in meant_days for item in items]
    told = [(item, n, left if meant.number is None else meant.number) for item, n, left in open_now if left]
    if not told:
        raise Refused(
            f"Nothing is open for {meant.order.code}: it is picked, handed over or told short.", "impossible"
        )
    drafts = [
        line.draft(
            "told short", **order_fields(meant.order, item, n), count=number, what=item.name, cause=cause
        )
        for item, n, number in told
    ]
    return line.reading(*drafts)
