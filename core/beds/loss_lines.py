"""Plants lost in a bed, in a line; what is lost of stems is told apart from them."""

from __future__ import annotations

from core.beds.kinds import plants_left
from core.farm import Planting
from core.language.causes import need_cause
from core.language.line import Line, Reading, Refused, either
from core.language.names import has_bed, take_planting
from core.language.words import ALL
from core.tubers.store_and_bed import ask_store_or_bed
from core.units import plural


def lost(line: Line) -> Reading:
    """ "lost 5 slugs b3 zinnia": plants that stood in a bed."""
    is_named = has_bed(line)
    every = line.take_words((ALL,))
    half = bool(line.take_words(("half",)))
    line.take_words(("the", "of"))
    cause = need_cause(line, CAUSES)
    planting = take_planting(line)
    if not is_named:
        ask_store_or_bed(line, planting)
    _ask_stems_or_plants(line, planting, cause, is_named=is_named)
    left = plants_left(planting) if every or half else None
    if left is not None and half:
        line.remark(f"half of {plural(left, 'plant')}")
        left = (left + 1) // 2
    count = left or line.need_count("plants", "plants")
    return line.reading(
        line.draft("lost", count=count, planting=planting.code, cause=cause, ref=planting.made_by)
    )


def _ask_stems_or_plants(line: Line, planting: Planting, cause: str, *, is_named: bool) -> None:
    """Refuse what may be stems of a lot: their loss is written of the lot, and a plant is not lost with them."""
    crop, of_stems = planting.crop, cause in OF_STEMS
    lots = [lot.code for lot in line.farm.lots.live() if lot.crop == crop]
    of_plants = cause in CAUSES and cause != OTHER
    if of_plants or (is_named and not of_stems) or not (lots or of_stems):
        return
    lot = f"name their lot ({either(lots)})" if lots else f"no lot of {crop} is on hand"
    if of_stems:
        raise Refused(
            f"{cause.capitalize()} is of stems: {lot}; plants are lost to another cause.", "ambiguous", lots
        )
    raise Refused(f"Stems or plants? Of stems {lot}; of plants the bed, {planting.bed}.", "ambiguous", lots)


OTHER = "other"
OF_STEMS = frozenset(("blown", "shatter", "brittle", "faded", "unsold", "split", "soft", "moth", "dropped"))
"""Causes of which no plant in a bed is lost."""
CAUSES = ("slugs", "frost", "wind", "pests", "deer", "rabbits", "dried out", "disease", OTHER)
"""Why plants are lost in a bed: the short list that is offered."""
