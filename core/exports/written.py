"""What was written in the book as tables, one for each kind of entry: what counts, as it was put right."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from core.book.entry import Entry
from core.field_words import field_words, unit_of
from core.kinds import Field, fields_text
from core.subject import kinds_called
from core.units import plain_money

AMENDS = ("strike", "correct")
"""Kinds that say something of other entries: what they say is in those already."""
REFS = ("ref", "order_ref", "item_ref")
"""Ids that go with a code beside them."""


class Told(NamedTuple):
    """A column as the dictionary tells it: its head, what stands in it and in which unit ("" for none)."""

    head: str
    meaning: str
    unit: str = ""


class WrittenTable(NamedTuple):
    """All entries of one kind that count, as a table: its columns, and rows with a cell for each."""

    kind: str
    columns: tuple[Told, ...]
    rows: tuple[tuple[object, ...], ...]


HEADS = (
    Told("on", "day on the farm", "YYYY-MM-DD"),
    Told("written at", "when it was written down", "instant, UTC"),
    Told("by", "who wrote it"),
    Told("id", "the entry itself: 'cancel ID' takes it back"),
    Told("kind", "what was done"),
)
_UNIT_OF_HOLDS = {
    "day": "YYYY-MM-DD",
    "month_day": "MM-DD",
    "clock": "HH:MM, the farm's time",
    "flag": "yes or no",
}
_UNIT_OF_NAME = {
    "stems": "stems",
    "culls": "stems",
    "heads": "heads",
    "bunches": "bunches",
    "per": "stems",
    "seeds": "seeds",
    "plants": "plants",
    "cells": "cells",
    "minutes": "minutes",
    "hours": "hours",
    "days": "days",
    "every_days": "days",
    "dry_hours": "hours",
    "latitude": "degrees north",
    "longitude": "degrees east",
}
MONEY = "money, two decimals"


def written_tables(entries: Iterable[Entry], struck: frozenset[str]) -> Iterator[WrittenTable]:
    """A table for each kind of which any entry counts, by name; `entries` with their corrections."""
    by_kind: dict[str, list[Entry]] = {}
    for entry in entries:
        if entry.id not in struck and entry.kind not in AMENDS:
            by_kind.setdefault(entry.kind, []).append(entry)
    for kind, found in sorted(by_kind.items()):
        fields = _fields(kind, found)
        yield WrittenTable(
            kind,
            (*HEADS, *(_told(name, field) for name, field in fields.items())),
            tuple(_row(entry, fields) for entry in found),
        )


def _fields(kind: str, found: Sequence[Entry]) -> dict[str, Field]:
    """The fields of a kind in all subjects that write it, and those that entries of a newer shedbook have besides."""
    fields = {name: field for one in kinds_called(kind) for name, field in one.fields.items()}
    for entry in found:
        for name in entry.fields:
            fields.setdefault(name, Field("text", needed=False))
    return {name: field for name, field in fields.items() if name not in REFS}


def _told(name: str, field: Field) -> Told:
    if name.endswith("cents"):
        head = name.removesuffix("cents").strip("_") or "money"
        return Told(head, "what it comes to" if head == "money" else field_words(name), MONEY)
    unit = _UNIT_OF_HOLDS.get(field.holds) or _UNIT_OF_NAME.get(name) or unit_of(name)
    return Told(name.replace("_", " "), field_words(name), unit)


def _row(entry: Entry, fields: Mapping[str, Field]) -> tuple[object, ...]:
    head = (entry.on, entry.at, entry.by, entry.id, entry.kind)
    return (*head, *(_cell(name, entry.fields.get(name)) for name in fields))


def _cell(name: str, value: Any) -> object:
    if name.endswith("cents") and isinstance(value, int):
        return plain_money(value)
    if isinstance(value, Mapping):
        return fields_text(value)
    return ", ".join(map(str, value)) if isinstance(value, list | tuple) else value
