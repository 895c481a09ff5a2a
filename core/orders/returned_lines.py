"""What a buyer gives back that was sold without an order, in one line."""

from __future__ import annotations

from core.farm import Lot
from core.language.crops import take_crop
from core.language.days import take_day
from core.language.line import Line, Reading, Refused, either, whole
from core.language.named_places import one_place
from core.language.names import take_named_lot
from core.language.own_words import take_by, take_own_words
from core.language.tokens import Token
from core.language.verb import FIRST, NOT
from core.orders.order_claims import has_order
from core.orders.prices import share
from core.orders.returned_sale import bought
from core.places import BUCKET, Place
from core.settings.sheets import sheet_bunch
from core.stems.buyers import known_buyers
from core.units import money


def claims_returned(line: Line, token: Token) -> int:
    """ "back 10 L027 from Ada Lane": without an order."""
    is_from = any(t.is_word and t.low == "from" for t in line.words)
    return FIRST if token is line.words[0] and is_from and not has_order(line) else NOT


def returned(line: Line) -> Reading:
    """ "back 10 L027 from Ada Lane": on hand again, where the rest of the lot lies, and the money given back."""
    line.verb = "back"
    place = one_place(line, "place")
    lot = take_named_lot(line, empty=True)
    take_by(line)
    who = take_own_words(line, ("from",), known_buyers(line.farm))
    assert who is not None  # else it was another verb's line
    take_day(line)
    lot = lot or _last_bought(line, who)
    there, paid = bought(lot, who)
    stems = _stems(line, lot)
    cents = share(paid, stems, there) if paid and 0 < stems <= there else None
    if cents:
        line.remark(f"not charged: {money(cents)} of it goes back to {who}")
    return line.reading(
        line.draft(
            "sale returned",
            lot=lot.code,
            stems=stems,
            place=place or _place(lot),
            who=who,
            cents=cents,
            ref=lot.made_by,
        ),
        lot=lot.code,
    )


def _last_bought(line: Line, who: str) -> Lot:
    """The lot of the crop named that the buyer bought last, of which something is there still."""
    had = [lot for lot in line.farm.lots.all() if bought(lot, who)[0] > 0]
    crop = take_crop(line, lambda: (lot.crop for lot in line.farm.lots.all()))
    fit = [lot for lot in had if crop in (None, lot.crop)]
    if not fit:
        orders = [o for o in line.farm.orders.all() if o.buyer == who and o.handed]
        if orders:
            named = f"back 5 {crop} {orders[-1].code}" if crop else f"back 5 {orders[-1].code}"
            raise Refused(f"Name the order on which {who} had it: {named}.", "unknown", (named,))
        raise Refused(f"{who} bought none of it: write which lot, and who gave it back.", "unknown")
    if crop is None and len(fit) > 1:
        codes = [lot.code for lot in fit][-6:]
        raise Refused(f"Which of {either(codes)} came back from {who}? Write it.", "ambiguous", codes)
    return max(fit, key=lambda lot: max(sale.on for sale in lot.sales if sale.who == who))


def _stems(line: Line, lot: Lot) -> int:
    if (bunches := line.take_unit("bunches", "bunches")) is not None:
        held = [held.per for held in lot.holdings.values() if held.per > 1]
        size = (
            held[0] if held else sheet_bunch(line.farm, lot.crop, "fresh" if lot.use == "fresh" else "dried")
        )
        if size is None:
            raise Refused("How many stems to a bunch? Write the number of stems.")
        stems = whole(bunches, "bunches") * size
        line.tell_amount(stems, size)
        return stems
    return line.need_count("stems", "stems")


def _place(lot: Lot) -> Place:
    """Where the rest of it lies; what is sold fresh, in the bucket."""
    places = [place for place, held in lot.holdings.items() if held.stems > 0 and not place.is_set_aside]
    fit = [place for place in places if not place.is_line]
    if len(fit) == 1:
        return fit[0]
    if not fit and lot.use == "fresh":
        return BUCKET
    raise Refused(
        f"Back to where? Write the place as well, such as: {fit[0] if fit else 'box 7'}.", near=fit[:3]
    )
