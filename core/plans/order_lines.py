"""A line that plans for an order: what it would write, item by item, and what cannot be planned."""

from __future__ import annotations

from dataclasses import replace

from core.language.line import Line, Reading, Refused
from core.order_rows import Order
from core.orders.meant import item_meant, says_item
from core.plans import to_buy
from core.plans.for_orders import plan_order
from core.plans.preview import Preview
from core.problems import Problem
from core.units import dated_text, short_day


def plan_for(line: Line, kept: Order) -> Reading:
    """ "plan O014", "plan O014 zinnia": what is open of an order, or of one item of it."""
    if kept.cancelled_on:
        raise Refused(
            f"{kept.code} of {kept.buyer} was cancelled on {dated_text(kept.cancelled_on)}.", "impossible"
        )
    only = item_meant(kept, line) if line.free() else None
    for token in line.free():
        token.taken = only is not None and says_item(only, token.low)
    line.refuse_leftovers()
    found = plan_order(line.farm, kept, line.today, only=only, mark=line.known.mark, warmth=line.known.warmth)
    if not found:
        raise Refused(f"Nothing is open for {kept.code} that is not planned for already.", "impossible")
    whys = [
        f"{one.text}: {f'{one.met}; ' if one.met else ''}{one.found.sentence}"
        for one in found
        if isinstance(one.found, Problem)
    ]
    has = [f"{one.text}: {one.met}" for one in found if one.found is None]
    made = [(one, one.found) for one in found if one.found and not isinstance(one.found, Problem)]
    if not made and not whys:
        raise Refused(f"{kept.code} needs no plan. {'. '.join(has)}.", "impossible")
    if not made:
        told = "".join(f" {one}." for one in has)
        raise Refused(f"{kept.code} cannot be planned for. {' '.join(whys)}{told}", "impossible")
    for one, view in made:
        codes = ", ".join(draft.fields["plan"] for draft in view.drafts)
        told = f"{codes}{_begins(view)}" if codes else "nothing is to be grown for it"
        line.remark(f"{one.text}: {told}{f'; beside {one.met}' if one.met else ''}")
        if one.not_covered:
            line.remark(f"not covered of {one.item.crop}: {one.not_covered}")
    for told in to_buy.told(line.farm, line.today, [draft for _, view in made for draft in view.drafts]):
        line.remark(told)
    for told in has:
        line.remark(f"{told}: nothing to plan")
    for why in whys:
        line.remark(f"not planned: {why}")
    says = f"plan for {kept.code} {kept.buyer}: {'; '.join(one.text for one, _ in made)}"
    if whys:
        says += f"; not {', '.join(one.text for one in found if isinstance(one.found, Problem))}"
    return replace(line.reading(*(draft for _, view in made for draft in view.drafts)), says=says)


def _begins(view: Preview) -> str:
    """ ", begin 19 Mar, kept 95 times in 100"."""
    grown = [plan for plan in view.plans if plan.plants_out]
    if not grown:
        return ", from what stands" if view.plans else ""
    first = min(plan.sow_on or plan.in_bed_from for plan in grown)
    chance = (
        view.pieces.chance if view.pieces is not None else min(plan.promise.chance for plan in view.plans)
    )
    sure = f", kept {round(100 * chance)} times in 100" if not view.weeks else ""
    return f", begin {short_day(first)}{sure}"
