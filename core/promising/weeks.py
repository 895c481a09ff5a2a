"""A crop against the weeks: what is on hand, what is promised, and what is free week by week."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import NamedTuple

from core.farm import Farm
from core.promising.claims import LAST, Claim, Sort, as_need, made_pieces
from core.promising.free_today import free_today
from core.promising.shortages import Lacking, lacking
from core.promising.supply import Supply, supply_for
from core.reckon.promise.allocation import Stock, in_turn
from core.reckon.promise.needs import PieceNeed
from core.units import monday_of

WEEKS = 8
MOST_PIECES = 50
"""More pieces of one kind are not counted out for a week."""
SATURDAY = 5
"""A week is told by its Saturday: most markets and weddings are on it (common practice)."""


class Week(NamedTuple):
    """What is free for the Saturday of a week: `free` as usual, `poor` where a fifth less comes of all that is to come
    and nothing of what is not sown yet. `due` is what is promised for its days, `short` what of that is lacking."""

    saturday: str
    free: int
    poor: int
    due: int
    short: int

    @property
    def last(self) -> str:
        """The last day of the week."""
        return (monday_of(date.fromisoformat(self.saturday)) + timedelta(days=6)).isoformat()


class Promise(NamedTuple):
    """One promise of it: for whom, when, how many, and how many of them will be short as usual."""

    order: str
    buyer: str
    due: str
    wanted: int
    short: int


class CropWeeks(NamedTuple):
    """One crop in one form: stems on hand, promised, and free to hand over today without making a promise worse; or
    the pieces of one recipe, which stands as the crop, in the form "piece"."""

    crop: str
    form: str
    on_hand: int
    promised: int
    free: int
    weeks: tuple[Week, ...]
    promises: tuple[Promise, ...]


def crop_weeks(farm: Farm, today: date, promised: Sequence[Claim], weeks: int = WEEKS) -> list[CropWeeks]:
    """Every crop in every form of which anything is there, promised, or to come within these weeks: what is promised
    for the nearest day first, then by name."""
    saturdays = [max(monday_of(today) + timedelta(days=SATURDAY, weeks=n), today) for n in range(weeks)]
    supply = supply_for(farm, today, promised, (), (today, *saturdays))
    usual, poor = _left(supply, worse=False), _left(supply, worse=True)
    short = {(one.order, one.item, one.due): one for one in lacking(supply, today)}
    there = _there(supply)
    sorts: dict[tuple[str, str], list[Sort]] = {}
    for sort in supply.sorts:
        sorts.setdefault((sort.crop, sort.form), []).append(sort)
    of_claims: dict[tuple[str, str], list[Claim]] = {}
    for claim in supply.claims:
        for crop, form in _told_with(claim):
            of_claims.setdefault((crop, form), []).append(claim)
    found = []
    for crop, form in sorts | of_claims:
        of, mine = sorts.get((crop, form), []), of_claims.get((crop, form), [])
        accepts = tuple(sort.key for sort in of)
        told = tuple(_promise(claim, short) for claim in mine)
        on_hand, last = there.get((crop, form), (0, today))
        free = on_hand
        # what nobody may take before it is past its days is free
        if on_hand and any(claim.stems_by <= last and any(map(claim.takes, of)) for claim in supply.claims):
            free = free_today(farm, today, promised, crop, form)
        row = CropWeeks(
            crop,
            form,
            on_hand,
            sum(_stems(claim, crop) for claim in mine),
            free,
            tuple(_week(day, usual.free(accepts, day), poor.free(accepts, day), told) for day in saturdays),
            told,
        )
        if row.on_hand or row.promised or any(week.free for week in row.weeks):
            found.append(row)
    found += _pieces(farm, supply, promised, saturdays, (usual, poor), short)
    return sorted(
        found, key=lambda row: (not row.promises, *(p.due for p in row.promises[:1]), row.crop, row.form)
    )


def _there(supply: Supply) -> dict[tuple[str, str], tuple[int, date]]:
    """(crop, form) -> stems of it on hand that are good today, and the last day on which any of them are."""
    found: dict[tuple[str, str], tuple[int, date]] = {}
    for source in supply.sources[: supply.there]:
        for lot in source.lots(None):
            if lot.good_through >= supply.day:
                key = source.crop, source.sorts[0].form
                stems, last = found.get(key, (0, supply.day))
                found[key] = stems + lot.amount, max(last, lot.good_through)
    return found


def free_now(farm: Farm, today: date, promised: Sequence[Claim]) -> list[CropWeeks]:
    """What is on hand, promised and free today of every crop that is promised; without the weeks."""
    return [row for row in crop_weeks(farm, today, promised, 0) if row.promised] if promised else []


def _left(supply: Supply, *, worse: bool) -> Stock:
    stock = Stock.of(supply.lots(None, planned=not worse, worse=worse))
    in_turn(stock, supply.needs)
    return stock


def _pieces(
    farm: Farm,
    supply: Supply,
    promised: Sequence[Claim],
    saturdays: Sequence[date],
    stocks: tuple[Stock, Stock],
    short: dict[tuple[str, str, str], Lacking],
) -> Iterator[CropWeeks]:
    """The pieces that are promised: those made, those of them that are free, and how many more could be made."""
    of_recipe: dict[str, list[Claim]] = {}
    for claim in promised:
        if claim.recipe is not None:
            of_recipe.setdefault(claim.recipe.code, []).append(claim)
    made = made_pieces(farm)
    for code, mine in of_recipe.items():
        told = tuple(_promise(claim, short) for claim in mine)
        free = supply.made.get(code, 0)
        asked = replace(mine[0], rank=LAST, wanted=MOST_PIECES)
        weeks = []
        for day in saturdays:
            need = as_need(replace(asked, due=day), supply.sorts)
            counts = [
                free + stock.free_pieces(need) if isinstance(need, PieceNeed) else 0 for stock in stocks
            ]
            weeks.append(_week(day, counts[0], counts[1], told))
        wanted = sum(claim.wanted for claim in mine)
        yield CropWeeks(code, "piece", made.get(code, 0), wanted, free, tuple(weeks), told)


def _week(day: date, free: int, poor: int, promises: Sequence[Promise]) -> Week:
    first, last = monday_of(day).isoformat(), (monday_of(day) + timedelta(days=6)).isoformat()
    mine = [promise for promise in promises if first <= promise.due <= last]
    return Week(
        day.isoformat(),
        free,
        poor,
        sum(promise.wanted for promise in mine),
        sum(promise.short for promise in mine),
    )


def _told_with(claim: Claim) -> set[tuple[str, str]]:
    """The (crop, form) with which a claim is told: of several that would do the one liked best; of a piece each crop
    that one of its parts names."""
    if claim.recipe is None:
        return {(claim.liked[0].crop, claim.form)}
    return {(crop, part.form) for part in claim.parts if (crop := claim.crop_of(part)) is not None}


def _stems(claim: Claim, crop: str) -> int:
    if claim.recipe is None:
        return claim.wanted
    return round(claim.wanted * sum(part.number for part in claim.parts if claim.crop_of(part) == crop))


def _promise(claim: Claim, short: dict[tuple[str, str, str], Lacking]) -> Promise:
    lacks = short.get((claim.order, claim.name, claim.due.isoformat()))
    return Promise(
        claim.order, claim.buyer, claim.due.isoformat(), claim.wanted, lacks.short if lacks is not None else 0
    )
