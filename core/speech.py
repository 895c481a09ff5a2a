"""How a farm speaks: its dialect, and the words of hers that are never changed for it."""

from __future__ import annotations

from collections.abc import Iterator

from core.dialect import AS_WRITTEN, keep, speak, way_of
from core.farm import Farm
from core.stems.buyers import known_buyers


def speak_as(farm: Farm) -> None:
    """From now on everything is told in the words and the units of this farm."""
    way = way_of(farm.settings)
    speak(way)
    if way != AS_WRITTEN:
        keep(_hers(farm))


def _hers(farm: Farm) -> Iterator[str | None]:
    yield farm.settings.name
    yield from (variety for known in farm.varieties.values() for variety in known)
    yield from known_buyers(farm)
    yield from (note.text for note in farm.notes)
    yield from (*farm.own_crops, *farm.beds, *farm.recipes, *farm.makings)
    yield from (box.where for box in farm.boxes.values())
    yield from (figure.source for own in farm.sheets.values() for figure in own.values())
