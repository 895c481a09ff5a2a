"""Beds named in a line: by their codes, "bed 2", or many at once, "b1-b6"."""

from __future__ import annotations

from itertools import pairwise

from core.codes import canonical
from core.crops.own_crop import own_names
from core.farm import Farm
from core.language.crops import crops_called
from core.language.line import Line, Refused, either, short
from core.language.named_places import PLACE_GLUED
from core.language.words import FILLERS, is_keyword
from core.marked import typed_feet
from core.patterns import pattern
from core.text import nearest

_BED_LIKE = pattern(r"[a-z]{1,12}-?[0-9]{1,3}[a-z]?")
_BED_NUMBER = pattern(r"([a-z]{1,12})([0-9]{1,3})")
_BED_RANGE = pattern(r"([a-z]{1,12})([0-9]{1,3})(?:-|\.\.)([a-z]{1,12})?([0-9]{1,3})")
_BED_NAME = pattern(r"[a-z][a-z0-9-]{0,11}")


def take_bed(line: Line) -> str | None:
    """The code of the farm's bed named in the line; None where none is; refused where it is unknown."""
    beds = _beds_named(line)
    if len(beds) > 1:
        raise Refused(f"Two beds are named, {beds[0]} and {beds[1]}: write one line for each.", "ambiguous")
    return beds[0] if beds else None


def take_beds(line: Line) -> list[str]:
    """The codes of all beds named in the line ("b3 b5", "b1-b6", "b1 to b6"), at least one."""
    beds = beds_named(line)
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


def beds_named(line: Line) -> list[str]:
    """The codes of all beds named in the line, each once; none where none is."""
    return list(dict.fromkeys((*_take_ranges(line), *_beds_named(line))))
