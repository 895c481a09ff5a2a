"""What of an order is met by what is on hand or growing, beside all else that is promised: none of it needs a plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from core.farm import Farm
from core.order_rows import Order
from core.places import in_place
from core.promising.claims import LAST, Claim, as_need, less_made, made_pieces
from core.promising.open_claims import open_claims
from core.promising.outlook import LIKELY, looked_at, may_fail
from core.promising.source import Source
from core.promising.supply import Supply, fitting, supply_for
from core.reckon.promise.allocation import allocate, served
from core.reckon.promise.needs import AnyNeed, Lot


class From(NamedTuple):
    """So many, in a usual season, of one source ("P53", "in bed b8"), or of all that is `on_hand`."""

    number: int
    code: str = ""
    where: str = ""

    @property
    def on_hand(self) -> bool:
        """Whether it lies in the shed, ready to go."""
        return not self.code


class Met(NamedTuple):
    """What one item of one delivery has of what is there and growing.

    `number` are those that it likely gets, `chance` how often it gets all that is open, spare left aside; `sources`
    from where in a usual season, what is on hand first; `counted` the plantings that have been reckoned with for it.
    """

    number: int
    chance: float
    sources: tuple[From, ...]
    counted: frozenset[str]


NOTHING = Met(0, 0.0, (), frozenset())


def met(farm: Farm, today: date, order: Order) -> dict[tuple[str, int], Met]:
    """(item id, delivery) -> what is met of it. What grows of the order's own plans is left to these; a plan of which
    nothing is sown yet counts for the order that it is for alone."""
    claims = open_claims(farm, today)
    mine = [claim for claim in claims if claim.order == order.code]
    found = {claim.item: _pieces(farm, claims, claim) for claim in mine if claim.recipe is not None}
    if stems := [claim for claim in mine if claim.recipe is None]:
        found |= _stems(farm, today, order, claims, stems)
    return {
        (item.id, delivery): found[key]
        for item in order.items
        for delivery, _ in order.deliveries()
        if (key := f"{item.id}/{delivery}") in found
    }


def _pieces(farm: Farm, claims: Sequence[Claim], claim: Claim) -> Met:
    """The pieces that are made already; their stems are counted as they are planned."""
    assert claim.recipe is not None
    made = made_pieces(farm)
    left = {one.item: one.wanted for one in less_made(claims, made)}
    there = claim.wanted - left.get(claim.item, 0)
    number = there + min(made.get(claim.recipe.code, 0), claim.spare if there == claim.wanted else 0)
    return Met(number, float(there == claim.wanted), _on_hand(number), frozenset()) if number else NOTHING


def _stems(
    farm: Farm, today: date, order: Order, claims: Sequence[Claim], mine: Sequence[Claim]
) -> dict[str, Met]:
    # what is spare takes from nobody
    spare = [replace(one, rank=LAST, wanted=one.spare, item=f"{one.item} spare") for one in mine if one.spare]
    supply = supply_for(farm, today, claims, mine)
    others = {code for claim in claims if claim.order != order.code for code in claim.grown}
    own = {code for claim in mine for code in claim.grown}
    kept = [
        i
        for i, source in enumerate(supply.sources)
        if source.code not in own and (source.kind != "planned" or source.code in others)
    ]
    needs: list[AnyNeed] = [*supply.needs, *(as_need(one, supply.sorts) for one in spare)]
    places: dict[str, int] = {claim.item: i for i, claim in enumerate(supply.whose)}
    extra = {one.item.removesuffix(" spare"): len(supply.needs) + i for i, one in enumerate(spare)}
    seasons = [served(needs, _lots(supply, kept, n)[0]) for n in looked_at(every=2)]
    lots, whose = _lots(supply, kept, None)
    usual = allocate(needs, lots).taken
    found = {}
    for claim in mine:
        place, more = places[claim.item], extra.get(claim.item)
        each = sorted(got[place] + (got[more] if more is not None else 0) for got in seasons)
        taken = [*usual[place], *(usual[more] if more is not None else ())]
        amounts: dict[int, int] = {}
        for one in taken:
            amounts[whose[one.lot]] = amounts.get(whose[one.lot], 0) + one.amount
        need = as_need(claim, supply.sorts)
        found[claim.item] = Met(
            each[may_fail(LIKELY, len(each))],
            sum(got[place] >= claim.wanted for got in seasons) / len(seasons),
            tuple(_from({supply.sources[i]: number for i, number in amounts.items()})),
            frozenset(
                supply.sources[i].code
                for i in kept
                if supply.sources[i].kind == "in the field" and fitting(supply.given(None)[i], need)
            ),
        )
    return found


def _lots(supply: Supply, kept: Sequence[int], n: int | None) -> tuple[list[Lot], list[int]]:
    """The lots of a season that the sources at those places give, and at which place each is."""
    each = [(lot, i) for i in kept for lot in supply.given(n)[i]]
    return [lot for lot, _ in each], [i for _, i in each]


def _from(amounts: dict[Source, int]) -> Iterator[From]:
    there = sum(number for source, number in amounts.items() if source.kind == "on hand")
    yield from _on_hand(there)
    rest = [(number, source) for source, number in amounts.items() if source.kind != "on hand" and number]
    for number, source in sorted(rest, key=lambda one: (not one[1].is_there, -one[0], one[1].code)):
        where = "" if source.kind == "planned" else f"in {source.place}"
        yield From(number, source.code, in_place(source.place) if source.is_there else where)


def _on_hand(number: int) -> tuple[From, ...]:
    return (From(number),) if number else ()
