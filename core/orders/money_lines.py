"""Money of orders in one line: paid, and given back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from core.book.entry import Draft, Entry
from core.language.again import asked
from core.language.days import take_day
from core.language.line import Line, Reading, Refused
from core.language.money import take_amount, take_cents
from core.language.own_words import take_by
from core.order_rows import Order, is_market
from core.orders.buyer_words import take_begun_buyer, take_known_buyer
from core.orders.handing import overpaid
from core.orders.order_words import take_order, was_cancelled
from core.units import money

HOW = ("deposit", "cash", "check", "cheque", "card")


def paid(line: Line) -> Reading:
    """ "paid O014 180", "paid O014": all that is owed; "paid Fern Hollow 300": for what is owed longest first."""
    kept = _of_whom(line)
    if isinstance(kept, str):
        return _paid_by(line, kept)
    if kept.cancelled_on:
        raise was_cancelled(kept)
    is_deposit = any(t.low == "deposit" for t in line.words)
    owed = max(kept.owed, kept.deposit_due) if is_deposit else kept.owed
    cents = _said_or(line, owed, f"{kept.code} nothing is owed yet", f"paid {kept.code} 50")
    says = f"{kept.buyer} paid {money(cents)} for {kept.code}"
    found = line.reading(_paid_draft(line, kept, cents), *asked(line, overpaid(kept, cents), kept.code))
    return replace(found, says=says)


def _of_whom(line: Line) -> Order | str:
    """The order, or the buyer, by any plain beginning of the name."""
    take_day(line, dashed=True)
    take_by(line)
    line.take_words(HOW)
    if (kept := take_order(line, must=False)) is not None:
        return kept
    if (buyer := take_known_buyer(line) or take_begun_buyer(line)) is not None:
        return buyer
    live = [order.code for order in line.farm.orders.live()]
    raise Refused("Which order? Write its code, or the buyer: paid O014 180.", near=live[-6:])


def _said_or(line: Line, owed: int, nothing: str, example: str) -> int:
    """The amount in the line, or all that is owed."""
    if any(t.number is not None or t.text[:1] in "$£€0123456789" for t in line.free()):
        return take_amount(line, "paid")
    if owed <= 0:
        raise Refused(f"How much was paid? Of {nothing}: write the amount, such as {example}.")
    line.remark(f"all that is owed: {money(owed)}")
    return owed


def _paid_draft(line: Line, kept: Order, cents: int) -> Draft:
    return line.draft("paid", order=kept.code, order_ref=kept.made_by, cents=cents, who=kept.buyer)


def _back_draft(line: Line, kept: Order, cents: int) -> Draft:
    return _money_draft(line, "given back", kept, cents)


def _money_draft(line: Line, kind: str, kept: Order, cents: int) -> Draft:
    return line.draft(kind, order=kept.code, order_ref=kept.made_by, cents=cents, who=kept.buyer)


def _paid_by(line: Line, buyer: str) -> Reading:
    """What a market made goes to its day that is told nothing yet. A sum of another buyer goes to what is owed longest,
    then ahead to what is due first; what she was to give back counts to it. More than all of it comes to is asked
    about."""
    if is_market(buyer) and (kept := _market_over(line, buyer)) is not None:
        cents = _said_or(line, kept.owed, f"{kept.code} nothing is owed yet", f"paid {kept.code} 50")
        says = f"{buyer} paid {money(cents)} for {kept.code}"
        return replace(line.reading(_paid_draft(line, kept, cents)), says=says)
    orders = [o for o in line.farm.orders.live() if o.buyer == buyer]
    orders.sort(key=lambda o: (o.due_on, o.taken_on, o.made_by))
    if not orders:
        raise Refused(f"{buyer} owes nothing and has no order: name the order that it is for.", "impossible")
    credits = [(o, o.credit) for o in orders if o.credit]
    owed = sum(max(o.owed, 0) for o in orders) - sum(cents for _, cents in credits)
    cents = _said_or(line, owed, f"{buyer} nothing is owed", f"paid {buyer} 50")
    there = cents + sum(cents for _, cents in credits)
    parts, left = _parted(orders, there)
    if not parts:
        raise Refused(
            f"{buyer} owes nothing and has no order that is open: name the order that it is for.",
            "impossible",
        )
    why = ""
    if left:
        parts[-1] = (parts[-1][0], parts[-1][1] + left)
        why = f"The orders of {buyer} come to {money(there - left)}, and {money(there)} would be paid"
    drafts = [_back_draft(line, order, back) for order, back in credits]
    drafts += [_paid_draft(line, order, part) for order, part in parts]
    told = ", ".join(
        f"{money(part)} for {o.code}{'' if part <= max(o.owed, 0) else ' ahead'}" for o, part in parts
    )
    counted = "".join(f", {money(back)} of {o.code} counted" for o, back in credits)
    if len(parts) > 1 or counted:
        line.remark(f"the oldest first: {told}{counted}")
    return replace(
        line.reading(*drafts, *asked(line, why, parts[-1][0].code)),
        says=f"{buyer} paid {money(cents)}: {told}{counted}",
    )


def _market_over(line: Line, buyer: str) -> Order | None:
    """The market that was handed over and of which it is not told yet what it made; the one that is still to come where
    none was; None where there is neither."""
    untold = [o for o in line.farm.orders.all() if o.buyer == buyer and not o.cancelled_on and not o.payments]
    over = [o for o in untold if o.handed] or untold
    if len(over) > 1:
        codes = [o.code for o in over][-6:]
        raise Refused(f"Which day of {buyer}? Write its code: paid {codes[-1]} 240.", "ambiguous", codes)
    return over[0] if over else None


def _parted(orders: list[Order], cents: int) -> tuple[list[tuple[Order, int]], int]:
    """(what goes to which order, what is left): first to what is owed, then ahead to what is still to be handed over,
    as far as its price goes; all that is left to one of which no price was said."""
    given: dict[str, int] = {}
    for order, most in _wants(orders):
        part = min(max(most - given.get(order.code, 0), 0), cents)
        given[order.code] = given.get(order.code, 0) + part
        cents -= part
    return [(order, given[order.code]) for order in orders if given.get(order.code)], cents


def _wants(orders: list[Order]) -> Iterator[tuple[Order, int]]:
    """How much each may take in all, in the turns in which they take it."""
    yield from ((order, max(order.owed, 0)) for order in orders)
    ahead = [order for order in orders if not order.cancelled_on and not order.is_delivered]
    yield from ((order, order.most_due - order.paid) for order in ahead if order.most_due is not None)
    yield from ((order, MOST_CENTS) for order in orders if order.most_due is None and not order.cancelled_on)


MOST_CENTS = 10_000_000_00
"""More than anybody pays."""


def given_back(line: Line) -> Reading:
    """ "refund O014 2.25", "refund Fern Hollow": money that was paid is given back; where no amount is said all
    that was paid too much. What is given back for what the buyer keeps is let off; "refund O014 0" keeps it."""
    kept = _of_whom(line)
    orders = [kept] if isinstance(kept, Order) else [o for o in line.farm.orders.live() if o.buyer == kept]
    named = kept.code if isinstance(kept, Order) else kept
    open_now = [(order, order.credit) for order in orders if order.credit]
    if any(t.number is not None or t.text[:1] in "$£€0123456789" for t in line.free()):
        cents = take_amount(line, "given back")
        if len(orders) != 1:
            open_codes = [order.code for order in orders]
            raise Refused("For which order? Write its code: refund O014 2.25.", "ambiguous", open_codes[:6])
        return line.reading(*_of_amount(line, orders[0], cents))
    if not open_now:
        raise Refused(
            f"How much was given back? Nothing is to be given back to {named} by the book: write the amount and the "
            "order, such as refund O014 2.25.",
        )
    line.remark(f"all that is to be given back: {money(sum(cents for _, cents in open_now))}")
    return line.reading(*(_back_draft(line, order, cents) for order, cents in open_now))


def _of_amount(line: Line, kept: Order, cents: int) -> Iterator[Draft]:
    """What is given back, less what was paid ahead or too much, is let off: it does not become a debt."""
    if not cents:
        if not kept.credit:
            raise Refused(f"Nothing is to be given back for {kept.code} that could be kept.", "impossible")
        line.remark(f"{money(kept.credit)} that was paid for it is kept")
        yield _money_draft(line, "money kept", kept, kept.credit)
        return
    yield _back_draft(line, kept, cents)
    had = kept.taken - kept.let_off
    over = min(cents - max(kept.paid - kept.kept - had, 0), had)
    if over > 0 and cents <= kept.paid and not kept.is_market:
        line.remark(f"{money(over)} let off: what {kept.buyer} had comes to {money(had - over)} now")
        yield _money_draft(line, "let off", kept, over)


def change_paid(line: Line, _entry: Entry) -> dict[str, Any]:
    """ "7f3a09c2 was 150": the amount of a payment."""
    found = [cents for token in line.free() if (cents := take_cents(line, token)) is not None]
    if len(found) != 1:
        raise Refused("How much was paid? Write the amount after 'was'.")
    return {"cents": found[0]}
