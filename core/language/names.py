"""Beds, trays, plantings and lots named in a line, and what is meant where none is named."""

from __future__ import annotations

from collections.abc import Callable

from core.codes import LOT, PLANTING, TRAY, canonical
from core.crops.color import called_so
from core.farm import Farm, Lot, Planting, Tray
from core.language.bed_names import beds_named, take_bed
from core.language.crops import take_crop, take_variety, take_variety_of, unknown_crop
from core.language.line import Line, Refused, either
from core.language.tokens import Token
from core.language.words import is_keyword
from core.marked import typed_feet
from core.places import Holding, Place
from core.register import Register, T
from core.seed_rows import Packet
from core.text import named, nearest

LOTS_TOLD = 4
"""Lots that may be meant that are all told; of more, one is an example."""


# trays, plantings, lots


def is_code(word: str, letter: str) -> bool:
    """Whether the word is the code of a tray (S), planting (P) or lot (L), known or not."""
    return (canonical(word) or "").startswith(letter)


def _known(codes: list[str], register: Register[T], what: str) -> list[T]:
    found = []
    for code in codes:
        item = register.get(code)
        if item is None:
            live = [it.code for it in register.live()]
            near = tuple(c.upper() if c.upper() in live else c for c in nearest(code, live)) or tuple(
                live[-3:]
            )
            hint = f"; there is {either(near, 'and')}." if near else " yet."
            raise Refused(f"There is no {what} {code}{hint}", "unknown", near)
        found.append(item)
    return found


def agree(line: Line, item: Tray | Planting | Lot | Packet) -> None:
    """Take the crop if it is named beside a code, and refuse where the two do not agree."""
    crop = take_crop(line)
    if crop not in (None, item.crop):
        raise Refused(f"{item.code} is {item.crop}, not {crop}: which is meant?", "ambiguous", [item.code])
    line.crop, line.crop_sought = item.crop, True


def take_trays(line: Line) -> list[Tray]:
    """The trays named in the line, by code, or by their crop, and variety, where there is one living tray of it."""
    found = _known(line.take_codes("S"), line.farm.trays, "tray")
    if found:
        agree(line, found[0])
        return found
    crop = take_crop(line, lambda: (t.crop for t in line.farm.trays.live()))
    live = [t for t in line.farm.trays.live() if crop in (None, t.crop)]
    of = f" of {crop}" if crop else ""
    if crop and (variety := take_variety_of(line, (t.variety for t in live))):
        live = called_so(live, variety)
        of = f" of {named(crop, variety)}"
    if not live:
        if crop is None:
            raise Refused("There is no living tray: write 'sow 72 strawflower' for a new one.", "unknown")
        raise Refused(
            f"There is no living tray{of}: write 'sow 72 seeds {crop}' for a new one, or, for what goes into a bed "
            f"without one, 'plant {crop} b3 {typed_feet(10)} 20 plants'.",
            "unknown",
        )
    if crop is None or len(live) > 1:
        raise Refused(
            f"Which tray{of}? Write its code, such as {live[-1].code}.", near=[t.code for t in live][:6]
        )
    line.remark(f"{live[0].code} is the one tray{of}")
    return live


def take_tray(line: Line) -> Tray:
    """The one tray named in the line."""
    found = take_trays(line)
    if len(found) > 1:
        raise Refused(f"{found[0].code} and {found[1].code}: write one line for each.", "ambiguous")
    return found[0]


