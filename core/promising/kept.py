"""How surely what is still open of an order that was taken is kept, item by item."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from core.farm import Farm
from core.order_rows import Order
from core.promising.answer import answer_for
from core.promising.claims import Claim
from core.promising.least_sure import least_sure
from core.promising.open_claims import open_claims
from core.promising.told import SAYS, times
from core.units import short_day


def kept(farm: Farm, today: date, order: Order) -> dict[int, str]:
    """Item by its number in the order -> "no (0 in 100)", beside all that is served before it; of several deliveries
    that of the worst, with its day. What is picked, told short or long overdue has none."""
    claims = open_claims(farm, today)
    found = {}
    for item in order.wanted_items:
        each = [claim for claim in claims if claim.order == order.code and _is_of(claim, item.id)]
        if not each:
            continue
        others = [claim for claim in claims if claim not in each]
        worst = each[least_sure(farm, today, others, each)] if len(each) > 1 else each[0]
        before = [claim for claim in claims if claim.rank < worst.rank]
        found[item.place] = "".join(_told(farm, today, worst, before, len(each)))
    return found


def _is_of(claim: Claim, item_id: str) -> bool:
    return claim.item.rpartition("/")[0] == item_id


def _told(farm: Farm, today: date, claim: Claim, before: list[Claim], deliveries: int) -> Iterator[str]:
    answer = answer_for(farm, today, claim, before, briefly=True)
    yield f"{SAYS[answer.answer]} ({times(answer.chance)} in 100)"
    if deliveries > 1:
        yield f" on {short_day(claim.due)}, the worst of {deliveries} deliveries"
