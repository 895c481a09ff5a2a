"""What is to be seen of the orders: each by its next day due, one with its items and what was done, and its slip."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

from core.farm import Farm
from core.order_rows import Item, Order
from core.orders.item_text import amount_text, item_text, or_else
from core.places import in_place
from core.plans.serving import changed, number_of, plans_for
from core.text import clean
from core.units import day_text, long_day, money, plural

Status: TypeAlias = Literal["open", "picked", "packed", "owed", "credit", "done", "cancelled"]
"""How an order stands: something is still to be picked, all of it is, it is packed, the buyer has it and owes for it,
paid too much for it, nothing is left to do, it was taken back."""


class OrderRow(NamedTuple):
    """An order with the next of its deliveries that is not finished. Numbers are stems and pieces together, money is
    whole cents. `deliveries` how many there are in all; `owed_cents` below 0 is paid ahead."""

    order: str
    buyer: str
    due_on: str
    in_days: int
    delivery: int
    deliveries: int
    status: Status
    items: str
    """Each item in words."""
    asked: int
    picked: int
    short: int
    handed_over: int
    open: int
    price_cents: int
    paid_cents: int
    owed_cents: int
    deposit_cents: int
    priority: int
    note: str
    deposit_due_cents: int = 0
    """What of the deposit is not paid yet."""


class ItemRow(NamedTuple):
    """An item of a delivery: numbers are stems or pieces, `lots` those it was picked from, with where they lie."""

    item: str
    form: str
    asked: int
    picked: int
    short: int
    handed_over: int
    open: int
    per: int
    cents: int | None
    value_cents: int
    lots: tuple[str, ...]
    came_back: int = 0
    place: int = 0
    """Its number in the order, from 1."""
    instead: tuple[str, ...] = ()
    """Other crops that will do."""

    @property
    def what(self) -> str:
        """ "zinnia coral or peach fresh or cosmos"."""
        return f"{self.item}{'' if self.form == 'piece' else f' {self.form}'}{or_else(self.instead)}"


class DeliveryRow(NamedTuple):
    """One delivery with its items."""

    delivery: int
    due_on: str
    packed_on: str
    items: tuple[ItemRow, ...]
    skipped_on: str = ""
    """The day it was said that the buyer does not want it."""

    @property
    def is_finished(self) -> bool:
        """Whether nothing of it is still to be picked or handed over."""
        return not any(item.open or item.picked > item.handed_over for item in self.items)


class PlanForRow(NamedTuple):
    """A plan that is kept for an item of an order: so many of it, by when; `changed` what of the order is
    otherwise now."""

    plan: str
    item: str
    number: int
    by: str
    changed: str


class OrderPage(NamedTuple):
    """One order: its row, every delivery with its items, the payments as (day, cents), and the plans for it."""

    row: OrderRow
    deliveries: tuple[DeliveryRow, ...]
    payments: tuple[tuple[str, int], ...]
    plans: tuple[PlanForRow, ...] = ()


def order_rows(farm: Farm, day: date, *, every: bool = False) -> list[OrderRow]:
    """The orders of which something is still to be done, by the day due; with `every` the finished ones too."""
    orders = farm.orders.all() if every else list(farm.orders.live())
    rows = [order_row(order, day) for order in orders if order.taken_on <= day.isoformat()]
    return sorted(
        rows,
        key=lambda r: (r.status in ("owed", "credit", "done", "cancelled"), r.due_on, r.priority, r.order),
    )


def order_row(order: Order, day: date) -> OrderRow:
    """An order as it stands."""
    days = dict(order.deliveries())
    now = order.next_delivery
    tallies = [tally for (_, number), tally in order.tallies().items() if number == now]
    asked, picked, short, handed = (sum(t[i] for t in tallies) for i in range(4))
    due = days.get(now) or max(days.values())
    return OrderRow(
        order.code,
        order.buyer,
        due.isoformat(),
        (due - day).days,
        now,
        len(days),
        _status(order, now),
        "; ".join(item_text(item) for item in order.wanted_items),
        asked,
        picked,
        short,
        handed,
        sum(t.open for t in tallies),
        order.price,
        order.paid,
        order.owed,
        order.deposit_cents,
        order.priority,
        order.note,
        order.deposit_due,
    )


def _status(order: Order, delivery: int) -> Status:
    tallies = [tally for (_, number), tally in order.tallies().items() if number == delivery]
    if any(tally.open for tally in tallies):
        return "open"
    if any(tally.set_aside for tally in tallies):
        return "packed" if any(packed.delivery == delivery for packed in order.packed) else "picked"
    if order.owed > 0:
        return "owed"
    if order.credit:
        return "credit"
    return "cancelled" if order.cancelled_on else "done"


def order_page(farm: Farm, order: Order, day: date) -> OrderPage:
    """All there is to say of one order."""
    tallies = order.tallies()
    packed = {row.delivery: row.on for row in order.packed}
    skipped = {row.delivery: row.on for row in order.skipped}
    return OrderPage(
        order_row(order, day),
        tuple(
            DeliveryRow(
                number,
                due.isoformat(),
                packed.get(number, ""),
                tuple(
                    ItemRow(
                        item.name,
                        item.form,
                        tally.asked,
                        tally.picked,
                        tally.short,
                        tally.handed,
                        tally.open,
                        item.per,
                        item.cents,
                        item.value(tally.charged),
                        _lots(order, item, number),
                        tally.back,
                        item.place,
                        item.instead,
                    )
                    for item in order.items
                    for tally in (tallies[item.id, number],)
                    if not item.dropped_on or tally.picked
                ),
                skipped.get(number, ""),
            )
            for number, due in order.deliveries()
        ),
        tuple((payment.on, payment.cents) for payment in order.payments),
        tuple(_plans(farm, order)),
    )


def _plans(farm: Farm, order: Order) -> Iterator[PlanForRow]:
    for plan in plans_for(farm, order):
        item = order.item(plan.serves.item_ref) if plan.serves is not None else None
        other = changed(farm, plan)
        name = item.name if item is not None else ""
        yield PlanForRow(plan.code, name, number_of(plan), plan.by, other.says if other is not None else "")


def _lots(order: Order, item: Item, delivery: int) -> tuple[str, ...]:
    """ "20 L035 in box 7": from where what is picked for it came."""
    return tuple(
        f"{pick.number} {pick.code}{f' {in_place(pick.source)}' if pick.source else ''}"
        for pick in order.picks
        if (pick.item, pick.delivery) == (item.id, delivery)
    )


# in words


def done_text(row: OrderRow) -> str:
    """ "14 of 50 open", "packed", "owes 77.65": what was done of it, and what is still to do."""
    deposit = ", deposit due" if row.deposit_due_cents else ""
    if row.status == "open":
        open_now = f"{row.open} of {row.asked} open" if row.picked or row.short else f"{row.asked} to pick"
        return open_now + deposit
    if row.status in ("picked", "packed"):
        return f"{row.status}{f', {row.short} short' if row.short else ''}{deposit}"
    if row.status == "credit":
        return f"{money(-row.owed_cents)} to give back"
    return f"owes {money(row.owed_cents)}" if row.status == "owed" else row.status


def item_words(item: ItemRow) -> str:
    """An item of a delivery, and what was done of it."""
    of = Item("", 0, item.asked, "piece", recipe=item.item, per=item.per)
    done = [
        f"{item.picked} picked" if item.picked > item.handed_over else "",
        f"{item.handed_over} handed over" if item.handed_over else "",
        f"{item.short} short" if item.short else "",
        f"{item.came_back} came back" if item.came_back else "",
        f"{item.open} open" if item.open else "",
    ]
    priced = f" at {money(item.cents)}" if item.cents is not None else ""
    return f"{amount_text(of, item.asked)} {item.what}{priced}: {', '.join(filter(None, done)) or 'nothing'}"


def money_words(row: OrderRow) -> str:
    """ "180.00 in all, deposit 50.00, 30.00 paid, 150.00 owed"; "" where no price was said and nothing paid."""
    parts = [
        f"{money(row.price_cents)} in all" if row.price_cents else "",
        _deposit_words(row),
        f"{money(row.paid_cents)} paid" if row.paid_cents else "",
        f"{money(row.owed_cents)} owed" if row.owed_cents > 0 else "",
        f"{money(-row.owed_cents)} to give back" if row.status == "credit" else "",
    ]
    return ", ".join(filter(None, parts))


def _deposit_words(row: OrderRow) -> str:
    """ "deposit 100.00 not yet paid", "of the deposit 100.00 not yet paid: 40.00"; "" where none was agreed."""
    if not row.deposit_cents:
        return ""
    if not row.deposit_due_cents:
        return f"deposit {money(row.deposit_cents)}"
    if row.deposit_due_cents < row.deposit_cents:
        return f"of the deposit {money(row.deposit_cents)} not yet paid: {money(row.deposit_due_cents)}"
    return f"deposit {money(row.deposit_cents)} not yet paid"


def when_words(row: OrderRow) -> str:
    """ "Thu 15 Oct 2026", "delivery 2 of 9, Wed 8 Jul 2026"."""
    day = long_day(date.fromisoformat(row.due_on))
    return day if row.deliveries == 1 else f"delivery {row.delivery} of {row.deliveries}, {day}"


def page_lines(page: OrderPage, kept: Mapping[int, str] = MappingProxyType({})) -> list[str]:
    """The order as it is printed: buyer and day, each unfinished delivery (or the last) with its items, the money;
    `kept`: how surely an item is kept, by its number in the order."""
    row = page.row
    lines = [f"{row.order} {row.buyer}: {when_words(row)}, {done_text(row)}"]
    for delivery in page.deliveries:
        if delivery.delivery != row.delivery:
            continue
        if row.status == "cancelled":
            lines.append(f"  it asked for {row.items}")
        for item in delivery.items:
            if row.status == "cancelled" and not item.picked:
                continue
            verdict = f"; {kept[item.place]}" if item.place in kept else ""
            lines.append(f"  {item_words(item)}{verdict}")
            if item.lots:
                lines.append(f"    from {', '.join(item.lots)}")
        if delivery.packed_on:
            lines.append(f"  packed {day_text(delivery.packed_on)}")
    if told := money_words(row):
        lines.append(f"  {told}")
    for on, cents in page.payments:
        done = f"paid {money(cents)}" if cents > 0 else f"{money(-cents)} given back"
        lines.append(f"  {done} on {day_text(on)}")
    if len(page.deliveries) > 1:
        left = sum(not delivery.is_finished for delivery in page.deliveries)
        lines.append(f"  {plural(left, 'delivery', 'deliveries')} of {len(page.deliveries)} still to do")
    if skipped := [day_text(delivery.due_on) for delivery in page.deliveries if delivery.skipped_on]:
        lines.append(f"  skips {', '.join(skipped)}")
    for plan in page.plans:
        lines.append(f"  planned: {plan.plan}, {plan.number} {plan.item} by {day_text(plan.by)}")
        if plan.changed:
            lines.append(f"  ! {plan.changed}")
    if row.note:
        lines.append(f"  note: {row.note}")
    return lines


SLIP = 60
"""Columns of a packing slip."""


def slip(farm: Farm, page: OrderPage, delivery: int | None = None) -> list[str]:
    """The packing slip of a delivery, of the next one where None: what goes along, what does not, and the money."""
    return ["-" * SLIP if line is None else _two(*line) for line in slip_lines(farm, page, delivery)]


def slip_lines(farm: Farm, page: OrderPage, delivery: int | None = None) -> list[tuple[str, str] | None]:
    """The same as (left, right) texts, from the farm and the order down; None is a rule across."""
    row = page.row
    number = row.delivery if delivery is None else delivery
    chosen = next(one for one in page.deliveries if one.delivery == number)
    due = long_day(date.fromisoformat(chosen.due_on))
    lines: list[tuple[str, str] | None] = [
        (farm.settings.name or "", row.order),
        (f"For {row.buyer}", due),
        None,
    ]
    total = 0
    for item in chosen.items:
        goes = (
            max(item.picked, item.handed_over)
            if item.picked
            else max(item.asked - item.short - item.came_back, 0)
        )
        value = _value(item, goes)
        total += value
        of = Item("", 0, goes, "piece", recipe=item.item, per=item.per)
        priced = f"at {money(item.cents)}  {money(value):>9}" if item.cents is not None else ""
        lines.append((f"{amount_text(of, goes)} {item.what}", priced))
        if item.short:
            lines.append((f"   {amount_text(of, item.short)} short, not charged", ""))
        if item.came_back:
            lines.append((f"   {amount_text(of, item.came_back)} came back, not charged", ""))
    lines.append(None)
    if total:
        lines.append(("Total", money(total)))
    if row.paid_cents and len(page.deliveries) == 1:
        lines += [("Paid", money(row.paid_cents)), ("To pay", money(max(total - row.paid_cents, 0)))]
    if row.note:
        lines.append((clean(row.note), ""))
    return lines


def _value(item: ItemRow, number: int) -> int:
    return Item("", 0, number, "piece", per=item.per, cents=item.cents).value(number)


def _two(left: str, right: str) -> str:
    """Two texts at the ends of a line of the slip."""
    room = SLIP - len(right) - 1
    return f"{left[:room]:<{room}} {right}".rstrip()
