"""A crop sheet as text and as JSON: every figure beside the source it rests on."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

from core.crops.library import caution
from core.crops.sheet import FIGURES, Figure, Sheet
from core.crops.sources import cited
from core.crops.stages import StageCard
from tui.wrapping import WIDTH


def sheet_lines(sheet: Sheet, cards: Sequence[StageCard]) -> Iterator[str]:
    """The sheet, its clashes, the stage cards and the sources, no line wider than 78 columns."""
    way = f", {sheet.way} way" if sheet.way else ""
    yield f"{sheet.title}{way} ({sheet.botanical})"
    for name, figure in sheet.figures().items():
        yield from _wrap(f"{FIGURES[name].label + ':':34} {figure.text}  [{figure.source}]", 35)
        if figure.instead_of is not None:
            yield from _wrap(f"{'':34} instead of {figure.instead_of.text}  [{figure.instead_of.source}]", 35)
    if sheet.heat_units_to_first_cut is None:
        label = FIGURES["heat_units_to_first_cut"].label
        yield from _wrap(f"{label + ':':34} no published figure was found; your own may stand here", 35)
    for clash in sheet.clashes:
        yield from _wrap(f"Sources clash on {_called(clash.figure)}:", 2)
        for reading in clash.readings:
            yield from _wrap(f"  {reading.text}  [{reading.source}]", 4)
    for card in cards:
        yield ""
        yield f"To cut {card.use}"
        yield from (f"  {line}" for line in card.look)
        yield from (f"! {line}" for line in card.warn)
    if said := caution(sheet.crop):
        yield ""
        yield from _wrap(f"! {said}", 2)
    if sheet.notes:
        yield ""
        yield from _wrap(sheet.notes, 0)
    yield ""
    yield "Sources"
    for source in cited(" ".join(sheet.sources)):
        yield from _wrap(
            f"  {source.id:5} {source.title}. {source.publisher}, {source.year} ({source.grade})", 8
        )


def sheet_json(sheet: Sheet, cards: Sequence[StageCard]) -> dict[str, Any]:
    """{"crop", "way", "botanical", "figures": {name: {"value", "source"}}, "clashes", "cards", "caution"}."""
    return {
        "crop": sheet.crop,
        "way": sheet.way,
        "botanical": sheet.botanical,
        "figures": {name: _figure(figure) for name, figure in sheet.figures().items()},
        "clashes": sheet.clashes,
        "cards": cards,
        "caution": caution(sheet.crop),
        "notes": sheet.notes,
        "sources": [source.id for source in cited(" ".join(sheet.sources))],
    }


def _called(name: str) -> str:
    return FIGURES[name].label if name in FIGURES else name


def _figure(figure: Figure[Any]) -> dict[str, Any]:
    found = {"value": figure.value, "source": figure.source}
    if figure.instead_of is not None:
        found["instead_of"] = _figure(figure.instead_of)
    return found


def _wrap(text: str, indent: int) -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=" " * indent, drop_whitespace=True) or [""]
