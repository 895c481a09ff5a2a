"""Whether what is sold, used or picked for one was promised to another: asked about before it is written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from functools import lru_cache
from statistics import median

from core.book.entry import Draft
from core.farm import Farm
from core.places import Place
from core.plans.seasons import SEASONS
from core.promising.claims import Claim, Liked, made_pieces
from core.promising.open_claims import open_claims
from core.promising.outlook import LOOK
from core.promising.supply import Supply, supply_for
from core.reckon.promise.allocation import served
from core.reckon.promise.needs import Lot
from core.units import short_day

OFTEN = 0.05
"""A promise is asked about where in so many seasons less of it would be there: those kept as surely as plans are."""
SEEN = range(0, SEASONS, 2 * LOOK)
"""The seasons looked at: a line is read at every key."""
STEMS, PIECES = ("sold", "used", "picked", "handed over"), ("piece sold", "picked", "handed over")


def doubts(
    farm: Farm, today: date, drafts: Sequence[Draft], _clock: str | None = None
) -> Iterator[tuple[str, str]]:
    """(why, about what) of drafts that take from the stock what is promised to others."""
    own = frozenset(str(draft.fields["order"]) for draft in drafts if "order" in draft.fields)
    promised = open_claims(farm, today)
    if own.issuperset(claim.order for claim in promised):
        return
    taken = Counter[tuple[str, Place]]()
    pieces = Counter[str]()
    for draft in drafts:
        f = draft.fields
        if "lot" in f and draft.kind in STEMS and not Place(f["source"]).is_set_aside:
            taken[f["lot"], Place(f["source"])] += f["stems"]
        elif "piece" in f and draft.kind in PIECES and not f.get("picked"):
            pieces[f["piece"]] += f["count"]
    if taken:
        yield from _stems(farm, today, promised, own, taken)
    if pieces:
        yield from _pieces(farm, promised, own, pieces)


def _stems(
    farm: Farm,
    today: date,
    promised: Sequence[Claim],
    own: frozenset[str],
    taken: Counter[tuple[str, Place]],
) -> Iterator[tuple[str, str]]:
    lots = [lot for code, _ in taken if (lot := farm.lots.get(code)) is not None]
    crops = {lot.crop for lot in lots}
    if not any(claim.crops is None or claim.crops & crops for claim in promised):
        return
    supply, served_now = _as_it_stands(farm, farm.count, today, frozenset(crops))
    needs = supply.needs
    # what is taken for an order is no more wanted for it
    others = [
        need._replace(wanted=0) if claim.order in own else need
        for claim, need in zip(supply.whose, needs, strict=True)
    ]
    lost: list[list[int]] = [[] for _ in needs]
    for n, had in zip(SEEN, served_now, strict=True):
        has = served(others, _without(farm, supply, n, taken))
        for claim, mine, before, after in zip(supply.whose, lost, had, has, strict=True):
            if after < before and claim.order not in own:
                mine.append(before - after)
    ranked = sorted(zip(supply.whose, lost, strict=True), key=lambda pair: pair[0].rank)
    found = [(claim, mine) for claim, mine in ranked if len(mine) > OFTEN * len(SEEN)]
    if found:
        claim, mine = found[0]
        more = f", and {len(found) - 1} more would be short" if len(found) > 1 else ""
        yield f"{round(median(mine))} {claim.name} would be short for {_whose(claim)}{more}", lots[0].code


@lru_cache(maxsize=1)
def _as_it_stands(
    farm: Farm, _count: int, today: date, crops: frozenset[str]
) -> tuple[Supply, tuple[tuple[int, ...], ...]]:
    """What there is of these crops, and how much of each promise is served in the seasons looked at. Kept while a line
    is typed: `_count` are the entries that the farm is made of."""
    asked = Claim(today, 0, 1, "fresh", tuple(Liked(crop) for crop in sorted(crops)))
    supply = supply_for(farm, today, open_claims(farm, today), [asked])
    return supply, tuple(served(supply.needs, supply.lots(n)) for n in SEEN)


def _without(farm: Farm, supply: Supply, season: int, taken: Counter[tuple[str, Place]]) -> list[Lot]:
    """The lots of a season, less what is taken out of the stock."""
    found: list[Lot] = []
    for source, lots in zip(supply.sources, supply.given(season), strict=True):
        gone = taken.get((source.code, Place(source.place)), 0)
        lot = farm.lots.get(source.code) if gone else None
        held = lot.holdings.get(Place(source.place)) if lot is not None else None
        there = held.stems if held is not None else 0
        if not gone or there <= 0:
            found += lots
            continue
        left = max(there - gone, 0)
        found += [one._replace(amount=one.amount * left // there) for one in lots]
    return found


def _pieces(
    farm: Farm, promised: Sequence[Claim], own: frozenset[str], pieces: Counter[str]
) -> Iterator[tuple[str, str]]:
    made = made_pieces(farm)
    for code, count in pieces.items():
        if (piece := farm.pieces.get(code)) is None:
            continue
        had = made.get(piece.recipe, 0)
        has = had - count
        for claim in sorted(promised, key=lambda claim: claim.rank):
            if claim.recipe is None or claim.recipe.code != piece.recipe:
                continue
            before = min(had, claim.wanted)
            after = 0 if claim.order in own else min(max(has, 0), claim.wanted)
            had, has = had - before, has - after
            if after < before and claim.order not in own:
                yield f"{before - after} {piece.recipe} of these are promised to {_whose(claim)}", code
                break


def _whose(claim: Claim) -> str:
    return f"{claim.buyer} ({claim.order}, {short_day(claim.due)})"
