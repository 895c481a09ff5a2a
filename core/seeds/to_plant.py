"""What the plans take of tubers, bulbs, corms and young plants, beside what lies in store: the rest is to be bought."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from core.crops.course import is_stored, roots
from core.farm import Farm
from core.plan_rows import Kept
from core.settings.sheets import farm_sheet
from core.tubers.stock import Stock, Tubers
from core.units import plural


class Wanted(NamedTuple):
    """So many to plant on a day, of one crop and variety (any variety, where none is said), for a plan."""

    crop: str
    variety: str | None
    plants: int
    on: str
    plan: str


class ToPlant(NamedTuple):
    """One crop and variety to plant: how many the plans want, how many of those come out of store, how many are to be
    bought. `word` is what they are ("tubers", "plants"), `on` the first day on which any goes into the bed."""

    crop: str
    variety: str | None
    need: int
    there: int
    buy: int
    word: str
    on: str
    plans: tuple[str, ...]

    @property
    def says(self) -> str:
        """ "79 tubers are to be bought: 30 in store of the 109"."""
        be = "is" if self.buy == 1 else "are"
        there = f"{self.there} in store of the {self.need}" if self.there else "none in store for it"
        return f"{plural(self.buy, self.word.removesuffix('s'))} {be} to be bought: {there}"


def to_plant(farm: Farm, day: date, more: Sequence[Wanted] = ()) -> list[ToPlant]:
    """What the plans that are not planted yet, and `more`, want of each crop and variety; of what lies in store the
    first to be planted takes first, and a variety its own before any of the crop will do."""
    tubers = farm.part(Tubers)
    wanted = sorted((*_of_plans(farm, day), *more), key=lambda one: (one.variety is None, one.on))
    left = {id(stock): max(stock.there, 0) for stock in tubers.all()}
    found: dict[tuple[str, str], ToPlant] = {}
    for one in wanted:
        taken = _take(_stocks(tubers, one), one.plants, left)
        key = one.crop, (one.variety or "").lower()
        word = word_for(farm, one.crop, one.variety)
        so_far = found.get(key, ToPlant(one.crop, one.variety, 0, 0, 0, word, one.on, ()))
        found[key] = so_far._replace(
            need=so_far.need + one.plants,
            there=so_far.there + taken,
            buy=so_far.buy + one.plants - taken,
            on=min(so_far.on, one.on),
            plans=(*so_far.plans, one.plan),
        )
    return list(found.values())


def word_for(farm: Farm, crop: str, variety: str | None = None) -> str:
    """What is planted of a crop that is not raised from seed: "tubers", "bulbs", "corms"; else "plants"."""
    sheet = farm_sheet(farm, crop, None, variety)
    return roots(sheet) if sheet is not None and is_stored(sheet) else "plants"


def _of_plans(farm: Farm, day: date) -> Iterator[Wanted]:
    for plan in farm.plans.values():
        if (
            not plan.is_live
            or plan.sow_on is not None
            or plan.set_out_on is None
            or plan.by < day.isoformat()
        ):
            continue
        if left := _left_to_plant(farm, plan):
            yield Wanted(plan.crop, plan.variety, left, plan.set_out_on, plan.code)


def _left_to_plant(farm: Farm, plan: Kept) -> int:
    """Plants of a plan that do not stand in a bed yet; none where what was planted was not counted."""
    planted = [p.plants for out in plan.out if (p := farm.plantings.get(out.planting)) is not None]
    if None in planted:
        return 0
    return max((plan.plants or 0) - sum(count or 0 for count in planted), 0)


def _stocks(tubers: Tubers, wanted: Wanted) -> list[Stock]:
    """What in store will do: of the variety; where none is said, any of the crop."""
    low = (wanted.variety or "").lower()
    return [s for s in tubers.of(wanted.crop, None) if not low or (s.variety or "").lower() == low]


def _take(stocks: Sequence[Stock], count: int, left: dict[int, int]) -> int:
    """How many of those wanted come out of store; they are taken out of what is `left`."""
    taken = 0
    for stock in stocks:
        some = min(left[id(stock)], count - taken)
        left[id(stock)] -= some
        taken += some
    return taken
