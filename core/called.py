"""What an entry calls by a code: the tray, the planting or the lot that it speaks of."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic

from core.book.entry import Draft, Entry
from core.farm import Farm
from core.problems import Problem
from core.refusals import unknown
from core.register import Register, T, same


@dataclass(frozen=True, slots=True)
class Called(Generic[T]):
    """A sort of thing that entries name by its code, and where the farm keeps such things."""

    sort: str
    """What it is ("tray"), and the field of an entry that holds its code."""
    register: Callable[[Farm], Register[T]]

    def find(self, farm: Farm, item: Draft | Entry) -> T | None:
        """What the entry or draft speaks of; None where the farm has none."""
        return same(item.fields[self.sort], item.fields.get("ref"), self.register(farm))

    def find_or_matter(self, farm: Farm, entry: Entry) -> T | None:
        """The same; that the farm has none is a matter to settle."""
        found = self.find(farm, entry)
        if found is None:
            farm.note_unknown(self.sort, entry.fields[self.sort], entry.id)
        return found

    def need(self, farm: Farm, draft: Draft) -> T | Problem:
        """What the draft speaks of, or the refusal with what there is."""
        found = self.find(farm, draft)
        if found is None:
            live = [item.code for item in self.register(farm).live()]
            return unknown(self.sort, draft.fields[self.sort], live)
        return found
