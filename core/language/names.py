"""Beds, trays, plantings and lots named in a line, and what is meant where none is named."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from core.codes import LOT, PLANTING, TRAY, canonical
from core.crops.color import called_so
from core.crops.own_crop import own_names
from core.farm import Farm, Lot, Planting, Tray
from core.language.crops import crops_called, take_crop, take_variety, take_variety_of, unknown_crop
from core.language.line import Line, Refused, either, short
from core.language.named_places import PLACE_GLUED
from core.language.tokens import Token
from core.language.words import FILLERS, is_keyword
from core.marked import typed_feet
from core.patterns import pattern
from core.places import Holding, Place
from core.register import Register, T
from core.seed_rows import Packet
from core.text import named, nearest

_BED_LIKE = pattern(r"[a-z]{1,12}-?[0-9]{1,3}[a-z]?")
LOTS_TOLD = 4
"""Lots that may be meant that are all told; of more, one is an example."""
_BED_NUMBER = pattern(r"([a-z]{1,12})([0-9]{1,3})")
_BED_RANGE = pattern(r"([a-z]{1,12})([0-9]{1,3})(?:-|\.\.)([a-z]{1,12})?([0-9]{1,3})")
_BED_NAME = pattern(r"[a-z][a-z0-9-]{0,11}")


# beds


def take_bed(line: Line) -> str | None:
    """The code of the farm's bed named in the line; None where none is; refused where it is unknown."""
    beds = _beds_named(line)
    if len(beds) > 1:
        raise Refused(f"Two beds are named, {beds[0]} and {beds[1]}: write one line for each.", "ambiguous")
    return beds[0] if beds else None


def take_beds(line: Line) -> list[str]:
    """The codes of all beds named in the line ("b3 b5", "b1-b6", "b1 to b6"), at least one."""
    beds = list(dict.fromkeys((*_take_ranges(line), *_beds_named(line))))
    if not beds:
        raise Refused("Which bed? Write its code, such as b3.", near=list(line.farm.beds)[:6])
    return beds


def _beds_named(line: Line) -> list[str]:
    found = _numbered_beds(line)
    for token in line.free():
        is_after_bed = (
            (before := line.after(token, -1)) is not None and before.is_word and before.low == "bed"
        )
        is_bed = token.is_word and (
            token.low in line.farm.beds
            or (_BED_LIKE.fullmatch(token.low) and not canonical(token.low) and not is_keyword(token.low))
            or (is_after_bed and not is_keyword(token.low))
        )
        if is_bed:
            token.taken = True
            if is_after_bed and before:
                before.taken = True
            if token.low not in line.farm.beds:
                raise unknown_bed(line.farm, token.low)
            if token.low not in found:
                found.append(token.low)
    return found


def _take_ranges(line: Line) -> list[str]:
    """The farm's beds from one to another: "b1-b6", "b1 to b6"."""
    farm, found = line.farm, list[str]()
    for token in line.free():
        match = _BED_RANGE.fullmatch(token.low) if token.is_word and token.low not in farm.beds else None
        if match is not None and match[3] in (None, match[1]):
            token.taken = True
            found += _between(farm, match[1], int(match[2]), int(match[4]))
    for first, to in pairwise(line.free()):
        last = line.after(to) if to.low in ("to", "through") and line.after(first) is to else None
        begin, end = _BED_NUMBER.fullmatch(first.low), _BED_NUMBER.fullmatch(last.low) if last else None
        if last is not None and begin and end and begin[1] == end[1] and first.low in farm.beds:
            first.taken = to.taken = last.taken = True
            found += _between(farm, begin[1], int(begin[2]), int(end[2]))
    return found


def _between(farm: Farm, letters: str, first: int, last: int) -> list[str]:
    """The farm's beds from one number to another; both must be there."""
    for number in (first, last):
        if f"{letters}{number}" not in farm.beds:
            raise unknown_bed(farm, f"{letters}{number}")
    if first > last:
        raise Refused(f"{letters}{first} to {letters}{last} runs backwards: write the smaller number first.")
    return [code for n in range(first, last + 1) if (code := f"{letters}{n}") in farm.beds]


def _numbered_beds(line: Line) -> list[str]:
    """b2 of "bed 2", where the farm's beds are called so."""
    found = []
    for token in line.free():
        number = line.after(token) if token.is_word and token.low == "bed" else None
        if number is not None and (code := f"b{number.text}") in line.farm.beds:
            token.taken = number.taken = True
            found.append(code)
    return found


def unknown_bed(farm: Farm, bed: str) -> Refused:
    """The refusal of a bed the farm does not have."""
    shown = short(bed)
    if not farm.beds:
        return Refused(
            f"There is no bed {shown} yet: write 'bed {shown} {typed_feet(50)}' to make it.", "unknown"
        )
    near = (
        nearest(bed, farm.beds) or tuple(b for b in farm.beds if b[0] == bed[0])[:3] or tuple(farm.beds)[:3]
    )
    return Refused(
        f"There is no bed {shown}; there is {either(near, 'and')}. 'bed {shown} {typed_feet(50)}' makes one.",
        "unknown",
        near,
    )


def new_bed_name(line: Line) -> str:
    """The name of a bed to be made: the one word left. Names that mean something else are refused."""
    words = [t for t in line.free() if t.is_word and t.low not in FILLERS]
    if not words:
        raise Refused(f"Which bed? Write its code and its length: bed b3 {typed_feet(50)}.")
    token = words[0]
    name, shown = token.low, short(token.low)
    if canonical(name) and name not in line.farm.beds:
        other = f"b{name}" if f"b{name}" not in line.farm.beds else f"bed{name}"
        raise Refused(
            f"{shown.upper()} would be a tray, planting, lot or order: call the bed {other}, or something like b3.",
            "impossible",
            (other,),
        )
    if not _BED_NAME.fullmatch(name):
        raise Refused(f"A bed is called by a letter and a number or a short word, not '{shown}': such as b3.")
    known = name in line.farm.beds
    if not known and (
        is_keyword(name) or crops_called(name, own_names(line.farm)) or PLACE_GLUED.fullmatch(name)
    ):
        raise Refused(
            f"'{shown}' means something else in a line: call the bed something like b3.", "impossible"
        )
    token.taken = True
    return name


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
    beds = dict.fromkeys((*_take_ranges(line), *_beds_named(line)))
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
