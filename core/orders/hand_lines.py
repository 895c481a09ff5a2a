"""What becomes of an order, in one line: packed, handed over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from core.book.entry import Draft
from core.language.days import DATED
from core.language.line import Line, Reading, Refused
from core.language.own_words import take_by
from core.order_rows import Item, Order
from core.orders.item_text import amount_text, item_text
from core.orders.order_words import need_order, take_delivery, take_yesterday
from core.orders.pick_lines import (
    Chosen,
    Meant,
    choose,
    chosen_text,
    fields,
    nothing,
    number_of,
    overruled,
    signed,
    tell_poor,
)
from core.orders.picking import set_aside_of, unloaded_of
from core.units import long_day, money

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
    _after_picking(line, meant)
    drafts = [*_handed_of_picked(line, meant)]
    if not drafts:
        chosen, _ = choose(line, meant)
        if not chosen:
            raise _nothing_to_hand(line, meant)
        drafts = [*(_handed_draft(line, meant, one) for one in chosen), *overruled(line, chosen)]
        line.remark(f"out of {chosen_text(chosen)}")
        tell_poor(line, chosen)
    value = _value(meant, drafts)
    if value and meant.order.is_market:
        line.remark(f"by its prices {money(value)}; 'paid {meant.order.code} ...' tells what it made")
    elif value:
        line.remark(_still_to_pay(meant.order, value))
    left = _left_open(meant, drafts)
    if left and meant.order.is_market:
        gone = _numbers(meant, drafts)
        for item, number in left:
            drafts += _over(line, meant, item, number, gone.get(item.id, 0))
    elif left:
        told = ", ".join(item_text(*of) for of in left)
        line.remark(f"still open: {told}; 'short {meant.order.code}' where it will not be delivered")
    number = sum(number_of(draft) for draft in drafts if draft.kind == "handed over")
    says = (
        f"hand over {meant.order.code} to {meant.order.buyer}: {number}{f', {money(value)}' if value else ''}"
    )
    return replace(line.reading(*drafts), says=says)


def _after_picking(line: Line, meant: Meant) -> None:
    """What was picked after the day that the line is dated was handed over when it was picked, not before."""
    kept = meant.order
    picked = [
        pick.on
        for pick in kept.picks
        if pick.delivery == meant.delivery
        and (item := kept.item(pick.item)) is not None
        and set_aside_of(kept, item, meant.delivery, pick.code) > 0
    ]
    day = max(picked, default="")
    if day > line.on.isoformat():
        line.remarks = [remark for remark in line.remarks if not remark.startswith(DATED)]
        line.on = date.fromisoformat(day)
        line.remark(f"it was picked on {long_day(line.on)}, and so handed over then")


def _still_to_pay(kept: Order, value: int) -> str:
    """What is handed over comes to, and what of it is still to be paid: less what was paid ahead."""
    comes = f"it comes to {money(value)}"
    ahead = max(-kept.owed, 0)
    left = max(value - ahead, 0)
    if ahead:
        comes += f", {money(min(ahead, value))} of it was paid ahead"
    elif kept.deposit_due:
        comes += f", the deposit {money(kept.deposit_cents)} not yet paid"
    if not left:
        return f"{comes}: nothing is left to pay"
    if kept.owed > 0:
        left += kept.owed
        comes += f", and {money(kept.owed)} was owed before"
    return f"{comes}: still to pay {money(left)}; 'paid {kept.code} {money(left)}' when it is paid"


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
        if draft.kind == "note":
            continue
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


def _over(line: Line, meant: Meant, item: Item, number: int, gone: int) -> Iterator[Draft]:
    """A market that is over wants nothing more: what was loaded and put back came home, the rest was not loaded; `gone`
    are those handed over."""
    named = fields(meant, item) | {"what": item.name}
    home = min(unloaded_of(meant.order, item, meant.delivery), number)
    if home:
        line.remark(f"loaded {item_text(item, gone + home)}, {amount_text(item, home)} came home")
        yield line.draft("home unsold", **named, count=home)
    if number > home:
        yield line.draft("told short", **named, count=number - home, cause="not loaded")


def _left_open(meant: Meant, drafts: Sequence[Draft]) -> list[tuple[Item, int]]:
    """(item, how many) still open once these are handed over."""
    numbers, left = _numbers(meant, drafts), []
    for item in meant.order.wanted_items:
        tally = meant.order.tallies()[item.id, meant.delivery]
        number = tally.asked - tally.short - tally.back - tally.handed - numbers.get(item.id, 0)
        if number > 0:
            left.append((item, number))
    return left
