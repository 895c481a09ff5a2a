"""A question as it is typed, answered beside all that is promised."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from core.book.entry import Draft
from core.crops.color import no_color
from core.farm import Farm
from core.places import USE_OF_FORM
from core.problems import Problem
from core.promising.answer import Answer, answer_for
from core.promising.asked import Asked, asked_in, read_asked
from core.promising.claims import LAST, Claim
from core.promising.field import YEAR, not_counted
from core.promising.least_sure import least_sure
from core.promising.on_hand import on_hand
from core.promising.open_claims import open_claims
from core.promising.supplies import with_supplies
from core.units import day_text, plural

MOST_NAMED = 4
"""Of lots and of plans no more are named."""


class Reply(NamedTuple):
    """The answer for one thing asked for, and how that is told: "40 bu lavender dry"."""

    answer: Answer
    text: str
    deliveries: int = 1
    """Of so many of a standing order it is the answer for the worst."""


def ask(farm: Farm, today: date, text: str, *, briefly: bool = False) -> tuple[Reply, ...] | Problem:
    """What "lavender dry 40bu 10-15" comes to; of several things each beside those before it. Roughly, where it is
    asked at every key."""
    asked = read_asked(text, farm, today)
    return (
        asked
        if isinstance(asked, Problem)
        else _replies(farm, today, asked, briefly=briefly, roughly=briefly)
    )


def ask_for_order(
    farm: Farm, today: date, drafts: Sequence[Draft], *, roughly: bool = False
) -> tuple[Reply, ...]:
    """What an order comes to that is being written; roughly, where it is asked at every key."""
    return _replies(farm, today, asked_in(drafts, farm), briefly=True, roughly=roughly)


def _replies(
    farm: Farm, today: date, asked: Sequence[Asked], *, briefly: bool = False, roughly: bool = False
) -> tuple[Reply, ...]:
    claims = list(open_claims(farm, today))
    replies = []
    rank = LAST - sum(1 + len(one.later) for one in asked)
    for n, one in enumerate(asked):
        each = [
            replace(one.claim, due=day, rank=rank + i, order="asked for", item=f"{n}/{i}")
            for i, day in enumerate((one.claim.due, *one.later))
        ]
        rank += len(each)
        worst = least_sure(farm, today, claims, each) if one.later else 0
        claim, before = replace(one.claim, due=each[worst].due), [*claims, *each[:worst]]
        uncounted = tuple(_not_counted(farm, today, claim))
        found = answer_for(
            farm,
            today,
            claim,
            before,
            uncounted=uncounted,
            remarks=(*one.remarks, *uncounted, *_planned_for(farm, today, claim)),
            briefly=briefly,
            roughly=roughly,
        )
        replies.append(Reply(with_supplies(farm, found, claim, before), one.text, len(each)))
        claims += each
    return tuple(replies)


def _not_counted(farm: Farm, today: date, claim: Claim) -> Iterator[str]:
    """What stands of it and gives nothing as far as the book can say, and why."""
    for planting in farm.plantings.live():
        if any(one.takes(planting.crop, planting.variety or "") for one in claim.liked) and (
            why := not_counted(farm, planting, today, claim.due)
        ):
            yield f"not counted: {planting.code} in {planting.bed}: {why}"
    yield from _of_no_color(farm, today, claim)


def _of_no_color(farm: Farm, today: date, claim: Claim) -> Iterator[str]:
    """What stands of a crop of which a color is asked for, and is of mixed colors, or of none that was said."""
    colored = {one.crop for one in claim.liked if one.color}
    colored -= {one.crop for one in claim.liked if not one.color}
    for planting in farm.plantings.live():
        in_time = (claim.due - date.fromisoformat(planting.out_on)).days <= YEAR
        if planting.crop in colored and in_time and (told := no_color(planting.variety)):
            yield f"not counted: {planting.code} in {planting.bed}, {told}"
    for tray in farm.trays.live():
        if tray.crop in colored and (told := no_color(tray.variety)):
            yield f"not counted: {tray.code} in trays, {told}"
    yield from _lots_of_no_color(farm, today, claim, colored)


def _lots_of_no_color(farm: Farm, today: date, claim: Claim, colored: set[str]) -> Iterator[str]:
    """The same of what lies and hangs in the shed in the form that is asked for: by why, the most first."""
    stems: dict[str, Counter[str]] = {}
    for source in on_hand(farm, today, colored):
        told, in_form = no_color(source.variety), any(sort.form == claim.form for sort in source.sorts)
        is_good = any(lot.good_through >= claim.due for lot in source.lots(None))
        if told and in_form and is_good:
            stems.setdefault(told, Counter())[source.code] += source.amount
    for told, lots in sorted(stems.items()):
        codes = [code for code, _ in sorted(lots.items(), key=lambda one: (-one[1], one[0]))]
        more = f" and {len(codes) - MOST_NAMED} more" if len(codes) > MOST_NAMED else ""
        yield f"not counted: {', '.join(codes[:MOST_NAMED])}{more}, {told} ({plural(lots.total(), 'stem')})"


def _planned_for(farm: Farm, today: date, claim: Claim) -> Iterator[str]:
    """Plans for what is asked that name a day to come: what they are for counts as promised only once it is ordered."""
    use = USE_OF_FORM.get(claim.form)
    mine = [
        plan
        for plan in farm.plans.values()
        if plan.is_live
        and plan.use == use
        and plan.serves is None
        and plan.by >= today.isoformat()
        and any(one.takes(plan.crop, plan.variety or "") for one in claim.liked)
    ]
    if mine:
        told = ", ".join(f"{plan.code} {plan.stems} by {day_text(plan.by)}" for plan in mine[:MOST_NAMED])
        yield f"planned, and promised only if an order says so: {told}"