def take_share(line: Line, alive: int) -> int | None:
    """So many of the plants as "half of S12" says, the odd one with them, or "the rest of S12"; None where it says
    neither."""
    if line.take_words(("half",)):
        return -(-alive // 2)
    return alive if line.take_words(("rest", "remaining")) else None


def take_plantings(line: Line) -> list[Planting]:
    """Plantings named by code, or what stands in the bed named, of the crop named if one is."""
    found = _known(line.take_codes("P"), line.farm.plantings, "planting")
    if found:
        agree(line, found[0])
        return found
    bed = take_bed(line)
    return _stand_in(line, bed, take_crop(line, lambda: (p.crop for p in line.farm.plantings.live())))


def take_plantings_of_beds(line: Line) -> list[list[Planting]]:
    """What stands in each bed named, of the crop named if one is; or the plantings named by code, one by one."""
    found = _known(line.take_codes("P"), line.farm.plantings, "planting")
    if found:
        agree(line, found[0])
        return [[planting] for planting in found]
    beds = beds_named(line)
    crop = take_crop(line, lambda: (p.crop for p in line.farm.plantings.live()))
    return [_stand_in(line, bed, crop) for bed in beds] or [_stand_in(line, None, crop)]


def _stand_in(line: Line, bed: str | None, crop: str | None) -> list[Planting]:
    if crop is not None and bed is not None:
        crop = as_it_stands(line, crop, bed)
    variety = take_variety(line, crop) if crop else None
    if bed is None and crop is None:
        raise Refused("Which bed, and which crop in it?", near=list(line.farm.beds)[:6])
    stand = [p for p in line.farm.plantings.live() if crop in (None, p.crop) and bed in (None, p.bed)]
    stand = called_so(stand, variety)
    if not stand:
        name = named(crop or "Nothing", variety)
        where = f"in bed {bed}" if bed else "in any bed"
        elsewhere = beds_of(line.farm, crop) if crop else ()
        hint = f" It stands in {either(elsewhere, 'and')}." if elsewhere and bed else ""
        verb = "stands" if crop is None else "is not on record"
        raise Refused(f"{name} {verb} {where}.{hint}", "unknown", elsewhere)
    return stand


def take_planting(line: Line) -> Planting:
    """The one planting that the line means; refused where it may be several."""
    return one_planting(take_plantings(line))


def one_planting(stand: list[Planting]) -> Planting:
    """The only planting of those that stand in a bed; Refused, which asks for the crop, where there are several."""
    if len(stand) > 1:
        crops = tuple(dict.fromkeys(p.crop for p in stand))
        if len(crops) > 1:
            raise Refused(
                f"Bed {stand[0].bed} has {either(crops, 'and')}: name the crop.", "ambiguous", crops
            )
        raise several(stand)
    return stand[0]


def several(stand: list[Planting]) -> Refused:
    """The question which of several plantings of one crop."""
    names = [f"{p.code} ({' '.join(filter(None, (p.variety, 'in', p.bed)))})" for p in stand]
    return Refused(
        f"There are {len(stand)} plantings of {stand[0].crop}: name {either(names[:4])}.",
        "ambiguous",
        [p.code for p in stand],
    )


def beds_of(farm: Farm, crop: str) -> tuple[str, ...]:
    """The beds in which a crop stands."""
    return tuple(dict.fromkeys(p.bed for p in farm.plantings.live() if p.crop == crop))


def as_it_stands(line: Line, crop: str, bed: str) -> str:
    """The crop that a name means where a bed is named: one that stands there by a longer name ("nigella orientalis",
    her own) where what the name says alone does not; remarked on."""
    there = {planting.crop for planting in line.farm.standing_in(bed)}
    longer = [other for other in there if other.lower().startswith(f"{crop.lower()} ")]
    if crop in there or len(longer) != 1:
        return crop
    line.remark(f"{longer[0]}, as it stands in bed {bed}")
    line.crop = longer[0]
    return longer[0]


def stands_in(farm: Farm, crop: str, bed: str) -> list[Planting]:
    """The plantings of a crop in a bed."""
    return [p for p in farm.standing_in(bed) if p.crop == crop]


def take_lots(line: Line, *, empty: bool = False) -> list[Lot]:
    """The lots named by code, each with something on hand; or `empty` as well."""
    found = _known(line.take_codes("L"), line.farm.lots, "lot")
    for lot in found:
        if not lot.is_live and not empty:
            raise Refused(
                f"{lot.code} ({lot.crop}) has nothing on hand: all of it is sold, used or lost.", "impossible"
            )
    if found:
        agree(line, found[0])
        line.use = found[0].use
    return found


def take_named_lot(line: Line, *, empty: bool = False) -> Lot | None:
    """The lot named by code, None where none is; two are refused, and one with nothing on hand unless `empty`."""
    named = take_lots(line, empty=empty)
    if len(named) > 1:
        raise Refused(f"{named[0].code} and {named[1].code}: write one line for each.", "ambiguous")
    return named[0] if named else None


def take_lot(line: Line, held: Callable[[Place, Holding], bool], where: str) -> Lot:
    """The one lot named by code, or the one lot (of the crop named) that holds something as `held` asks."""
    if one := take_named_lot(line):
        return one
    there = [
        lot
        for lot in line.farm.lots.live()
        if any(h.stems > 0 and held(p, h) for p, h in lot.holdings.items())
    ]
    crop = take_crop(line, lambda: (lot.crop for lot in there))
    fit = [lot for lot in there if crop in (None, lot.crop)]
    if not fit:
        raise Refused(f"There is no lot{f' of {crop}' if crop else ''} {where}.", "impossible")
    if crop is None and (unknown := _unknown_word(line)):
        raise unknown_crop(line, unknown)
    recipe = next((t.low for t in line.free() if t.low in line.farm.recipes), None)
    if len(fit) > 1 and recipe is not None:
        raise Refused(f"No {recipe} is made and on hand: 'make 1 {recipe}' makes it first.", "impossible")
    if len(fit) > 1:
        told = [f"{lot.code} ({named(lot.crop, lot.variety)})" for lot in fit]
        which = (
            f"Which lot: {either(told)}? Write its code"
            if len(fit) <= LOTS_TOLD
            else "Which lot? Write its code"
        )
        raise Refused(f"{which}, such as {fit[-1].code}.", near=[x.code for x in fit[::-1]][:6])
    line.remark(f"{fit[0].code} is the one lot{f' of {crop}' if crop else ''} {where}")
    line.crop, line.use = fit[0].crop, fit[0].use
    return fit[0]


def _unknown_word(line: Line) -> Token | None:
    """A plain word that means nothing in any line, and so may be a crop that there is not."""
    known = line.farm.recipes.keys() | line.farm.causes.keys()
    return next(
        (
            t
            for t in line.free()
            if t.is_word and t.low.isalpha() and t.low not in known and not is_keyword(t.low)
        ),
        None,
    )


# what a line names, for a word that may mean several things


def has_lot(line: Line) -> bool:
    """Whether a lot's code stands in the line."""
    return any(t.is_word and is_code(t.low, LOT) for t in line.words)


def has_tray(line: Line) -> bool:
    """Whether a tray's code stands in the line."""
    return any(t.is_word and is_code(t.low, TRAY) for t in line.words)


def has_bed(line: Line) -> bool:
    """Whether a bed of the farm, or a planting's code, stands in the line."""
    return any(t.is_word and (t.low in line.farm.beds or is_code(t.low, PLANTING)) for t in line.words)


def names_crop(line: Line) -> bool:
    """Whether a crop, or what may be several, is named in the line."""
    try:
        return take_crop(line) is not None
    except Refused:
        return True
