"""Beds and trays of one line, many at once: "b3 b5", "b1-b6", "b1 to b6", "all beds", "S12 S13"."""

from __future__ import annotations

from core.language.bed_names import take_beds, unknown_bed
from core.language.line import Line, Refused
from core.language.names import has_tray, take_trays
from core.language.words import ALL
from core.text import natural

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
    try:
        found = take_beds(line)
    except Refused as refused:
        if refused.problem.code == "unknown" or (needed and not trays):
            raise
        found = []
    line.take_words(BED_WORDS)
    return " ".join(dict.fromkeys((*found, *trays))) or None
