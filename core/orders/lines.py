"""Orders in one line: taken, an item put in or dropped, changed, cancelled."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from core.book.entry import Draft
from core.codes import ORDER, next_code
from core.farm import Farm
from core.language.line import Line, Reading, Refused, either
from core.language.line import short as shortened
from core.language.names import is_code
from core.language.offers import any_lot, crops, words
from core.language.verb import Offer, Verb
from core.order_rows import Item
from core.orders.back_lines import back
from core.orders.buyer_words import longer_name, need_buyer, take_day_in_name, words_beside
from core.orders.cancel_lines import cancel, drop, not_collected, restore
from core.orders.change_lines import change, change_head, change_item
from core.orders.hand_lines import handed, packed
from core.orders.item_text import texts
from core.orders.item_words import item_fields, parts_of, read_item
from core.orders.kinds import split
from core.orders.money_lines import change_paid, given_back, paid
from core.orders.order_claims import (
    claims_add,
    claims_change,
    claims_first,
    claims_is,
    claims_not_collected,
    claims_order,
    claims_order_named,
    claims_order_or_buyer,
    claims_short,
    claims_skip,
    has_order,
)
from core.orders.order_words import (
    WEEK,
    Days,
    need_order,
    take_days,
    take_signed,
    take_terms,
    take_yesterday,
)
from core.orders.pick_lines import pick, short
from core.orders.price_lines import price, price_said
from core.orders.returned_lines import claims_returned, returned
from core.orders.skip_lines import skip
from core.stems.buyers import known_buyers
from core.units import dated_text, money, short_day

ASKED_WITH = ("order", "promise")
"""What may be typed once more after an "order" that stood there already."""


def order(line: Line) -> Reading:
    """ "order Fern Hollow 20 bu lavender dry by 10-15 at 9": buyer, items, day; after a code, an item more."""
    for token in line.free()[:1]:
        token.taken = token.is_word and token.low in ASKED_WITH
    if any(t.is_word and is_code(t.low, ORDER) for t in line.free()[:1]):
        return _add(line)
    if any(t.is_word and is_code(t.low, ORDER) for t in line.free()):
        raise Refused(
            "Which is meant, a new order or that one? An order that is there is named first: order O014 12 corsages."
        )
    take_yesterday(line)
    terms = take_terms(line)
    named = take_day_in_name(line)
    days = take_days(line)
    take_signed(line)
    buyer = named or need_buyer(line)
    is_new = buyer not in known_buyers(line.farm)
    code = next_code(line.farm, ORDER, line.known.mark)
    beside = words_beside(line, buyer)
    try:
        parts = parts_of(line)
        if not parts:
            raise Refused(f"What does {shortened(buyer)} order? Write how much of what: 20 bu lavender dry.")
        drafts = [_item_draft(line, code, n, part, buyer) for n, part in enumerate(parts, start=1)]
    except Refused as refused:
        raise longer_name(refused, buyer, beside) from None
    _tell_unpriced(line, drafts)
    if days is None:
        raise Refused("By when? Write the day, such as: by 10-15.", near=("by 10-15",))
    head = line.draft("ordered", order=code, buyer=buyer, **days.fields(), **terms)
    items = [as_item(draft) for draft in drafts]
    return _told(
        line, [head, *drafts], f"{code} {buyer}{' (new)' if is_new else ''}, {_when(line, days)}", items
    )


def _when(line: Line, days: Days) -> str:
    """ "by 15 Oct", "weekly from 1 Jul to 26 Aug"; the year where it is not this one."""

    def said(day: date) -> str:
        return short_day(day) if day.year == line.today.year else dated_text(day.isoformat())

    if days.until is None:
        return f"by {said(days.due)}"
    every = "weekly" if days.every == WEEK else f"every {days.every // WEEK} weeks"
    return f"{every} from {said(days.due)} to {said(days.until)}"


def _told(line: Line, drafts: list[Draft], who: str, items: list[Item]) -> Reading:
    """The reading, with what was understood in one line: buyer, day, what it comes to, and the items."""
    total = sum(item.value(item.number) for item in items)
    says = f"{who}{f', {money(total)}' if total else ''}: {'; '.join(texts(items))}"
    return replace(line.reading(*drafts), says=says)


def as_item(draft: Draft) -> Item:
    """The item that a draft would be."""
    f = draft.fields
    return Item(
        "", f["item"], f["count"], f["form"], f.get("crop", ""), f.get("recipe", ""), split(f.get("colors", "")),
        split(f.get("instead", "")), f.get("per", 0), f.get("cents"),
    )  # fmt: skip


def _item_draft(line: Line, code: str, place: int, part: Line, buyer: str, ref: str | None = None) -> Draft:
    said = read_item(part)
    price_said(line, said, said.form or "fresh", buyer)
    return line.draft("order item", order=code, item=place, **item_fields(line, said), order_ref=ref)


def _tell_unpriced(line: Line, drafts: list[Draft]) -> None:
    """Where the line says a price and some items have none: which it is the price of."""
    items = [as_item(draft) for draft in drafts]
    without = [item.name for item in items if item.cents is None]
    if without and len(without) < len(items):
        priced = either(
            [f"{item.name} at {money(item.cents)}" for item in items if item.cents is not None], "and"
        )
        line.remark(f"{priced}; {either(without, 'and')} without a price: write 'at' after each")


def add(line: Line) -> Reading:
    """ "add 3 bu statice dry to O014", "O014 also 3 bu statice dry": another item."""
    line.take_words(("to",))
    return _add(line)


def _add(line: Line) -> Reading:
    """ "order O014 12 corsages": another item."""
    kept = need_order(line)
    line.take_words(("add", "plus", "also"))
    take_yesterday(line)
    take_signed(line)
    parts = parts_of(line)
    if not parts:
        raise Refused(
            f"What more is ordered with {kept.code}? Write how much of what; '{kept.code} was by 10-20' changes it.",
            near=(f"{kept.code} was",),
        )
    drafts = [
        _item_draft(line, kept.code, kept.next_place + n, part, kept.buyer, kept.made_by)
        for n, part in enumerate(parts)
    ]
    _tell_unpriced(line, drafts)
    return _told(line, drafts, f"{kept.code} {kept.buyer}, more", [as_item(d) for d in drafts])


# what may stand in the lines


def _buyers(line: Line, farm: Farm) -> list[str]:
    return [] if len(line.words) > 1 and line.said is None else list(known_buyers(farm))[::-1]


def _orders(line: Line, farm: Farm) -> list[str]:
    return (
        [] if has_order(line) else [kept.code for kept in farm.orders.live() if not kept.cancelled_on][::-1]
    )


def _cancelled_orders(line: Line, farm: Farm) -> list[str]:
    return [] if has_order(line) else [kept.code for kept in farm.orders.all() if kept.cancelled_on][::-1]


_JOB = "Orders"

CHANGES = {
    "ordered": change_head,
    "order item": change_item,
    "paid": change_paid,
    "given back": change_paid,
}


def _done(name: str, read: Callable[[Line], Reading], example: tuple[str, str], *offers: Offer) -> Verb:
    """A verb for what is done about an order that is there, which its line names by its code."""
    return Verb(
        name,
        read,
        _JOB,
        (example,),
        offers,
        follow=(),
        own_day=True,
        own_words=True,
        claims=claims_order_or_buyer,
    )


VERBS = (
    Verb(
        "order",
        order,
        _JOB,
        (
            (
                "order Fern Hollow 20 bu lavender dry by 10-15 at 9",
                "20 bunches at 9.00 a bunch, by that day; a number alone is stems",
            ),
            (
                "order wedding 9 corsage, 40 zinnia pink by 9-19",
                "several items, pieces too; 'pink or coral', 'or cosmos': what will do",
            ),
            (
                "order Lane 5 bu zinnia weekly from 7-15 to 8-26",
                "or: for 8 weeks; also: spare 10%, deposit 50, priority 1, note ...",
            ),
            ("order O014 12 corsages at 18", "an item more for an order that is there"),
            (
                "order market 40 zinnia by sat",
                "to load it is picked; then back what came home, hand over, paid",
            ),
        ),
        (
            _buyers,
            _orders,
            crops,
            words("by", "fresh", "dry", "bu", "at", "spare", "weekly", "deposit", "note"),
        ),
        follow=("spare 10%", "deposit", "note"),
        own_day=True,
        own_words=True,
        claims=claims_order,
    ),
    Verb(
        "order",
        add,
        _JOB,
        (("add 12 corsages to O014", "the same; or: O014 also 12 corsages"),),
        (_orders, crops),
        follow=(),
        own_day=True,
        own_words=True,
        claims=claims_add,
    ),
    Verb("order", change, follow=(), own_day=True, own_words=True, claims=claims_is),
    Verb("order", not_collected, follow=(), own_day=True, own_words=True, claims=claims_not_collected),
    Verb(
        "correct",
        change,
        _JOB,
        (("O014 was by 10-20", "changed; with several items: O014 was strawflower 30 bu at 9"),),
        (_orders, crops, words("by", "at")),
        follow=(),
        own_day=True,
        own_words=True,
        claims=claims_change,
    ),
    Verb(
        "drop",
        drop,
        _JOB,
        (("drop O014 corsage", "one item is ordered no more"),),
        (_orders,),
        follow=(),
        claims=claims_order_named,
    ),
    Verb(
        "strike",
        cancel,
        _JOB,
        (("cancel O014", "the whole order is taken back; 'restore O014' brings it back"),),
        (_orders,),
        follow=("yesterday",),
        claims=claims_order_named,
    ),
    Verb(
        "restore",
        restore,
        _JOB,
        (),
        (_cancelled_orders,),
        follow=(),
        claims=claims_order_named,
    ),
    Verb(
        "cut",
        pick,
        _JOB,
        (("pick O014", "what expires first and fits is set aside; or: pick 12 O014 L035"),),
        (_orders, any_lot, words("anyway")),
        follow=("anyway",),
        own_day=True,
        own_words=True,
        claims=claims_order_or_buyer,
    ),
    _done(
        "back",
        back,
        ("back O014", "what is picked goes back; with the buyer: back 5 corsage O014"),
        _orders,
        any_lot,
    ),
    Verb("back", returned, own_day=True, own_words=True, claims=claims_returned),
    Verb("short", skip, follow=(), own_day=True, own_words=True, claims=claims_skip),
    Verb(
        "short",
        short,
        _JOB,
        (("short 5 corsage O014", "so many will not be there; a week not wanted: skip O014 7-15"),),
        (_orders,),
        follow=(),
        own_day=True,
        own_words=True,
        claims=claims_short,
    ),
    _done("packed", packed, ("packed O014", "it stands ready"), _orders),
    _done(
        "handed over",
        handed,
        ("handed over O014", "the buyer has what is picked; or, with nothing picked, what fits"),
        _orders,
    ),
    Verb(
        "paid",
        paid,
        _JOB,
        (
            (
                "paid O014 13",
                "without an amount all that is owed; or a buyer: paid Fern 180",
            ),
        ),
        (_orders, _buyers),
        follow=("yesterday",),
        own_day=True,
        own_words=True,
    ),
    Verb(
        "given back",
        given_back,
        _JOB,
        (("refund O014 5", "given back; without an amount what was paid too much; 0: it is kept"),),
        (_orders, _buyers),
        follow=("yesterday",),
        own_day=True,
        own_words=True,
    ),
    Verb(
        "price",
        price,
        _JOB,
        (
            (
                "price lavender dry 8 a bunch for Fern Hollow",
                "or for everybody; 'price corsage 18'; 0 takes it out",
            ),
        ),
        (crops, words("fresh", "dry", "a bunch", "a stem", "for"), _buyers),
        follow=("for",),
        own_words=True,
        claims=claims_first,
    ),
)
