"""Plans for what an order asks for: each item a plan of its own, those that cannot be planned named with the reason."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from datetime import date
from math import ceil
from typing import NamedTuple

from core.farm import Farm
from core.order_rows import Item, ItemForm, Order
from core.orders.item_text import item_text
from core.pieces.recipes import recipe_named
from core.places import Use
from core.plans.preview import Preview, reckon
from core.plans.serving import number_of, plans_for
from core.plans.succession import WarmthOf
from core.plans.wish import Wanted, WantedPieces
from core.problems import Problem

USE_OF: dict[ItemForm, Use] = {"fresh": "fresh", "dry": "dry", "wired": "wire"}
WEEK = 7


class PlannedItem(NamedTuple):
    """An item of an order, how it is told, and the plan for it, or why there is none."""

    item: Item
    text: str
    found: Preview | Problem


def plan_order(
    farm: Farm,
    order: Order,
    day: date,
    *,
    only: Item | None = None,
    mark: str = "",
    warmth: WarmthOf | None = None,
) -> tuple[PlannedItem, ...]:
    """Plans for what is still open of each item (or of the one) and not planned for yet; none where nothing is."""
    found: list[PlannedItem] = []
    counted_on: set[str] = set()
    after = 0
    for item in order.wanted_items:
        for wanted, text in _wishes(farm, order, item, day) if only in (None, item) else ():
            made = _reckoned(farm, wanted, day, mark, warmth, after, counted_on)
            if isinstance(made, Preview):
                made = _for_order(made, order, item)
                after += len(made.drafts)
                counted_on.update(code for plan in made.plans for code in plan.stands)
            found.append(PlannedItem(item, text, made))
    return tuple(found)


def _reckoned(
    farm: Farm,
    wanted: Wanted | WantedPieces | Problem,
    day: date,
    mark: str,
    warmth: WarmthOf | None,
    after: int,
    but: Collection[str],
) -> Preview | Problem:
    if isinstance(wanted, Problem):
        return wanted
    return reckon(farm, wanted, day, mark=mark, warmth=warmth, after=after, but=but)


def _for_order(made: Preview, order: Order, item: Item) -> Preview:
    """The same, each entry saying which item it is for; of pieces the whole says it for its parts."""
    said = {
        "order": order.code,
        "order_ref": order.made_by,
        "item": item.place,
        "item_ref": item.id,
        "asked": item.number,
    }
    drafts = (
        draft if "part_of" in draft.fields else replace(draft, fields={**draft.fields, **said})
        for draft in made.drafts
    )
    return replace(made, drafts=tuple(drafts))


def _wishes(
    farm: Farm, order: Order, item: Item, day: date
) -> Iterator[tuple[Wanted | WantedPieces | Problem, str]]:
    """What is to be planned for an item: by the week where it is delivered so, else a wish for each delivery."""
    tallies = order.tallies()
    open_now = [
        (number, due, tallies[item.id, number].open)
        for number, due in order.deliveries()
        if tallies[item.id, number].open
    ]
    coming = [(due, number) for _, due, number in open_now if due >= day]
    if open_now and not coming:
        yield Problem("its day has gone by.", "impossible"), item_text(item)
        return
    planned = sum(map(number_of, plans_for(farm, order, item)))
    if planned and order.every_days:
        return
    if order.every_days == WEEK and len(coming) > 1 and item.form != "piece":
        text = f"{item_text(item)} a week"
        most = max(number for _, number in coming)
        yield _wish(farm, item, _with_spare(order, most), start=coming[0][0], until=coming[-1][0]), text
        return
    for due, number in coming:
        left = _with_spare(order, number) - planned
        planned = max(planned - _with_spare(order, number), 0)
        if left > 0:
            yield _wish(farm, item, left, by=due), item_text(item, left)


def _with_spare(order: Order, number: int) -> int:
    return ceil(round(number * (1 + order.spare_pct / 100), 6))


def _wish(
    farm: Farm,
    item: Item,
    number: int,
    *,
    by: date | None = None,
    start: date | None = None,
    until: date | None = None,
) -> Wanted | WantedPieces | Problem:
    if item.form == "piece":
        recipe = recipe_named(farm, item.recipe)
        if recipe is None or by is None:
            return Problem(f"there is no recipe {item.recipe}: write it first.", "unknown")
        return WantedPieces(recipe, number, by)
    color = item.colors[0] if item.colors else None
    return Wanted(item.crop, number, False, USE_OF[item.form], by, start, until, variety=color)
