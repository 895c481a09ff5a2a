"""What was taken: by crop, bed, hour, buyer, outlet or week, of one year or of all.

Stems are sold by the lot, so what they made is known by crop, bed and the minutes of the cut. What a market made is
shared out over what was sold there: by the prices of its items where all have one, else by the number; so is what was
paid for any order without prices. What comes back is taken out again on that day.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import chain
from typing import Literal, NamedTuple, TypeAlias

from core.farm import Farm, Lot, Piece
from core.happened import Sale
from core.order_rows import MARKET, Order, is_market
from core.orders.prices import share
from core.past_seasons.kinds import PastSeasons, PastWeek
from core.settings.sheets import farm_year
from core.tubers.stock import Deal, Tubers
from core.units import monday_of

By: TypeAlias = Literal["crop", "bed", "hour", "buyer", "outlet", "week"]
BY: tuple[By, ...] = ("crop", "bed", "hour", "buyer", "outlet", "week")
ORDERS, DIRECT = "orders", "direct"
"""Outlets: a market (any buyer called so), what was ordered, all else."""
PIECES = "pieces"
"""What is said for the bed of pieces: their stems come from several."""
TUBERS = "tubers"
"""The same of tubers and bulbs: they are sold out of store."""
NOBODY = "not said"
MINUTES_AN_HOUR = 60


class TakingsRow(NamedTuple):
    """What was sold of one sort, and what was taken for it, in cents. `unpriced` are stems and pieces among them of
    which no price is known. `feet` is the length of the bed, `hours` those of cutting and making that were written;
    None where they are not known."""

    of: str
    stems: int
    pieces: int
    cents: int
    unpriced: int
    feet: float | None = None
    cents_per_foot: int | None = None
    hours: float | None = None
    cents_per_hour: int | None = None
    tubers: int = 0
    """Tubers and bulbs sold; what was taken for them is among the cents."""
    spent: int = 0
    """What was paid for tubers and bulbs that were bought, in cents."""


class OpenSum(NamedTuple):
    """What a buyer has and has not paid, in cents, less what is to be given back; below 0 where that is more."""

    buyer: str
    cents: int
    orders: tuple[str, ...]


@dataclass(slots=True)
class _Sum:
    stems: int = 0
    pieces: int = 0
    cents: int = 0
    unpriced: int = 0
    hours: float = 0
    cents_timed: int = 0
    tubers: int = 0
    spent: int = 0


class Sold(NamedTuple):
    """One sale, of which lot or pieces, and what was taken for it, None where that is not known."""

    of: Lot | Piece
    sale: Sale
    cents: int | None
    outlet: str


def takings(farm: Farm, by: By, year: int | None = None) -> list[TakingsRow]:
    """What was taken, what made most first (weeks in their order)."""
    sums: dict[str, _Sum] = {}
    span = None if year is None else farm_year(farm, year)
    for sold in sales_of(farm, year):
        one = sums.setdefault(_key(sold, by), _Sum())
        number = sold.sale.number
        if isinstance(sold.of, Lot):
            one.stems += number
        else:
            one.pieces += number
        if sold.cents is None:
            one.unpriced += number
        else:
            one.cents += sold.cents
            if (hours := _hours(sold)) is not None:
                one.hours += hours
                one.cents_timed += sold.cents
    for past in farm.part(PastSeasons).weeks.values():
        if (span is None or span.has(past.week)) and past.stems:
            one = sums.setdefault(_key_of_past(past, by), _Sum())
            one.stems += past.stems
            one.cents += past.cents
            one.unpriced += past.unpriced
    _count_tubers(farm, by, year, sums)
    rows = [_row(farm, by, of, one) for of, one in sums.items()]
    return sorted(rows, key=lambda r: r.of) if by == "week" else sorted(rows, key=lambda r: (-r.cents, r.of))


def _count_tubers(farm: Farm, by: By, year: int | None, sums: dict[str, _Sum]) -> None:
    """Add the tubers and bulbs that were sold and bought."""
    span = None if year is None else farm_year(farm, year)
    for stock in farm.part(Tubers).all():
        for deal in stock.deals:
            if span is not None and not span.has(deal.on):
                continue
            one = sums.setdefault(_key_of_deal(stock.crop, deal, by), _Sum())
            if not deal.is_sale:
                one.spent += deal.cents or 0
                continue
            one.tubers += deal.count
            one.unpriced += deal.count if deal.cents is None else 0
            one.cents += deal.cents or 0


def _key_of_deal(crop: str, deal: Deal, by: By) -> str:
    """Of tubers that are bought neither bed, buyer nor outlet is known; of those sold no bed."""
    if by in ("crop", "hour"):
        return crop
    if by == "week":
        return monday_of(date.fromisoformat(deal.on)).isoformat()
    if by == "bed" or not deal.is_sale:
        return TUBERS
    return outlet_of(deal.who or "", "") if by == "outlet" else deal.who or NOBODY


def open_sums(farm: Farm) -> list[OpenSum]:
    """Who owes what, most first."""
    owed: dict[str, list[tuple[str, int]]] = {}
    for order in farm.orders.live():
        if open_now := max(order.owed, 0) - order.credit:
            owed.setdefault(order.buyer, []).append((order.code, open_now))
    rows = [
        OpenSum(who, sum(c for _, c in found), tuple(code for code, _ in found))
        for who, found in owed.items()
    ]
    return sorted(rows, key=lambda r: (-r.cents, r.buyer))


def outlet_of(who: str, order: str) -> str:
    """Through which outlet somebody bought."""
    if is_market(who):
        return MARKET
    return ORDERS if order else DIRECT


def sales_of(farm: Farm, year: int | None, among: Iterable[Lot | Piece] | None = None) -> Iterator[Sold]:
    """Every sale of a year, or of all; `among` what `sellable` gave for it, where that was read already."""
    made = _shares(farm)
    span = None if year is None else farm_year(farm, year)
    if among is None:
        among = chain(farm.lots.all(), farm.pieces.all()) if year is None else chain(*sellable(farm, year))
    for item in among:
        for sale in item.sales:
            cents = made[sale.order].next(sale) if sale.order in made else sale.cents
            if span is not None and not span.has(sale.on):
                continue
            yield Sold(item, sale, cents, outlet_of(sale.who, sale.order))


def sellable(farm: Farm, *years: int) -> tuple[list[Lot], list[Piece]]:
    """The lots and pieces of which anything happened in these years, and all that share what an order made with what
    was sold in them."""
    spans = [farm_year(farm, year) for year in years]
    begins = tuple(dict.fromkeys(begin for span in spans for begin in span.begins))
    shared = [
        f'"{order.code}"'
        for order in farm.orders.all()
        if (order.paid or order.let_off)
        and any(given.on.startswith(begins) for given in order.handed)
        and not all(given.on.startswith(begins) for given in order.handed)
    ]
    return farm.lots.mentioning(*begins, *shared), farm.pieces.mentioning(*begins, *shared)


def sellable_of(farm: Farm, crop: str) -> tuple[list[Lot], list[Piece]]:
    """The lots of a crop, and all lots and pieces that share what an order made with them."""
    shared = [
        f'"{order.code}"'
        for order in farm.orders.all()
        if (order.paid or order.let_off) and order.handed and any(item.crop == crop for item in order.items)
    ]
    return farm.lots.mentioning(f'"{crop}"', *shared), farm.pieces.mentioning(*shared)


class _Share:
    """What was paid for an order, shared out in whole cents over its sales so that the shares add up: by price, or by
    number where an item has none."""

    def __init__(self, order: Order) -> None:
        self.by_price = order.taken > 0 and all(item.cents is not None for item in order.items)
        self.cents, self.done = order.taken - order.let_off if _is_less(order) else order.paid, 0
        self.whole = order.taken if self.by_price else sum(given.number for given in order.handed)

    def next(self, sale: Sale) -> int:
        before = share(self.cents, self.done, self.whole)
        self.done += (sale.cents or 0) if self.by_price else sale.number
        return share(self.cents, self.done, self.whole) - before


def _shares(farm: Farm) -> dict[str, _Share]:
    """Of markets that were told what they made, of orders without any price that are paid, and of those of which a part
    was let off."""
    return {
        order.code: _Share(order)
        for order in farm.orders.all()
        if order.handed
        and (
            _is_less(order)
            or (order.paid and (order.is_market or all(item.cents is None for item in order.items)))
        )
    }


def _is_less(order: Order) -> bool:
    """Whether it comes to less than its prices say, as far as all have one."""
    return order.let_off > 0 and not order.is_market and all(item.cents is not None for item in order.items)


def _key(sold: Sold, by: By) -> str:
    if by in ("crop", "hour"):
        return sold.of.crop if isinstance(sold.of, Lot) else sold.of.recipe
    if by == "bed":
        return sold.of.bed if isinstance(sold.of, Lot) else PIECES
    if by == "buyer":
        return sold.sale.who or NOBODY
    if by == "outlet":
        return sold.outlet
    return monday_of(date.fromisoformat(sold.sale.on)).isoformat()


def _key_of_past(past: PastWeek, by: By) -> str:
    """That of sales of a past season, of which no bed is known."""
    keys = {"crop": past.crop, "hour": past.crop, "week": past.week, "bed": NOBODY}
    return keys.get(by) or (outlet_of(past.who, "") if by == "outlet" else past.who or NOBODY)


def _hours(sold: Sold) -> float | None:
    """The share of the minutes of the cut, or of the making, that falls to what was sold."""
    made = sold.of.cut if isinstance(sold.of, Lot) else sold.of.count
    if not sold.of.minutes or not made:
        return None
    return sold.of.minutes / MINUTES_AN_HOUR * sold.sale.number / made


def _row(farm: Farm, by: By, of: str, one: _Sum) -> TakingsRow:
    bed = farm.beds.get(of) if by == "bed" else None
    feet = bed.feet if bed is not None and bed.feet > 0 else None
    hours = round(one.hours, 2) if one.hours else None
    return TakingsRow(
        of,
        one.stems,
        one.pieces,
        one.cents,
        one.unpriced,
        feet,
        round(one.cents / feet) if feet else None,
        hours,
        round(one.cents_timed / one.hours) if one.hours else None,
        one.tubers,
        one.spent,
    )
