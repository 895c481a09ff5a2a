"""Which plans are kept for which item of an order, and whether the order has changed since."""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

from core.farm import Farm
from core.order_rows import Item, Order
from core.plan_rows import Kept, KeptPieces
from core.register import same
from core.units import day_from_iso, day_text, plural

AnyPlan: TypeAlias = Kept | KeptPieces
FORM_OF = {"fresh": "fresh", "dry": "dry", "wire": "wired"}


class Served(NamedTuple):
    """The order and the item that a plan is for; None where the book has them no more."""

    order: Order | None
    item: Item | None


def served(farm: Farm, plan: AnyPlan) -> Served | None:
    """What a plan is for; None where it is for no order."""
    if plan.serves is None:
        return None
    order = same(plan.serves.order, plan.serves.order_ref, farm.orders)
    return Served(order, None if order is None else order.item(plan.serves.item_ref))


def plans_for(farm: Farm, order: Order, item: Item | None = None) -> list[AnyPlan]:
    """The plans that are kept for an order, or for one item of it."""
    every: list[AnyPlan] = [*farm.plans.values(), *farm.piece_plans.values()]
    return [
        plan
        for plan in every
        if plan.is_live
        and plan.serves is not None
        and plan.serves.order_ref == order.made_by
        and (item is None or plan.serves.item_ref == item.id)
    ]


def grown_for(farm: Farm, order: Order, item: Item | None = None) -> frozenset[str]:
    """The codes of the plans of stems for an order, or for one item of it, of pieces those of their parts; and of the
    trays and plantings that they count on."""
    kept = plans_for(farm, order, item)
    plans = [plan for plan in kept if isinstance(plan, Kept)]
    if pieces := {plan.code for plan in kept if isinstance(plan, KeptPieces)}:
        plans += [plan for plan in farm.plans.values() if plan.is_live and plan.part_of in pieces]
    counted = (code for plan in plans for code, *_ in (*plan.sown, *plan.out, *plan.beside))
    return frozenset((*(plan.code for plan in plans), *counted))


def number_of(plan: AnyPlan) -> int:
    """How many stems or pieces a plan is for."""
    return plan.stems if isinstance(plan, Kept) else plan.count


def order_text(farm: Farm, plan: AnyPlan) -> str:
    """ "for O014 Fern Hollow"; "" where it is for no order."""
    found = served(farm, plan)
    if found is None or plan.serves is None:
        return ""
    return (
        f"for {found.order.code} {found.order.buyer}"
        if found.order is not None
        else f"for {plan.serves.order}"
    )


class Changed(NamedTuple):
    """What has become of the order that a plan is for, in few words and in full with what can be done."""

    short: str
    says: str


def changed(farm: Farm, plan: AnyPlan) -> Changed | None:
    """Whether the order asks for something else than when it was planned for; None where it does not, or is none."""
    found = served(farm, plan)
    if found is None or plan.serves is None or not plan.is_live:
        return None
    order, item, code = found.order, found.item, plan.code
    if order is None or item is None:
        return Changed(
            f"{plan.serves.order} was taken back",
            f"{plan.serves.order}, for which {code} was made, was taken back: 'drop {code}', or promise it to another.",
        )
    if order.cancelled_on or item.dropped_on:
        what = "cancelled" if order.cancelled_on else f"dropped {item.name}"
        done = "was cancelled" if order.cancelled_on else f"asks for no {item.name} any more"
        return Changed(
            f"{order.code} {what}",
            f"{order.code} of {order.buyer} {done}: {code} is for nobody. 'drop {code}', or promise it to another.",
        )
    if order.is_delivered:
        if order.handed:
            return None
        return Changed(
            f"{order.code} wants nothing more",
            f"{order.code} of {order.buyer} wants nothing more: {code} is for nobody. "
            f"'drop {code}', or promise it to another.",
        )
    if not _is_same(plan, item):
        return Changed(
            f"{order.code} asks for {item.name}",
            f"{order.code} of {order.buyer} asks for {item.name} {item.form} now, and {code} is for something else: "
            f"'drop {code}', then 'plan {order.code}'.",
        )
    if item.number != plan.serves.asked:
        more = item.number - plan.serves.asked
        to = (
            f"'{code} was {number_of(plan) + more}'"
            if isinstance(plan, Kept) and number_of(plan) + more > 0
            else ""
        )
        do = to or f"'drop {code}', then 'plan {order.code}'"
        way = f"{plural(abs(more), 'stem') if isinstance(plan, Kept) else abs(more)} {'more' if more > 0 else 'fewer'}"
        return Changed(
            f"{order.code} asks for {item.number}",
            f"{order.code} of {order.buyer} asks for {item.number} {item.name} now, {way} than when {code} was made: "
            f"{do}.",
        )
    return _moved(plan, order)


def _is_same(plan: AnyPlan, item: Item) -> bool:
    if isinstance(plan, KeptPieces):
        return item.recipe == plan.recipe
    return item.crop == plan.crop and item.form == FORM_OF[plan.use]


def _moved(plan: AnyPlan, order: Order) -> Changed | None:
    """The day of an order for one day that is earlier than the plan's; of fresh stems, which do not wait, another."""
    if order.every_days or order.due_on == plan.by:
        return None
    if order.due_on > plan.by and not (isinstance(plan, Kept) and plan.use == "fresh"):
        return None
    due = day_from_iso(order.due_on)
    assert due is not None
    do = f"'{plan.code} was by {due.month}-{due.day}'" if isinstance(plan, Kept) else f"'drop {plan.code}'"
    return Changed(
        f"{order.code} is due {day_text(order.due_on)}",
        f"{order.code} of {order.buyer} is due {day_text(order.due_on)} now, and {plan.code} is for "
        f"{day_text(plan.by)}: {do}.",
    )
