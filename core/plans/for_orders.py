"""Plans for what an order asks for: each item a plan of its own, those that cannot be planned named with the reason."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
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
from core.promising.met import NOTHING, Met, met
from core.promising.outlook import SURE
from core.units import short_day

USE_OF: dict[ItemForm, Use] = {"fresh": "fresh", "dry": "dry", "wired": "wire"}
WEEK = 7
MOST_TOLD = 6
"""So many deliveries that are not covered are named; more are counted."""


class PlannedItem(NamedTuple):
    """An item of an order, how it is told, and the plan for it, or why there is none; None where it is met without.

    `met` says what there is and grows of it already, "" where nothing is; `lacking` are the deliveries of a wish by the
    week that lack something, and how much.
    """

    item: Item
    text: str
    found: Preview | Problem | None
    met: str = ""
    lacking: tuple[tuple[date, int], ...] = ()

    @property
    def not_covered(self) -> str:
        """The deliveries for which the plan gives too little in a usual season: "10 Jul (11 of 40), 17 Jul (none)"."""
        if not isinstance(self.found, Preview):
            return ""
        given = {week.end: week.expected for week in self.found.weeks}
        if not given and self.lacking:
            given = dict(self.lacking[-1:])
        short = [(due, given.get(due, 0), count) for due, count in self.lacking if given.get(due, 0) < count]
        told = [
            f"{short_day(due)} ({f'{some} of {count}' if some else 'none'})" for due, some, count in short
        ]
        more = [f"{len(told) - MOST_TOLD} more"] if len(told) > MOST_TOLD else []
        return ", ".join((*told[:MOST_TOLD], *more))


class _Wish(NamedTuple):
    """What is to be planned for an item, None where it is met, how it is told, and what it has already."""

    wanted: Wanted | WantedPieces | Problem | None
    text: str
    has: Met = NOTHING
    of: int = 0
    lacking: tuple[tuple[date, int], ...] = ()


def plan_order(
    farm: Farm,
    order: Order,
    day: date,
    *,
    only: Item | None = None,
    mark: str = "",
    warmth: WarmthOf | None = None,
) -> tuple[PlannedItem, ...]:
    """Plans for what is still open of each item (or of the one), is not planned for yet, and is not likely met by what
    is on hand and what grows; none where nothing is open and unplanned."""
    found: list[PlannedItem] = []
    counted_on: set[str] = set()
    after = 0
    there = met(farm, day, order)
    for item in order.wanted_items:
        for wish in _wishes(farm, order, item, day, there) if only in (None, item) else ():
            but = counted_on | wish.has.counted
            made = (
                None if wish.wanted is None else _reckoned(farm, wish.wanted, day, mark, warmth, after, but)
            )
            if isinstance(made, Preview):
                made = _for_order(made, order, item)
                after += len(made.drafts)
                counted_on.update(code for plan in made.plans for code in plan.stands)
            found.append(PlannedItem(item, wish.text, made, _met_text(wish.has, wish.of), wish.lacking))
    return tuple(found)


def _met_text(has: Met, of: int) -> str:
    """ "19 on hand, the rest from P53 in bed b8, kept 86 times in 100"."""
    is_all = sum(one.number for one in has.sources) >= of
    parts = []
    for n, one in enumerate(has.sources, 1):
        is_rest = is_all and n == len(has.sources) > 1
        where = "on hand" if one.on_hand else f"from {one.code} {one.where}".rstrip()
        number = f"{one.number}" if one.on_hand else f"about {one.number}"
        parts.append(f"{'the rest' if is_rest else number} {where}")
    if is_all and parts and has.chance < SURE:
        parts.append(f"kept {round(100 * has.chance)} times in 100 as it stands")
    return ", ".join(parts)


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
    farm: Farm, order: Order, item: Item, day: date, there: Mapping[tuple[str, int], Met]
) -> Iterator[_Wish]:
    """What is to be planned for an item: by the week where it is delivered so, else a wish for each delivery."""
    tallies = order.tallies()
    open_now = [
        (number, due, tallies[item.id, number].open)
        for number, due in order.deliveries()
        if tallies[item.id, number].open
    ]
    coming = [(due, number, there.get((item.id, n), NOTHING)) for n, due, number in open_now if due >= day]
    if open_now and not coming:
        yield _Wish(Problem("its day has gone by.", "impossible"), item_text(item))
        return
    planned = sum(map(number_of, plans_for(farm, order, item)))
    if planned and order.every_days:
        return
    lacking = [(due, _lacking(order, number, has), has) for due, number, has in coming]
    if order.every_days == WEEK and len(coming) > 1 and item.form != "piece":
        yield from _weekly(farm, item, day, [one for one in lacking if one[1]], lacking)
        return
    for (due, number, has), (_, lacks, _) in zip(coming, lacking, strict=True):
        left, planned = max(lacks - planned, 0), max(planned - lacks, 0)
        if left > 0:
            yield _Wish(_wish(farm, item, left, by=due), item_text(item, left), has, number)
        elif not lacks:
            yield _Wish(None, item_text(item, number), has, number)


def _weekly(
    farm: Farm,
    item: Item,
    day: date,
    lacking: Sequence[tuple[date, int, Met]],
    every: Sequence[tuple[date, int, Met]],
) -> Iterator[_Wish]:
    """One wish by the week, each week ending with a delivery, from the first that lacks something and can still be
    grown for to the last."""
    if not lacking:
        yield _Wish(None, f"{item_text(item)} a week", every[0][2], item.number)
        return
    most = max(number for _, number, _ in lacking)
    first, last = lacking[0][0] - timedelta(days=WEEK - 1), lacking[-1][0]
    while first < day and first + timedelta(days=WEEK) < last:
        first += timedelta(days=WEEK)  # nothing is grown in less than a week
    has = NOTHING._replace(counted=frozenset().union(*(met.counted for _, _, met in every)))
    wanted = (
        _wish(farm, item, most, start=first, until=last)
        if first >= day and len(lacking) > 1
        else _wish(farm, item, most, by=lacking[-1][0])
    )
    short = tuple((due, number) for due, number, _ in lacking)
    yield _Wish(wanted, f"{item_text(item, most)} a week", has, most, short)


def _lacking(order: Order, number: int, has: Met) -> int:
    """How many are to be planned; none where all is likely there but some that would be spare."""
    return 0 if has.number >= number else _with_spare(order, number) - has.number


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
