"""Codes that machines apart gave to two things: which entry speaks of which, and what each is called."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from core.amend import with_fields
from core.book.entry import Entry
from core.farm import Farm
from core.register import Item, as_called, as_given


class SharedCodes:
    """The names of what shares its code with something else; `of` says an entry with the name that was meant."""

    def __init__(self, farm: Farm) -> None:
        items: list[Item] = []
        if farm.given_twice:
            registers = (farm.trays, farm.plantings, farm.lots, farm.pieces, farm.orders, farm.packets)
            items = [item for register in registers for item in register.all()]
            items += [*farm.plans.values(), *farm.piece_plans.values()]
        shared = Counter(as_given(item.code) for item in items)
        self._by_maker = {item.made_by: item.code for item in items if shared[as_given(item.code)] > 1}

    def concerns(self, row: Mapping[str, object]) -> bool:
        """Whether an entry, as a flat JSON object, makes or speaks of such a thing."""
        # as text: a line that no shedbook wrote may hold a list there
        names = (row["id"], str(row.get("ref")), str(row.get("entry")))
        return bool(self._by_maker) and not self._by_maker.keys().isdisjoint(names)

    def of(self, entry: Entry) -> Entry:
        """The entry with the name by which what it makes or speaks of is called now."""
        if not self._by_maker:
            return entry
        fields = entry.fields  # a correction names the entry that made it
        makers = (entry.id, str(fields.get("ref")), str(fields.get("entry")))
        name = next((self._by_maker[maker] for maker in makers if maker in self._by_maker), None)
        if name is None:
            return entry
        now = {
            field: name
            for field, value in fields.items()
            if isinstance(value, str) and as_given(as_called(value)) == as_given(name)
        }
        return with_fields(entry, now)
