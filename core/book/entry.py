"""An entry: one dated line of the book that is never edited."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

Fields: TypeAlias = Mapping[str, Any]
"""An entry's own fields: JSON values only (str, int, float, bool, None, lists and dicts of these)."""

HEAD = ("id", "on", "at", "by", "kind")
"""Names every entry has; a kind's own fields never use them."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What she means to write, before the book gives it an id and an instant.

    `on` is the farm-local date "YYYY-MM-DD". `kind` and `fields` are as `core.kinds` lists them.
    """

    kind: str
    on: str
    fields: Fields = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the book.

    `id` is a UUIDv7 in lower case (RFC 9562); `on` the farm-local date "YYYY-MM-DD"; `at` the UTC instant
    "YYYY-MM-DDTHH:MM:SS.mmmZ" (fixed width, so text order is time order); `by` initials.
    """

    id: str
    on: str
    at: str
    by: str
    kind: str
    fields: Fields = field(default_factory=dict)

    @property
    def key(self) -> tuple[str, str, str]:
        """The order of the fold: (`on`, `at`, `id`)."""
        return (self.on, self.at, self.id)

    def as_dict(self) -> dict[str, Any]:
        """One flat JSON object: the five head fields first, then the kind's own."""
        return {"id": self.id, "on": self.on, "at": self.at, "by": self.by, "kind": self.kind, **self.fields}

    @staticmethod
    def from_dict(flat: Mapping[str, Any]) -> Entry:
        """The entry in `flat`; raises KeyError or TypeError where a head field is missing or no text."""
        fields = dict(flat)
        pop = fields.pop
        id, on, at, by, kind = pop("id"), pop("on"), pop("at"), pop("by"), pop("kind")
        if not type(id) is type(on) is type(at) is type(by) is type(kind) is str:
            raise TypeError("id, on, at, by and kind must be text")
        return Entry(id, on, at, by, kind, fields)
