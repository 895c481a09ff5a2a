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
from core.promising.claims import LAST, Claim, Liked, made_pieces
from core.promising.free_today import Served, Taking, free_today
from core.promising.open_claims import open_claims
from core.promising.outlook import LIKELY
from core.promising.supply import Supply, supply_for
from core.reckon.promise.needs import AnyNeed, PieceNeed
from core.units import short_day

MOST_TOLD = 16
"""How many would be short is the middle of what so many seasons say."""
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
    pieces, made = Counter[str](), Counter[str]()
    for draft in drafts:
        f = draft.fields
        if draft.kind == "made":
            made[f["recipe"]] += f["count"]
        elif "lot" in f and draft.kind in STEMS and not Place(f["source"]).is_set_aside:
            taken[f["lot"], Place(f["source"])] += f["stems"]
        elif "piece" in f and draft.kind in PIECES and not f.get("picked"):
            pieces[f["piece"]] += f["count"]
    if taken:
        yield from _stems(farm, today, promised, own, taken, made)
    if pieces:
        yield from _pieces(farm, promised, own, pieces)


def _stems(
    farm: Farm,
    today: date,
    promised: Sequence[Claim],
    own: frozenset[str],
    taken: Counter[tuple[str, Place]],
    made: Counter[str],
) -> Iterator[tuple[str, str]]:
    """`made`: recipe -> pieces made of what is taken, which serve who ordered them."""
    lots = [lot for code, _ in taken if (lot := farm.lots.get(code)) is not None]
    crops = frozenset(lot.crop for lot in lots)
    if not any(claim.crops is None or claim.crops & crops for claim in promised):
        return
    if any(stems > _held(farm, code, place) for (code, place), stems in taken.items()):
        return  # more than lies there: refused as such, whatever is promised
    supply = _supply(farm, farm.count, today, crops)
    mine = list(_of_sources(farm, supply, taken))
    if not any(map(supply.may_be_taken, (one.place for one in mine))):
        return
    as_it_is = _as_it_stands(farm, farm.count, today, crops, own)
    harmed, share = as_it_is.harmed(mine, made)
    if not harmed:
        return
    lost = [as_it_is.lost(season, mine, made) for season in harmed[:: 1 + len(harmed) // MOST_TOLD]]
    found: dict[Claim, int] = {}
    needs = zip(as_it_is.supply.whose, as_it_is.supply.needs, zip(*lost, strict=True), strict=True)
    for claim, need, each in needs:
        if some := [count for count in each if count]:
            short = -(-round(median(some)) // _each(claim, need))
            found[claim] = max(short, found.get(claim, 0))
    if found:
        claim, short = min(found.items(), key=lambda pair: pair[0].rank)
        would = "would" if share >= LIKELY else "could"
        more = f", and {len(found) - 1} more {would} be short" if len(found) > 1 else ""
        there = _of_all(farm, today, promised, supply, mine)
        yield f"{short} {claim.name} {would} be short for {_whose(claim)}{more}{there}", lots[0].code


def _each(claim: Claim, need: AnyNeed) -> int:
    """Of what is counted for the need, so many make one of what is claimed: stems held for pieces are not pieces."""
    if claim.recipe is None or isinstance(need, PieceNeed):
        return 1
    return max([int(part.number) for part in claim.recipe.parts if part.form != "making"], default=1) or 1


def _of_all(
    farm: Farm, today: date, promised: Sequence[Claim], supply: Supply, mine: Sequence[Taking]
) -> str:
    """ ": of 61 on hand 21 are free today"; "" where several sorts are taken, or such as are not ready to go."""
    sources = [supply.sources[one.place] for one in mine]
    sorts = {(source.crop, source.sorts[0].form) for source in sources if source.kind == "on hand"}
    if len(sorts) != 1 or any(source.kind != "on hand" for source in sources):
        return ""
    ((crop, form),) = sorts
    there = sum(
        source.amount
        for source in supply.sources
        if source.kind == "on hand" and (source.crop, source.sorts[0].form) == (crop, form)
    )
    free = free_today(farm, today, promised, crop, form)
    return f": of {there} on hand {free} are free today"


def _held(farm: Farm, code: str, place: Place) -> int:
    lot = farm.lots.get(code)
    held = lot.holdings.get(place) if lot is not None else None
    return held.stems if held is not None else 0


@lru_cache(maxsize=1)
def _as_it_stands(farm: Farm, _count: int, today: date, crops: frozenset[str], own: frozenset[str]) -> Served:
    """What there is of these crops in the seasons looked at. Kept while a line is typed: `_count` are the entries that
    the farm is made of."""
    return Served(_supply(farm, _count, today, crops), own)


@lru_cache(maxsize=1)
def _supply(farm: Farm, _count: int, today: date, crops: frozenset[str]) -> Supply:
    asked = Claim(today, LAST, 1, "fresh", tuple(Liked(crop) for crop in sorted(crops)))
    return supply_for(farm, today, open_claims(farm, today), [asked])


def _of_sources(farm: Farm, supply: Supply, taken: Counter[tuple[str, Place]]) -> Iterator[Taking]:
    """What is taken of those that may serve a promise."""
    for place, source in enumerate(supply.sources):
        stems = taken.get((source.code, Place(source.place)), 0) if source.is_there else 0
        held = _held(farm, source.code, Place(source.place)) if stems else 0
        if held > 0:
            yield Taking(place, min(stems, held), held)


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
