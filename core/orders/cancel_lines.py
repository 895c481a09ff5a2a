"""Wanted no more, in one line: an item dropped, an order cancelled; and one that was cancelled brought back."""

from __future__ import annotations

from dataclasses import replace

from core.language.line import Line, Reading, Refused, either
from core.order_rows import Order
from core.orders.back_lines import put_back
from core.orders.item_text import item_text
from core.orders.item_words import read_item
from core.orders.meant import item_meant
from core.orders.order_words import need_order, take_order
from core.units import day_text, money


def drop(line: Line) -> Reading:
    """ "drop O014 corsages": the item is ordered no more; "drop O014": none of it is."""
    kept = need_order(line)
    if not line.free():
        return _cancelled(line, kept)
    item = item_meant(kept, line)
    said = read_item(line, item)
    if said.crop or (said.recipe and said.recipe != item.recipe):
        names = either([of.name for of in kept.wanted_items], "and")
        raise Refused(f"{kept.code} has no {said.crop or said.recipe}: it has {names}.", "unknown")
    return line.reading(
        line.draft(
            "item dropped",
            order=kept.code,
            item=item.place,
            what=item_text(item),
            order_ref=kept.made_by,
            item_ref=item.id,
        )
    )


def cancel(line: Line) -> Reading:
    """ "cancel O014"."""
    kept = need_order(line)
    line.take_words(("order",))
    return _cancelled(line, kept)


def _cancelled(line: Line, kept: Order) -> Reading:
    """What is picked for it goes back to where it came from."""
    if kept.paid:
        line.remark(
            f"{money(kept.paid)} was paid for it: 'refund {kept.code}' gives it back, 'refund {kept.code} 0' keeps it"
        )
    if kept.taken and kept.is_delivered:
        raise Refused(
            f"{kept.code} is handed over to {kept.buyer}: what comes back is written as 'back 5 {kept.code}'.",
            "impossible",
            (f"back 5 {kept.code}",),
        )
    returned = [draft for number, _ in kept.deliveries() for draft in put_back(line, kept, number)]
    if returned:
        line.remark("what is picked for it goes back to where it came from")
    gone = line.draft("order cancelled", order=kept.code, buyer=kept.buyer, order_ref=kept.made_by)
    return line.reading(*returned, gone)


def restore(line: Line) -> Reading:
    """ "restore O014": an order that was cancelled stands again; what was picked for it is still back on hand."""
    line.take_words(("order",))
    kept = take_order(line)
    assert kept is not None  # it is asked which
    if not kept.cancelled_on:
        raise Refused(f"{kept.code} of {kept.buyer} was not cancelled.", "impossible")
    line.remark(f"{kept.code} of {kept.buyer} stands again, for {day_text(kept.due_on)}")
    struck = line.reading(line.draft("strike", entry=kept.cancelled_by))
    return replace(struck, says=f"restore order {kept.code} of {kept.buyer}")


def not_collected(line: Line) -> Reading:
    """ "never collected O014", "O014 no-show": which of several lines is right is hers to say."""
    kept = need_order(line)
    back = (
        f"'back {kept.code}' puts back what is picked for it, then "
        if any(tally.set_aside for tally in kept.tallies().values())
        else ""
    )
    raise Refused(
        f"{kept.code} of {kept.buyer} was not collected: {back}'short {kept.code}' says that this delivery goes to "
        f"nobody; 'cancel {kept.code}' takes the whole order back.",
        "impossible",
        (f"short {kept.code}", f"cancel {kept.code}"),
    )
