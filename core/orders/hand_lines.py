"""What becomes of an order, in one line: packed, handed over, paid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from core.book.entry import Draft, Entry
from core.language.again import asked
from core.language.days import take_day
from core.language.line import Line, Reading, Refused
from core.language.money import take_amount, take_cents
from core.language.own_words import take_by
from core.order_rows import Order
from core.orders.handing import overpaid
from core.orders.item_text import item_text
from core.orders.order_words import need_order, take_delivery, take_known_buyer, take_order, take_yesterday
from core.orders.pick_lines import Chosen, Meant, choose, chosen_text, fields, nothing, number_of, signed
from core.orders.picking import set_aside_of
from core.units import money

# packed


def packed(line: Line) -> Reading:
    """ "packed O014"."""
    take_by(line)
    take_yesterday(line)
    kept = need_order(line)
    delivery = take_delivery(line, kept)
    open_now = [(kept.item(i), t.open) for (i, of), t in kept.tallies().items() if of == delivery and t.open]
    if open_now:
        line.remark(
            f"still open: {', '.join(item_text(item, n) for item, n in open_now if item is not None)}"
        )
    return line.reading(
        line.draft(
            "packed", order=kept.code, order_ref=kept.made_by, delivery=delivery if delivery > 1 else None
        )
    )


# handed over


def handed(line: Line) -> Reading:
    """ "handed over O014": all that is picked; where nothing is, what could be picked."""
    line.verb = "handed over"
    line.take_words(("over", "out"))
    meant = signed(line)
    if meant.item is not None or meant.number is not None or meant.codes:
        raise Refused(
            f"All that is picked for {meant.order.code} is handed over at once: what stays here is put back first "
            f"('back 5 {meant.order.code}').",
            "impossible",
        )
    drafts = [*_handed_of_picked(line, meant)]
    if not drafts:
        chosen, _ = choose(line, meant)
        if not chosen:
            raise _nothing_to_hand(line, meant)
        drafts = [_handed_draft(line, meant, one) for one in chosen]
        line.remark(f"out of {chosen_text(chosen)}")
    value = _value(meant, drafts)
    if value:
        line.remark(f"it comes to {money(value)}; 'paid {meant.order.code} {money(value)}' when it is paid")
    left = _left_open(meant, drafts)
    if left:
        line.remark(
            f"still open: {', '.join(left)}; 'short {meant.order.code}' where it will not be delivered"
        )
    number = sum(map(number_of, drafts))
    says = (
        f"hand over {meant.order.code} to {meant.order.buyer}: {number}{f', {money(value)}' if value else ''}"
    )
    return replace(line.reading(*drafts), says=says)


def _handed_of_picked(line: Line, meant: Meant) -> Iterator[Draft]:
    kept = meant.order
    for item_id, code in dict.fromkeys((p.item, p.code) for p in kept.picks if p.delivery == meant.delivery):
        item = kept.item(item_id)
        if item is None or (number := set_aside_of(kept, item, meant.delivery, code)) <= 0:
            continue
        named = fields(meant, item) | {"who": kept.buyer}
        if (piece := line.farm.pieces.get(code)) is not None:
            yield line.draft("handed over", **named, piece=code, count=number, picked=True, ref=piece.made_by)
        elif (lot := line.farm.lots.get(code)) is not None:
            yield line.draft(
                "handed over", **named, lot=code, stems=number, source=kept.place, ref=lot.made_by
            )


def _handed_draft(line: Line, meant: Meant, one: Chosen) -> Draft:
    item, stock, number = one
    named = fields(meant, item) | {"who": meant.order.buyer, "ref": stock.ref}
    if item.form == "piece":
        return line.draft("handed over", **named, piece=stock.code, count=number)
    return line.draft("handed over", **named, lot=stock.code, stems=number, source=stock.place)


def _nothing_to_hand(line: Line, meant: Meant) -> Refused:
    tallies = [t for (_, of), t in meant.order.tallies().items() if of == meant.delivery]
    if not any(t.open for t in tallies):
        return Refused(f"{meant.order.code} is handed over already.", "impossible")
    return nothing(line, meant, choose(line, meant)[1])


def _numbers(meant: Meant, drafts: Sequence[Draft]) -> dict[str, int]:
    found: dict[str, int] = {}
    for draft in drafts:
        number = number_of(draft)
        found[draft.fields["item_ref"]] = found.get(draft.fields["item_ref"], 0) + number
    return found


def _value(meant: Meant, drafts: Sequence[Draft]) -> int:
    """What these drafts hand over comes to, in cents."""
    numbers, tallies = _numbers(meant, drafts), meant.order.tallies()
    value = 0
    for item in meant.order.items:
        if item.id in numbers:
            had = tallies[item.id, meant.delivery].handed
            value += item.value(had + numbers[item.id]) - item.value(had)
    return value


def _left_open(meant: Meant, drafts: Sequence[Draft]) -> list[str]:
    """What is still open once these are handed over."""
    numbers, left = _numbers(meant, drafts), []
    for item in meant.order.wanted_items:
        tally = meant.order.tallies()[item.id, meant.delivery]
        number = tally.asked - tally.short - tally.handed - numbers.get(item.id, 0)
        if number > 0:
            left.append(item_text(item, number))
    return left


# paid


def paid(line: Line) -> Reading:
    """ "paid O014 180", "paid O014": all that is owed; "paid Fern Hollow 300": for what is owed longest."""
    take_day(line)
    take_by(line)
    line.take_words(("deposit", "cash", "check", "cheque", "card"))
    kept = take_order(line, must=False)
    if kept is not None:
        if kept.cancelled_on:
            raise Refused(f"{kept.code} of {kept.buyer} was cancelled on {kept.cancelled_on}.", "impossible")
        cents = _said_or_owed(line, kept)
        return line.reading(_paid_draft(line, kept, cents), *asked(line, overpaid(kept, cents), kept.code))
    buyer = take_known_buyer(line)
    if buyer is None:
        live = [order.code for order in line.farm.orders.live()]
        raise Refused("Paid for which order? Write its code, or the buyer: paid O014 180.", near=live[-6:])
    return _paid_by(line, buyer)


def _said_or_owed(line: Line, kept: Order) -> int:
    if not any(t.number is not None or t.text[:1] in "$£€0123456789" for t in line.free()):
        if kept.owed <= 0:
            raise Refused(
                f"How much was paid? Of {kept.code} nothing is owed yet: write the amount, such as paid {kept.code} 50."
            )
        line.remark(f"all that is owed: {money(kept.owed)}")
        return kept.owed
    return take_amount(line, "paid")


def _paid_draft(line: Line, kept: Order, cents: int) -> Draft:
    return line.draft("paid", order=kept.code, order_ref=kept.made_by, cents=cents, who=kept.buyer)


def _paid_by(line: Line, buyer: str) -> Reading:
    """A sum of a buyer goes to what is owed longest; it has to be owed, for money is not kept without an order."""
    owing = sorted(
        (order for order in line.farm.orders.live() if order.buyer == buyer and order.owed > 0),
        key=lambda order: (order.due_on, order.taken_on, order.made_by),
    )
    owed = sum(order.owed for order in owing)
    if not owed:
        raise Refused(
            f"{buyer} owes nothing: name the order that is paid ahead, such as paid O014 50.", "impossible"
        )
    cents = take_amount(line, "paid") if line.free() else owed
    if cents > owed:
        raise Refused(
            f"{buyer} owes {money(owed)}: {money(cents)} is more. Name the order that is paid ahead: paid O014 50.",
            "impossible",
            (money(owed),),
        )
    drafts = []
    for order in owing:
        part = min(cents, order.owed)
        if part:
            drafts.append(_paid_draft(line, order, part))
        cents -= part
    return line.reading(*drafts)


def change_paid(line: Line, entry: Entry) -> dict[str, Any]:
    """ "7f3a09c2 was 150": the amount of a payment."""
    found = [cents for token in line.free() if (cents := take_cents(line, token)) is not None]
    if len(found) != 1:
        raise Refused("How much was paid? Write the amount after 'was'.")
    return {"cents": found[0]}
