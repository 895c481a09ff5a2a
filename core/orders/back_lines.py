"""What goes back, in one line: what was picked to where it came from, what a buyer or a market had home to the shed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from core.book.entry import Draft
from core.language.line import Line, Reading, Refused
from core.order_rows import Item, Order
from core.orders.item_text import amount_text
from core.orders.pick_lines import MOST, Meant, number_of, order_fields, signed
from core.orders.picking import set_aside_of
from core.orders.returning import handed_of
from core.places import BUCKET, Place, in_place


def back(line: Line) -> Reading:
    """ "back O014", "back 5 L009 O014 box 7": what was picked goes where it came from, or to the place named; where
    nothing is picked, what the buyer had comes home: "back 5 zinnia O014"."""
    is_all = any(t.is_word and t.low == "all" for t in line.free())
    meant = signed(line, is_done_then=False)
    most = meant.number if meant.number is not None else MOST
    drafts = put_back(line, meant.order, meant.delivery, meant.item, meant.codes, most, meant.place)
    if not drafts:
        return _from_buyer(line, meant, is_all=is_all)
    there = sum(map(number_of, drafts))
    if meant.number is not None and there < most:
        raise Refused(f"Only {there} are picked for {meant.order.code}.", "impossible", (str(there),))
    if meant.order.is_market and line.on >= meant.due:
        drafts = [replace(draft, fields={**draft.fields, "unsold": True}) for draft in drafts]
        line.remark("home from the market: wanted no more")
    return line.reading(*drafts)


def _from_buyer(line: Line, meant: Meant, *, is_all: bool) -> Reading:
    """What was handed over comes back: it is on hand again, not paid for, and wanted no more."""
    kept = meant.order
    delivery = meant.delivery if meant.is_day_said else _last_handed(kept, meant)
    had = [*_handed(kept, meant, delivery)]
    there = sum(number for _, _, number in had)
    if not there:
        raise Refused(f"Nothing is picked or handed over for {kept.code} that could come back.", "impossible")
    if meant.number is None and not is_all:
        what = meant.item.name if meant.item is not None else had[0][0].name
        raise Refused(
            f"How much came back from {kept.buyer}? Write it, or 'all': back 5 {what} {kept.code}.",
            near=("all",),
        )
    left = there if meant.number is None else meant.number
    if left > there:
        raise Refused(f"{kept.buyer} has {there} of it for {kept.code}.", "impossible", (str(there),))
    drafts, told = [], []
    for item, code, number in had:
        some = min(number, left)
        left -= some
        if some:
            place = meant.place or _came_from(kept, item, delivery, code)
            drafts.append(
                _home_draft(line, order_fields(kept, item, delivery), kept.buyer, code, place, some)
            )
            told.append(
                f"{amount_text(item, some)} {item.name}, {code}{f' {in_place(place)}' if place else ''}"
            )
    says = f"back from {kept.buyer}, not charged: {'; '.join(told)}"
    if len(had) > 1 and not meant.codes and meant.number is not None:
        line.remark(f"taken for {had[0][1]}, the last that was handed over")
    return replace(line.reading(*drafts), says=says)


def _last_handed(kept: Order, meant: Meant) -> int:
    """The last delivery of which the buyer has something."""
    return max((n for n, _ in kept.deliveries() if any(_handed(kept, meant, n))), default=meant.delivery)


def _handed(kept: Order, meant: Meant, delivery: int) -> Iterator[tuple[Item, str, int]]:
    """(item, lot or pieces, how many) that the buyer has of what is meant, what was handed over last first."""
    rows = dict.fromkeys(
        (over.item, over.code) for over in reversed(kept.handed) if over.delivery == delivery
    )
    for item_id, code in rows:
        item = kept.item(item_id)
        if item is None or meant.item not in (None, item) or code not in (meant.codes or [code]):
            continue
        if (number := handed_of(kept, item, delivery, code)) > 0:
            yield item, code, number


def _came_from(kept: Order, item: Item, delivery: int, code: str) -> Place:
    """Where it lay before it was picked; in the bucket where that is not known."""
    key = (item.id, delivery, code)
    found = next(
        (pick.source for pick in reversed(kept.picks) if pick[:3] == key and pick.number > 0), BUCKET
    )
    return Place("") if item.form == "piece" else found


def _home_draft(
    line: Line, named: dict[str, object], who: str, code: str, place: Place, number: int
) -> Draft:
    if (piece := line.farm.pieces.get(code)) is not None:
        return line.draft("came back", **named, piece=code, count=number, who=who, ref=piece.made_by)
    lot = line.farm.lots.get(code)
    assert lot is not None  # it was handed over
    return line.draft("came back", **named, lot=code, stems=number, place=place, who=who, ref=lot.made_by)


def put_back(
    line: Line,
    kept: Order,
    delivery: int,
    of: Item | None = None,
    codes: Sequence[str] = (),
    most: int = MOST,
    place: Place | None = None,
) -> list[Draft]:
    """What is picked for a delivery and not handed over goes back, `most` at most, of an item and of lots where these
    are named, to a place where one is."""
    drafts: list[Draft] = []
    done: dict[tuple[str, str], int] = {}
    for row in kept.picks:
        item = kept.item(row.item)
        is_meant = row.delivery == delivery and of in (None, item) and row.code in (codes or [row.code])
        if item is None or not is_meant:
            continue
        key = (item.id, row.code)
        number = min(row.number, set_aside_of(kept, item, delivery, row.code) - done.get(key, 0), most)
        if number > 0:
            drafts.append(
                _back_draft(line, order_fields(kept, item, delivery), row.code, place or row.source, number)
            )
            done[key] = done.get(key, 0) + number
            most -= number
    return drafts


def _back_draft(line: Line, named: dict[str, object], code: str, place: Place, number: int) -> Draft:
    if (piece := line.farm.pieces.get(code)) is not None:
        return line.draft("put back", **named, piece=code, count=number, ref=piece.made_by)
    lot = line.farm.lots.get(code)
    assert lot is not None  # it was picked
    return line.draft("put back", **named, lot=code, stems=number, place=place or BUCKET, ref=lot.made_by)
