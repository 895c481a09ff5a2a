"""What can be found: one line for each thing that the farm has a name for, and one for each note."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from core.book.entry import Entry
from core.crops.library import every_name
from core.dialect import told_feet
from core.farm import Farm, Lot, Tray
from core.places import Place, in_place
from core.stems.buyers import known_buyers
from core.text import named
from core.tubers.stock import Tubers
from core.units import ID_SHOWN, dated_text, number, plural

CROP, BUYER, NOTE, LOST = "crop", "buyer", "note", "lost"
"""Sorts of things that have no row of their own in a view; all others are called as the row is."""
FIELD, PUT_ON = "field entry", ("sprayed", "fed")
SORTS = (
    *(
        "lot",
        "planting",
        "tray",
        "bed",
        "order",
        "plan",
        "packet",
        "piece",
        "tuber",
        "box",
        "recipe",
        "making",
    ),
    *(BUYER, LOST, CROP, FIELD, NOTE),
)
"""The sorts of things, in the order in which those that fit alike are told."""


class Thing(NamedTuple):
    """Something that can be found.

    `of` is what its row is known by beside its `sort` ("S12"; of tubers the crop and the variety); `name` how it is
    called, `says` what it is now, `also` other words by which it is found. `is_live`: whether it is not finished.
    """

    sort: str
    of: tuple[str, ...]
    name: str
    says: str
    also: str = ""
    on: str = ""
    """The day by which the newer is told first; "" where it has none."""
    is_live: bool = True


def things(farm: Farm) -> Iterator[Thing]:
    """All there is on the farm; of what is finished that which is at hand without being looked up."""
    yield from map(lot_thing, (lot for _, lot in farm.lots.at_hand().values()))
    for _, planting in farm.plantings.at_hand().values():
        ended = f", cleared {dated_text(planting.cleared_on)}" if planting.cleared_on else ""
        says = (
            f"in bed {planting.bed}, {told_feet(planting.feet)}, since {dated_text(planting.out_on)}{ended}"
        )
        name = f"{planting.code} {named(planting.crop, planting.variety, planting.way)}"
        yield Thing(
            "planting", (planting.code,), name, says, "standing", planting.out_on, is_live=planting.is_live
        )
    yield from map(tray_thing, (tray for _, tray in farm.trays.at_hand().values()))
    for bed in farm.beds.values():
        standing = ", ".join(named(p.crop, p.variety) for p in farm.standing_in(bed.code)) or "empty"
        yield Thing("bed", (bed.code,), f"bed {bed.code}", f"{told_feet(bed.feet)}: {standing}")
    for _, order in farm.orders.at_hand().values():
        wanted = ", ".join(
            f"{item.number} {item.recipe or named(item.crop, ' or '.join(item.colors) or None)}"
            for item in order.items
            if not item.dropped_on
        )
        says = f"for {dated_text(order.due_on)}: {wanted or 'nothing yet'}"
        name = f"{order.code} {order.buyer}"
        yield Thing("order", (order.code,), name, says, order.note, order.due_on, is_live=order.is_live)
    yield from _planned(farm)
    for _, packet in farm.packets.at_hand().values():
        says = f"packet of {packet.year}, {packet.seeds:,} seeds when it came"
        also = f"seed seeds {packet.seed_lot or ''} {packet.supplier or ''}"
        name = f"{packet.code} {named(packet.crop, packet.variety)}"
        yield Thing("packet", (packet.code,), name, says, also, packet.on, is_live=packet.is_live)
    for _, piece in farm.pieces.at_hand().values():
        says = f"{piece.on_hand} of {piece.count} here, made {dated_text(piece.made_on)}"
        name = f"{piece.code} {piece.recipe}"
        yield Thing("piece", (piece.code,), name, says, piece.sort, piece.made_on, is_live=piece.is_live)
    for stock in farm.part(Tubers).all():
        says = f"{stock.there} in store"
        name = named(stock.crop, stock.variety)
        yield Thing(
            "tuber",
            (stock.crop, stock.variety or ""),
            name,
            says,
            "tuber tubers store",
            is_live=stock.there > 0,
        )
    yield from _places(farm)
    for recipe in farm.recipes.values():
        takes = ", ".join(f"{number(part.number)} {part.what}" for part in recipe.parts)
        yield Thing("recipe", (recipe.code,), recipe.code, f"{recipe.sort}: {takes}", "recipe")
    for making, count in farm.makings.items():
        yield Thing("making", (making,), making, f"{number(count)} of it here", "supply supplies")
    yield from _people_and_crops(farm)
    yield from _lost(farm)


def lot_thing(lot: Lot) -> Thing:
    says = lot.whereabouts or f"finished: {plural(lot.cut, 'stem')} cut"
    also = f"bed {lot.bed} {lot.use} {lot.planting or ''}"
    says = f"cut {dated_text(lot.cut_on)} in {lot.bed}, {lot.use}: {says}"
    return Thing(
        "lot",
        (lot.code,),
        f"{lot.code} {named(lot.crop, lot.variety)}",
        says,
        also,
        lot.cut_on,
        is_live=lot.is_live,
    )


def tray_thing(tray: Tray) -> Thing:
    says = f"sown {dated_text(tray.sown)}, " + (
        f"done {dated_text(tray.closed_on)}" if tray.closed_on else f"{tray.alive} alive"
    )
    name = f"{tray.code} {named(tray.crop, tray.variety, tray.way)}"
    return Thing("tray", (tray.code,), name, says, "seedlings", tray.sown, is_live=tray.is_live)


def _planned(farm: Farm) -> Iterator[Thing]:
    for plan in farm.plans.values():
        says = f"{plural(plan.stems, 'stem')}, {plan.use}, by {dated_text(plan.by)}"
        name = f"{plan.code} {named(plan.crop, plan.variety, plan.way)}"
        yield Thing("plan", (plan.code,), name, says, f"plan {plan.bed or ''}", plan.by, is_live=plan.is_live)
    for pieces in farm.piece_plans.values():
        says = f"{pieces.count} by {dated_text(pieces.by)}"
        name = f"{pieces.code} {pieces.recipe}"
        yield Thing(
            "plan", (pieces.code,), name, says, f"plan {pieces.sort}", pieces.by, is_live=pieces.is_live
        )


def _places(farm: Farm) -> Iterator[Thing]:
    """The boxes that hold something or were described, with what lies in them."""
    there: dict[Place, list[str]] = {code: [] for code in farm.boxes}
    for lot in farm.lots.live():
        for place, held in lot.holdings.items():
            if place.is_box and held.stems:
                there.setdefault(place, []).append(f"{lot.code} {named(lot.crop, lot.variety)}")
    for place, lots in there.items():
        box = farm.boxes.get(place)
        where = f"{box.where}: " if box is not None and box.where else ""
        yield Thing("box", (place,), place, f"{where}{', '.join(lots) or 'empty'}", in_place(place))


def _people_and_crops(farm: Farm) -> Iterator[Thing]:
    taken = {order.buyer: order.code for _, order in farm.orders.at_hand().values()}
    for buyer in dict.fromkeys((*known_buyers(farm), *taken)):
        says = f"last order {taken[buyer]}" if buyer in taken else "has bought here"
        yield Thing(BUYER, (buyer,), buyer, says, "buyer")
    names: dict[str, list[str]] = {}
    for crop, name in every_name():
        names.setdefault(crop, []).append(name)
    grown = {p.crop for p in farm.plantings.live()} | {tray.crop for tray in farm.trays.live()}
    for crop in (*names, *(own for own in farm.crops if own not in names)):
        varieties = farm.varieties.get(crop, [])
        says = f"its sheet{': ' + ', '.join(varieties[:6]) if varieties else ''}"
        also = " ".join((*names.get(crop, ()), *varieties))
        yield Thing(CROP, (crop,), crop, says, also, is_live=crop in grown or bool(varieties))


CROPS_NAMED = 3


def _lost(farm: Farm) -> Iterator[Thing]:
    """What stems at hand, or of lots finished since, were lost to: the cause, with the crops that lost most to it."""
    by_cause: dict[str, dict[str, int]] = {}
    last: dict[str, str] = {}
    for _, lot in farm.lots.at_hand().values():
        for loss in lot.losses:
            of = by_cause.setdefault(loss.cause, {})
            of[lot.crop] = of.get(lot.crop, 0) + loss.stems
            last[loss.cause] = max(last.get(loss.cause, ""), loss.on)
    for cause, crops in by_cause.items():
        most = sorted(crops, key=lambda crop: -crops[crop])[:CROPS_NAMED]
        says = f"last {dated_text(last[cause])}: {', '.join(most)}"
        yield Thing(LOST, (cause,), f"lost to {cause}", says, "losses loss", last[cause])


def put_on(entries: Iterable[Entry]) -> Iterator[Thing]:
    """The sprays and feeds among entries, each with where and how much."""
    for entry in entries:
        f = entry.fields
        what = ", ".join(
            filter(None, (f["beds"], f.get("amount"), f.get("target") and f"against {f['target']}"))
        )
        also = f"spray feed {f.get('reg_no') or ''} {f.get('active') or ''} {entry.id[-ID_SHOWN:]}"
        name = f"{entry.kind} {f['product']}"
        yield Thing(FIELD, (entry.id[-ID_SHOWN:],), name, f"{dated_text(entry.on)}: {what}", also, entry.on)


def notes(entries: Iterable[Entry]) -> Iterator[Thing]:
    """The notes among entries, each with what it is about."""
    for entry in entries:
        about = f"on {entry.fields['about']}: " if entry.fields.get("about") else ""
        text = str(entry.fields.get("text", ""))
        name = f"{dated_text(entry.on)} by {entry.by}"
        yield Thing(NOTE, (entry.id,), name, f"{about}{text}", entry.id[-ID_SHOWN:], entry.on)
