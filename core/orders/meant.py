"""Which item of an order the words of a line name."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, overload

from core.language.line import Line, Refused, either
from core.order_rows import Item, Order


@overload
def item_meant(kept: Order, part: Line, *, must: Literal[True] = True) -> Item: ...
@overload
def item_meant(kept: Order, part: Line, *, must: Literal[False]) -> Item | None: ...
def item_meant(kept: Order, part: Line, *, must: bool = True) -> Item | None:
    """The item that the words name by its crop or recipe, else the only one there is; where there are several, None,
    or the question which where one is needed. The word is left in the line, but where none is needed."""
    wanted = kept.wanted_items
    named = {t.low: t for t in part.free() if t.is_word}
    said = [item for item in wanted if _is_named(item, named)]
    if not must:
        if len(said) != 1:
            return None
        for low, token in named.items():
            if says_item(said[0], low):
                token.taken = True
        return said[0]
    found = said or wanted
    if len(found) != 1:
        names = [item.name for item in found]
        raise Refused(
            f"Which item of {kept.code}? It has {either(names, 'and')}: name it as well."
            if names
            else f"{kept.code} has no item: write one, such as order {kept.code} 20 bu lavender dry.",
            "ambiguous",
            names[:6],
        )
    return found[0]


def _is_named(item: Item, words: Iterable[str]) -> bool:
    return any(_names(item, word) for word in words)


def says_item(item: Item, word: str) -> bool:
    """Whether the word is part of what an item is called: its crop, recipe, colors, form."""
    return _names(item, word) or word in (item.form, *" ".join(item.colors).lower().split())


def _names(item: Item, word: str) -> bool:
    name = (item.recipe or item.crop).lower()
    singular = word.removesuffix("s")
    return len(singular) > 2 and (name.startswith(singular) or singular in name.replace(",", "").split())
