"""Which delivery of a standing order is the least sure: the one by which the whole of it is promised."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from core.farm import Farm
from core.promising.claims import Claim
from core.promising.outlook import LOOK, looked_at
from core.promising.supply import supply_for
from core.reckon.promise.allocation import served


def least_sure(farm: Farm, today: date, promised: Sequence[Claim], each: Sequence[Claim]) -> int:
    """The place of the claim in `each` that is kept in the fewest seasons, served after all that is promised and after
    those before it; of several the one that lacks the most stems, of these the first."""
    supply = supply_for(farm, today, [*promised, *each], each)
    places = {claim.key: place for place, claim in enumerate(supply.whose)}
    kept, lacks = [0] * len(each), [0] * len(each)
    for n in looked_at(LOOK):
        got = served(supply.needs, supply.lots(n))
        for i, claim in enumerate(each):
            place = places.get(claim.key)  # none where pieces that are made serve it
            short = supply.whose[place].wanted - got[place] if place is not None else 0
            kept[i] += short <= 0
            lacks[i] += max(short, 0)
    return min(range(len(each)), key=lambda i: (kept[i], -lacks[i]))
