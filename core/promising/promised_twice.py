"""What two machines, apart, promised of the same stems: told when their books come together."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import date

from core.farm import Farm
from core.problems import Matter
from core.promising.claims import Claim
from core.promising.open_claims import open_claims
from core.promising.shortages import Lacking, shortages
from core.units import day_text


def lacking_now(farm: Farm, today: date) -> list[Lacking]:
    """The promises that fall short in a usual season."""
    return shortages(farm, today, open_claims(farm, today))


def promised_twice(
    farm: Farm, today: date, before: Sequence[Lacking], known: Collection[str]
) -> Iterator[Matter]:
    """The promises that fall short now and did not `before` orders came that were not `known` (by the id of the entry
    that made them), each with the buyer who was promised the same."""
    came = [order for order in farm.orders.live() if order.made_by not in known]
    if not came:
        return
    had = {(one.order, one.item, one.due): one.short for one in before}
    claims = open_claims(farm, today)
    for one in lacking_now(farm, today):
        if one.short <= had.get((one.order, one.item, one.due), 0):
            continue
        other = _other(claims, one)
        if other is None:
            continue
        whose = f"{one.buyer} ({one.order}, {day_text(one.due)})"
        theirs = f"{other.buyer} ({other.order}, {day_text(other.due.isoformat())})"
        yield Matter(
            f"{one.short} of {one.wanted} {one.item} for {whose} are promised to {theirs} as well: cut or buy more, or "
            f"tell one of them short ('short {one.short} {one.order}').",
            "settle",
            key=("promised twice", one.order, one.item, one.due),
            amount=one.short,
        )


def _other(claims: Sequence[Claim], short: Lacking) -> Claim | None:
    """The promise that is served before the one that falls short, and takes what it would have."""
    key = (short.order, short.item, short.due)
    mine = next((c for c in claims if (c.order, c.name, c.due.isoformat()) == key), None)
    if mine is None:
        return None
    shared = [c for c in claims if c.order != mine.order and c.rank < mine.rank and _shares(c, mine)]
    return max(shared, key=lambda claim: claim.rank, default=None)


def _shares(one: Claim, other: Claim) -> bool:
    if not one.forms & other.forms:
        return False
    return one.crops is None or other.crops is None or bool(one.crops & other.crops)
