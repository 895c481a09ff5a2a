"""What has to be bought for plans that are being made: tubers, bulbs, corms and plants beyond those in store."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from core.book.entry import Draft
from core.farm import Farm
from core.seeds.to_plant import Wanted, to_plant
from core.text import named


def told(farm: Farm, day: date, drafts: Sequence[Draft]) -> Iterator[str]:
    """What the plans that would be written so take beyond what is in store, what other plans take there left out:
    "79 tubers are to be bought: 30 in store of the 109"."""
    mine = [
        Wanted(of["crop"], of.get("variety"), of["plants"], of["set_out_on"], of["plan"])
        for draft in drafts
        if draft.kind == "planned" and (of := draft.fields) and of.get("set_out_on") and not of.get("sow_on")
        if of.get("plants")
    ]
    before = {(one.crop, one.variety): one for one in to_plant(farm, day)}
    for one in to_plant(farm, day, mine) if mine else ():
        was = before.get((one.crop, one.variety))
        needs = [w for w in mine if (w.crop, w.variety) == (one.crop, one.variety)]
        buy = one.buy - (was.buy if was is not None else 0)
        if not needs or buy <= 0:
            continue
        need = sum(w.plants for w in needs)
        own = one._replace(need=need, buy=min(buy, need), there=max(need - buy, 0))
        yield own.says if len(drafts) == 1 else f"{named(one.crop, one.variety)}: {own.says}"
