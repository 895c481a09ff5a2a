"""An order, or an item of it, put right in one line: "O014 was 30 bu", "O014 was by 10-20"."""

from __future__ import annotations

from typing import Any

from core.at_odds import is_apart
from core.book.entry import Draft, Entry
from core.language.line import Line, Reading, Refused
from core.mending.fields import unchanged, was
from core.order_rows import Order
from core.orders.buyer_words import need_buyer, take_known_buyer
from core.orders.item_words import changed_fields, parts_of, read_item
from core.orders.meant import item_meant
from core.orders.order_words import need_order, take_days, take_signed, take_terms


def change(line: Line) -> Reading:
    """ "O014 was 30 bu", "O014 was by 10-20", "O014 was lavender at 9.50": the order, or the item that is named."""
    kept = need_order(line)
    line.take_words(("was", "correct"))
    head = _head_changes(line, kept)
    drafts = [_correction(line, kept, kept.made_by, head)] if head else []
    for part in parts_of(line):
        item = item_meant(kept, part)
        said = read_item(part, item)
        drafts.append(_correction(line, kept, item.id, changed_fields(line, said, item)))
    if not drafts:
        raise Refused(
            f"What was it? Write what is right after 'was': {kept.code} was by 10-20, {kept.code} was 30 bu."
        )
    return line.reading(*drafts)


def _head_changes(line: Line, kept: Order) -> dict[str, Any]:
    """What is said of the order as a whole, as fields of its entry; None for what is left out."""
    now: dict[str, Any] = take_terms(line)
    if (days := take_days(line)) is not None:
        now |= days.fields()
        if kept.until_on and not days.every:
            now |= {"every_days": None, "until_on": None}
    take_signed(line)
    if line.by:
        now["by"], line.by = line.by, ""
    if (buyer := take_known_buyer(line)) is not None:
        now["buyer"] = buyer
    elif any(t.is_word and t.low in ("for", "to") for t in line.free()[:1]) and len(line.free()) > 1:
        now["buyer"] = need_buyer(line)
    return now


def _correction(line: Line, kept: Order, entry_id: str, now: dict[str, Any]) -> Draft:
    entry = next(iter(line.known.find(entry_id)), None)
    if entry is None:
        raise Refused(f"There is no entry of {kept.code} in the book.", "unknown")
    for name in () if is_apart(line.farm, entry.id) else unchanged(entry, now):
        del now[name]
    if not now:
        raise Refused(f"{kept.code} says so already: nothing is changed.", "impossible")
    before = {name: value for name in now if (value := was(entry, name)) is not None}
    return line.draft("correct", entry=entry.id, of=entry.kind, now=now, was=before or None, about=kept.code)


def change_head(line: Line, entry: Entry) -> dict[str, Any]:
    """The fields of an "ordered" entry that the rest of a line changes."""
    kept = next((o for o in line.farm.orders.all() if o.made_by == entry.id), None)
    if kept is None:
        raise Refused("That order is not in the book any more.", "unknown")
    return _head_changes(line, kept)


def change_item(line: Line, entry: Entry) -> dict[str, Any]:
    """The fields of an "order item" entry that the rest of a line changes."""
    found = ((o, o.item(entry.id)) for o in line.farm.orders.all())
    item = next((item for _, item in found if item is not None), None)
    if item is None:
        raise Refused("That item is not in the book any more.", "unknown")
    (part,) = parts_of(line) or [line]
    return changed_fields(line, read_item(part, item), item)
