"""What the orders ask of the morning: what is promised for today and tomorrow, and what is late."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.asks import Asked, Part, Sight, late_text
from core.long_past import long_past
from core.orders.open_items import FORGOTTEN_DAYS
from core.orders.rows import OrderRow, order_rows
from core.units import money

SOON_DAYS = 1
"""Orders due in so many days, and late ones, are told (ours)."""
DEPOSIT_DAYS = 21
"""A deposit that is not paid is told within so many days before the order is due (ours)."""
OWED_AFTER = 14
"""Days after which what is owed is told (ours)."""


def rows_of(sight: Sight) -> tuple[OrderRow, ...]:
    """The orders as they stand this morning."""
    return tuple(order_rows(sight.farm, sight.day))


def _due(sight: Sight) -> tuple[OrderRow, ...]:
    return tuple(
        row
        for row in sight.once(rows_of)
        if (
            row.in_days <= SOON_DAYS
            if row.status in ("open", "picked", "packed")
            else row.in_days <= -OWED_AFTER
        )
    )


def _asked(rows: Sequence[OrderRow]) -> Iterator[Asked]:
    for row in rows:
        is_owed = row.status in ("owed", "credit")
        asked = Asked(
            ("order", row.order),
            row,
            row.order,
            _do(row),
            row.buyer,
            when=late_text(row.in_days),
            days=row.in_days,
            zone="also" if is_owed else "promised",
        )
        yield asked if is_owed else long_past(asked, -row.in_days)


def _do(row: OrderRow) -> str:
    if row.status == "owed":
        return f"owes {money(row.owed_cents)}"
    if row.in_days < -FORGOTTEN_DAYS and row.status == "open":
        return "handed over, short, or cancel?"
    if row.status == "credit":
        return f"give back {money(-row.owed_cents)}"
    if row.status == "open":
        return f"{row.open} of {row.asked} to pick" if row.picked else f"pick {row.open}"
    return f"hand over ({row.status})"


def _without_deposit(sight: Sight) -> tuple[OrderRow, ...]:
    """The orders of which the deposit is not paid, within the weeks before they are due."""
    return tuple(
        row for row in sight.once(rows_of) if row.deposit_due_cents and 0 <= row.in_days <= DEPOSIT_DAYS
    )


def _asked_deposit(rows: Sequence[OrderRow]) -> Iterator[Asked]:
    for row in rows:
        yield Asked(
            ("order", row.order),
            row,
            row.order,
            f"deposit {money(row.deposit_due_cents)} not yet paid",
            row.buyer,
            when=late_text(row.in_days),
            days=row.in_days,
            zone="also",
        )


PARTS = (
    Part("orders", "Orders", 8, _due, _asked),
    Part("deposits", "Deposits", 62, _without_deposit, _asked_deposit),
)
