"""Beds made in a line: one, or a row of them, of one size."""

from __future__ import annotations

from core.dialect import told_size
from core.language.bed_names import new_bed_name
from core.language.line import Line, Reading, Refused, kept, short
from core.language.tokens import Number, Token
from core.marked import length_word, size_word, typed_feet
from core.measures import INCHES_A_FOOT
from core.patterns import pattern
from core.units import as_typed

USUAL_WIDTH_IN = 36
LEAST_WIDTH = {"in": 6, "cm": 15}
"""No bed is narrower."""


def bed(line: Line) -> Reading:
    """ "bed b3 50ft x 30in": a bed is made, or its size put right; "beds b1-b30 50ft": a row of them."""
    line.take_words(("bed", "beds", "x"))
    feet, width = _take_size(line)
    if names := _row_of_beds(line):
        return _make_beds(line, names, feet, width)
    name = new_bed_name(line)
    if feet is None:
        feet = line.take_length()
    line.refuse_leftovers()
    if feet is None:
        raise Refused(
            f"How long is bed {name}? Write its {length_word()}: bed {name} {typed_feet(50)}.",
            near=(typed_feet(50),),
        )
    if width is None:
        old = line.farm.beds.get(name)
        width = old.width_in if old else USUAL_WIDTH_IN
        line.remark(
            f"{told_size(width)} wide as before"
            if old
            else f"the usual width, {told_size(width)}, as none was said"
        )
    return line.reading(line.draft("bed", bed=name, feet=feet, width_in=width))


def _take_size(line: Line) -> tuple[Number | None, Number | None]:
    """The feet of a bed and its inches of width; "50ft x 3ft": of two lengths in feet the second is the width."""
    line.read_metric("ft")
    _ask_units(line)
    in_feet = [t for t in line.free() if t.number is not None and t.unit == "ft"]
    width = line.take_unit("in", size_word())
    if len(in_feet) == 2 and width is None:
        wide = in_feet[1].number
        assert wide is not None
        in_feet[1].taken, width = True, kept(wide * INCHES_A_FOOT)
    return line.take_unit("ft", length_word()), width


def _ask_units(line: Line) -> None:
    """Of a number on either side of "by", the second without its unit, neither is guessed."""
    bare = [t for t in line.free() if t.number is not None and not t.unit]
    lengths = [t for t in line.free() if t.number is not None and t.unit in ("", "ft")]
    if not bare or len(lengths) != 2 or bare[-1] is not lengths[-1]:
        return
    long, wide = (as_typed(t.number or 0) for t in lengths)
    long_in, wide_in = ("m", "cm") if line.way.metric else ("ft", "in")
    if (lengths[1].number or 0) < LEAST_WIDTH[wide_in]:  # no bed's width: the same unit is meant
        wide_in = long_in
    size = f"{long}{long_in} by {wide}{wide_in}"
    raise Refused(f"How long and how wide? Write each number with its unit: {size}.", "ambiguous", (size,))


_ROW = pattern(r"([a-z]{1,8}-?)([0-9]{1,3})-(?:([a-z]{1,8}-?))?([0-9]{1,3})")
BEDS_MOST = 100
"""Beds that one line makes."""


def _row_of_beds(line: Line) -> list[str]:
    """ "b1" to "b30" of "b1-b30" or "b1-30"; none where no row of beds is named."""
    for token in line.free():
        found = _ROW.fullmatch(_joined(line, token)) if token.is_word else None
        if found is None or found[3] not in (None, found[1]):
            continue
        first, last = int(found[2]), int(found[4])
        if not 0 < last - first < BEDS_MOST:
            raise Refused(
                f"{short(token.text)} would be no row of beds: write the lower number first, and {BEDS_MOST} "
                "at the most, such as b1-b30."
            )
        token.taken = True
        if token.low != found[0]:
            for other in line.words[line.words.index(token) + 1 :][:2]:
                other.taken = True
        return [f"{found[1]}{n}" for n in range(first, last + 1)]
    return []


def _joined(line: Line, token: Token) -> str:
    """ "b1-b6" of "b1 to b6"; the word itself where nothing follows it so."""
    to = line.after(token)
    last = line.after(to) if to is not None and to.low in ("to", "through", "thru") else None
    return f"{token.low}-{last.low}" if last is not None and last.is_word else token.low


def _make_beds(line: Line, names: list[str], feet: Number | None, width: Number | None) -> Reading:
    """Many beds of one size."""
    feet = line.take_length() if feet is None else feet
    if feet is None:
        raise Refused(
            f"How long are beds {names[0]} to {names[-1]}? Write their {length_word()}.",
            near=(typed_feet(50),),
        )
    if width is None:
        width = USUAL_WIDTH_IN
        line.remark(f"the usual width, {told_size(width)}, as none was said")
    return line.reading(*(line.draft("bed", bed=name, feet=feet, width_in=width) for name in names))
