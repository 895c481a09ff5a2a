"""Stems that were sold without an order and come back: on hand again, and not paid for."""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.farm import Farm, Lot
from core.happened import Sale, Stay
from core.kinds import REF, Kind, may, needs
from core.places import BUCKET, Place
from core.problems import Problem
from core.stems.kinds import keep_days, lot_or_matter, need_lot, put
from core.stems.whereabouts import follow
from core.units import money


def bought(lot: Lot, who: str) -> tuple[int, int | None]:
    """(stems of the lot that the buyer has without an order, what they came to in cents); None where a price is not
    known."""
    sales = [sale for sale in lot.sales if sale.who == who and not sale.order]
    cents = [sale.cents for sale in sales if sale.cents is not None]
    return sum(sale.number for sale in sales), sum(cents) if len(cents) == len(sales) else None


def _check(farm: Farm, draft: Draft) -> Problem | None:
    lot = need_lot(farm, draft)
    if isinstance(lot, Problem):
        return lot
    f = draft.fields
    there, cents = bought(lot, f["who"])
    if not 1 <= f["stems"] <= there:
        has = there if there > 0 else "none"
        return Problem(
            f"{f['who']} bought {has} of {lot.code} without an order: what went on one comes back by its code, such as "
            "'back 5 O014'.",
            "impossible",
            (str(there),) if there > 0 else (),
        )
    if f.get("cents", 0) > (cents or 0):
        return Problem(
            f"{f['who']} paid {money(cents or 0)} for it: no more can be given back.", "impossible"
        )
    place = Place(f["place"])
    if place.is_set_aside or place.is_line or not place.is_known:
        return Problem(
            f"Back to where? Not to {place}: name a box, the bench, the bucket or the cooler.", "impossible"
        )
    return None


def _returned(farm: Farm, entry: Entry) -> None:
    if (lot := lot_or_matter(farm, entry)) is None:
        return
    f = entry.fields
    place, stems = Place(f["place"]), f["stems"]
    over = stems - max(bought(lot, f["who"])[0], 0)
    if over > 0:
        farm.note_matter(
            f"{over} more of {lot.code} came back from {f['who']} than were sold: take back what did not happen.",
            entry.id,
            "sale returned",
            lot.code,
            amount=over,
        )
    is_joining = place in lot.holdings
    there = put(lot, place, stems, entry.on if place.is_fresh else lot.cut_on)  # no younger than it may be
    keep_days(lot, there.form, stems, entry.on)
    if place.is_fresh:
        # where it stood at the buyer's nobody knows: as warm as the bucket
        follow(lot, [Stay(BUCKET, lot.cut_on, lot.cut_at)], place, entry.on, None, is_joining=is_joining)
    lot.sold -= stems
    cents = f.get("cents")
    lot.sales.append(Sale(entry.on, -stems, None if cents is None else -cents, f["who"]))


RETURNED_SALE = Kind(
    "sale returned",
    "{who} gave back {stems} stems of {lot} to {place}[, and had {cents} back]",
    needs(lot="code", stems="count", place="code", who="text") | may(cents="count") | REF,
    _returned,
    check=_check,
)
