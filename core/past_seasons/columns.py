"""Which column of her table is which: as she says, else by what its head is called."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple, TypeAlias

from core.past_seasons.kinds import CUT, SALE, SOWING
from core.problems import Problem
from core.text import clean, nearest

Reads: TypeAlias = Literal["day", "crop", "text", "count", "number", "money"]


class Wanted(NamedTuple):
    """A field that a column may hold: how it is read, and heads by which it is known."""

    reads: Reads
    heads: tuple[str, ...]


FIELDS: Mapping[str, Wanted] = {
    "day": Wanted(
        "day", ("day", "date", "on", "cut on", "sold on", "sown on", "date cut", "date sold", "date sown")
    ),
    "crop": Wanted("crop", ("crop", "flower", "plant", "species", "flowers")),
    "variety": Wanted("text", ("variety", "cultivar", "color", "colour", "sort")),
    "bed": Wanted("text", ("bed", "row", "plot")),
    "use": Wanted("text", ("use", "for", "cut for")),
    "stems": Wanted(
        "count", ("stems", "stem count", "number", "quantity", "qty", "count", "stems cut", "stems sold")
    ),
    "bunches": Wanted("count", ("bunches", "bu", "bunch count", "bunches sold")),
    "culls": Wanted("count", ("culls", "culled", "thrown out")),
    "minutes": Wanted("number", ("minutes", "min", "time min")),
    "money": Wanted("money", ("money", "taken", "total", "amount", "revenue", "paid", "sum")),
    "each": Wanted("money", ("each", "price each", "unit price", "price per bunch", "price per stem")),
    "who": Wanted("text", ("who", "buyer", "customer", "sold to", "outlet", "to")),
    "seeds": Wanted("count", ("seeds", "seeds sown", "sown", "seed count", "cells")),
    "up": Wanted("count", ("up", "germinated", "emerged", "came up")),
}


class Sort(NamedTuple):
    """A sort of table: the kind of its entries, what it needs (of each group one), and what it may have."""

    kind: str
    needs: tuple[tuple[str, ...], ...]
    may: tuple[str, ...]

    @property
    def fields(self) -> tuple[str, ...]:
        """All that it may have."""
        return (*(name for group in self.needs for name in group), *self.may)


AMOUNT = ("stems", "bunches")
SORTS: Mapping[str, Sort] = {
    "cuts": Sort(CUT, (("day",), ("crop",), AMOUNT), ("variety", "bed", "use", "culls", "minutes")),
    "sales": Sort(SALE, (("day",), ("crop",), AMOUNT), ("variety", "money", "each", "who")),
    "sowings": Sort(SOWING, (("day",), ("crop",), ("seeds",)), ("variety", "up")),
}
TELLING = {"sowings": ("seeds", "up"), "sales": ("money", "each", "who"), "cuts": AMOUNT}
"""Sort -> fields that tell it, in the order in which they are asked."""


class Mapped(NamedTuple):
    """What a table is taken for: its sort, field -> its column's head, and the heads that are left out."""

    sort: str
    columns: Mapping[str, str]
    unused: tuple[str, ...]


def mapped(heads: Sequence[str], said: Mapping[str, str], sort: str | None = None) -> Mapped | Problem:
    """The columns of a table with these heads; `said` are field -> head as she gives them, "" for none of them."""
    known = {head.lower().strip(): head for head in heads}
    found: dict[str, str] = {}
    for name, head in said.items():
        if name not in FIELDS:
            near = nearest(name, FIELDS)
            return Problem(f"'{clean(name)[:24]}' is none of {', '.join(FIELDS)}.", "unknown", near)
        if head and head.lower().strip() not in known:
            shown = ", ".join(clean(one)[:24] for one in heads)
            return Problem(f"The table has no column '{clean(head)[:24]}': it has {shown}.", "unknown")
        found[name] = known[head.lower().strip()] if head else ""
    taken = {head for head in found.values() if head}
    for name, wanted in FIELDS.items():
        if name not in found:
            head = next((known[one] for one in wanted.heads if one in known and known[one] not in taken), "")
            if head:
                found[name] = head
                taken.add(head)
    found = {name: head for name, head in found.items() if head}
    is_sort = sort or next(
        (one for one, telling in TELLING.items() if any(name in found for name in telling)), "cuts"
    )
    of = SORTS[is_sort]
    for group in of.needs:
        if not any(name in found for name in group):
            names = " or ".join(group)
            return Problem(
                f"Which column has the {names} of these {is_sort}? Say it: --map {group[0]}=HEAD, with one of "
                f"{', '.join(clean(one)[:24] for one in heads)}.",
                "unknown",
            )
    columns = {name: found[name] for name in of.fields if name in found}
    return Mapped(is_sort, columns, tuple(head for head in heads if head not in columns.values()))
