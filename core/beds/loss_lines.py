"""Plants lost in a bed, in a line; what is lost of stems or of blooms is told apart from them."""

from __future__ import annotations

from core.beds.kinds import plants_left
from core.farm import Planting
from core.language.causes import need_cause, take_cause
from core.language.crops import take_crop
from core.language.line import Line, Reading, Refused, either
from core.language.names import has_bed, take_planting
from core.language.words import ALL
from core.tubers.store_and_bed import ask_store_or_bed
from core.units import plural


def lost(line: Line) -> Reading:
    """ "lost 5 slugs b3 zinnia": plants that stood in a bed."""
    is_named = has_bed(line)
    _refuse_blooms(line)
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


BLOOMS = frozenset(("bloom", "blooms", "flower", "flowers", "heads", "buds", "stem", "stems"))


def _refuse_blooms(line: Line) -> None:
    """Refuse what is lost of the blooms on plants that live: it is written as culls of a cut, and said how."""
    told = any(t.unit == "stems" or (t.is_word and t.low in BLOOMS) for t in line.free())
    bed = next((code for t in line.free() if (code := t.low.partition("-")[0]) in line.farm.beds), None)
    if not told or bed is None:
        return
    many = next((f"{t.number:g}" for t in line.free() if t.number is not None), "40")
    cause, crop = take_cause(line) or "hail", take_crop(line)
    crop = crop or next((p.crop for p in line.farm.standing_in(bed)), "zinnia")
    cull, dead = f"0 {crop} {bed} culls {many} {cause}", f"lost 6 {cause} {bed} {crop}"
    raise Refused(
        f"Blooms spoiled on plants that live are culls of a cut, bed by bed: {cull}. Plants that are dead: {dead}.",
        "unreadable",
        (cull, dead),
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
