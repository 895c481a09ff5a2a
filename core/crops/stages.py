"""Stage cards: what to look for before cutting, for each use, and what is too late."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

from core.crops.figure_words import cooler_told, how_to_write
from core.crops.sheet import Figure, Sheet
from core.places import Use
from core.text import wrapped

WIDEST = 76
"""Columns a line of a card may take: it stands in a frame on an 80-column screen."""


FRESH_HANDLING = "Cut in the cool of the morning, straight into clean water [S65 S66]."
DRY_HANDLING = "Cut once dew is gone and the flower dry; strip leaves [S02 S101 S105]."
DRY_TEST = "Dry when a stem snaps as it is bent [S100]."
WIRE_HANDLING = "Wire while it is fresh: once dry the neck is brittle (common practice)."


WarningSort: TypeAlias = Literal["stage", "ethylene", "caution", "sources"]
"""What a warning is about: too early or too late, keeping it, what can hurt someone, sources that differ."""


@dataclass(frozen=True, slots=True)
class StageCard:
    """What to look for and what to beware of when `crop` is cut for `use`; no line is wider than `WIDEST`.

    `sorts` says of each line of `warn` what it is.
    """

    crop: str
    use: Use
    look: tuple[str, ...]
    warn: tuple[str, ...]
    sorts: tuple[WarningSort, ...]


def stage_card(sheet: Sheet, use: Use) -> StageCard:
    """The card for one use of a crop; where no stage is known for the use, the card says so."""
    look = {"fresh": _fresh, "dry": _dry, "wire": _wire}[use](sheet)
    warn = [(line, sort) for sort, said in _warnings(sheet, use) for line in _lines([said])]
    return StageCard(
        sheet.crop, use, _lines(look), tuple(line for line, _ in warn), tuple(sort for _, sort in warn)
    )


def _fresh(sheet: Sheet) -> list[str]:
    if sheet.fresh_stage is None:
        return [_unknown(sheet, "fresh_stage", "fresh cutting")]
    facts = [
        _said("bunch of", sheet.stems_per_fresh_bunch),
        _said("vase", sheet.vase_life_days, "days"),
        cooler_told(sheet.storage_temp_f),
        _said("in it at most", sheet.storage_days_max, "days"),
    ]
    return [
        f"Look for: {sheet.fresh_stage.text}.",
        _sentence([_said("first cut:", sheet.first_cut_method)]),
        _sentence(facts),
        FRESH_HANDLING,
    ]


def _dry(sheet: Sheet) -> list[str]:
    stage = sheet.dry_stage
    if stage is None:
        return [_unknown(sheet, "dry_stage", "drying")]
    if not _is_dried(sheet):
        return [f"For drying: {stage.text}."]
    facts = [
        _said("bunch of", sheet.stems_per_dried_bunch),
        _said("about", sheet.drying_days, "days"),
        _said("", sheet.drying_method),
    ]
    return [
        f"Look for: {stage.text}.",
        DRY_HANDLING,
        _sentence(facts),
        DRY_TEST,
        _sentence([_said("once dry", sheet.dried_result)]),
    ]


def _wire(sheet: Sheet) -> list[str]:
    if sheet.wire_stage is None:
        return [_unknown(sheet, "wire_stage", "wiring the fresh head")]
    facts = [_said("about", sheet.drying_days, "days to dry")]
    return [f"Look for: {sheet.wire_stage.text}.", WIRE_HANDLING, _sentence(facts)]


def _unknown(sheet: Sheet, figure: str, what: str) -> str:
    """That no stage is known; of a crop of the farm's own with the line that tells it."""
    if sheet.own_like is None:
        return f"No stage for {what} was found."
    return f"No stage for {what} is known yet: {how_to_write(sheet.crop, figure)}"


def _is_dried(sheet: Sheet) -> bool:
    return sheet.dry_stage is not None and not sheet.dry_stage.text.startswith("not ")


def _warnings(sheet: Sheet, use: Use) -> Iterator[tuple[WarningSort, str]]:
    if use == "fresh" and sheet.too_early is not None:
        yield "stage", f"Too early: {sheet.too_early.text}."
    has_stage = {"fresh": bool(sheet.fresh_stage), "dry": _is_dried(sheet), "wire": bool(sheet.wire_stage)}
    if sheet.too_late is not None and has_stage[use]:
        yield "stage", f"Too late: {sheet.too_late.text}."
    if use == "fresh" and sheet.ethylene is not None and sheet.ethylene.value == "yes":
        yield "ethylene", "Hurt by ethylene: keep it from fruit and rotting leaves."
    if sheet.caution is not None:
        yield "caution", sheet.caution.text
    for clash in sheet.clashes:
        if clash.figure in _SHOWN[use]:
            readings = "; ".join(f"{r.text} ({r.source})" for r in clash.readings)
            yield "sources", f"Sources differ: {readings}."


_SHOWN = {"fresh": ("fresh_stage", "storage_temp_f"), "dry": ("dry_stage",), "wire": ("wire_stage",)}
"""The figures each card shows, for which a clash between sources is told."""


def _said(before: str, figure: Figure[Any] | None, after: str = "") -> str:
    """A few words about a figure, "" where it was not found."""
    return " ".join(filter(None, (before, figure.text, after))) if figure is not None else ""


def _sentence(parts: Iterable[str]) -> str:
    """The parts that are there as one sentence, "" where none is."""
    said = "; ".join(filter(None, parts))
    return f"{said[0].upper()}{said[1:]}." if said else ""


def _lines(sentences: Iterable[str]) -> tuple[str, ...]:
    return tuple(wrapped(filter(None, sentences), WIDEST))
