"""Beds and trays of one line, many at once: "b3 b5", "b1-b6", "b1 to b6", "all beds", "S12 S13"."""

from __future__ import annotations

from itertools import pairwise

from core.language.line import Line, Refused
from core.language.names import has_tray, take_beds, take_trays, unknown_bed
from core.language.words import ALL
from core.patterns import pattern
from core.text import natural

_RANGE = pattern(r"([a-z]{1,12})([0-9]{1,3})(?:-|\.\.)([a-z]{1,12})?([0-9]{1,3})")
_CODE = pattern(r"([a-z]{1,12})([0-9]{1,3})")
BED_WORDS = ("bed", "beds")


def take_many_beds(line: Line, *, needed: bool = True) -> str | None:
    """The codes of the beds and trays named in the line, with a blank between, beds first; None where none is.

    Refused where one is unknown, or where none is and one is needed.
    """
    farm = line.farm
    if line.take_words((ALL,)):
        line.take_words(BED_WORDS)
        if not farm.beds:
            raise unknown_bed(farm, "b1")
        line.remark(f"all beds: {', '.join(sorted(farm.beds, key=natural))}")
        return " ".join(sorted(farm.beds, key=natural))
    trays = [tray.code for tray in take_trays(line)] if has_tray(line) else []
    found: list[str] = []
    for token in line.free():
        match = _RANGE.fullmatch(token.low) if token.is_word and token.low not in farm.beds else None
        if match is not None and match[3] in (None, match[1]):
            token.taken = True
            found += _between(line, match[1], int(match[2]), int(match[4]))
    for first, to in pairwise(line.free()):
        last = line.after(to) if to.low in ("to", "through") and line.after(first) is to else None
        begin, end = _CODE.fullmatch(first.low), _CODE.fullmatch(last.low) if last is not None else None
        if last is not None and begin and end and begin[1] == end[1] and first.low in farm.beds:
            first.taken = to.taken = last.taken = True
            found += _between(line, begin[1], int(begin[2]), int(end[2]))
    try:
        found += take_beds(line)
    except Refused as refused:
        if refused.problem.code == "unknown" or (needed and not (found or trays)):
            raise
    line.take_words(BED_WORDS)
    return " ".join(dict.fromkeys((*found, *trays))) or None


def _between(line: Line, letters: str, first: int, last: int) -> list[str]:
    """The farm's beds from one number to another; both must be there."""
    for number in (first, last):
        if f"{letters}{number}" not in line.farm.beds:
            raise unknown_bed(line.farm, f"{letters}{number}")
    if first > last:
        raise Refused(f"{letters}{first} to {letters}{last} runs backwards: write the smaller number first.")
    return [code for n in range(first, last + 1) if (code := f"{letters}{n}") in line.farm.beds]
