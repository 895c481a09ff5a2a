"""What somebody asks for, read as an order is: "lavender dry 40bu 10-15", "120 strawflower apricot dry by 09-19",
"40 zinnia coral or peach, 12 corsages by friday"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

from core.book.entry import Draft
from core.farm import Farm
from core.language.line import NO_BOOK, Line, Refused
from core.language.words import FILLERS
from core.order_rows import Item, deliveries_of
from core.orders.item_text import item_text
from core.orders.item_words import item_fields, parts_of, read_item
from core.orders.kinds import split
from core.orders.open_items import accepts
from core.orders.order_words import take_days
from core.pieces.recipes import recipe_named
from core.problems import Problem
from core.promising.claims import LAST, Claim, Liked
from core.settings.sheets import caution
from core.text import LONGEST, clean

EATEN = frozenset(
    ["edible", "edibles", "eat", "eating", "eaten", "food", "cake", "cakes", "salad", "garnish"]
)
"""What is asked for with one of these is to be eaten, or to lie on what is."""


class Asked(NamedTuple):
    """The claim (of a standing order its first delivery), how it is told ("20 bu lavender dry"), and what was
    understood without being said."""

    claim: Claim
    text: str
    remarks: tuple[str, ...]
    later: tuple[date, ...] = ()
    """Further days for which as much is asked, of a standing order."""


def read_asked(text: str, farm: Farm, today: date) -> tuple[Asked, ...] | Problem:
    """What is asked for in a line, item by item; a Problem says what is missing or cannot be."""
    if len(text) > LONGEST:
        return Problem(f"A line has at most {LONGEST} characters.")
    line = Line.of(clean(text), farm, today, NO_BOOK)
    line.verb = "promise"
    try:
        if not line.words:
            raise Refused("What is asked for? Write it, such as: lavender dry 40bu 10-15.")
        eaten = _take_eaten(line)
        days = take_days(line)
        if days is None:
            raise Refused("For which day? Write one, such as: 10-15 or friday.", near=("10-15",))
        if days.until is not None:
            raise Refused("For one day at a time: ask for the one that is most in doubt.", "impossible")
        parts = parts_of(line)
        if not parts:
            raise Refused("What is asked for? Write how much of what, such as: 40bu lavender dry.")
        asked = tuple(_asked(part, days.due) for part in parts)
        if eaten:
            raise Refused(_not_for_food(farm, asked), "impossible")
        return asked
    except Refused as refused:
        return refused.problem


def _take_eaten(line: Line) -> bool:
    """Whether it is to be eaten: "edible", "for a cake"."""
    found = line.take_words(EATEN)
    for token in found:
        before = line.after(token, -1)
        while before is not None and before.low in FILLERS:
            before.taken, before = True, line.after(before, -1)
    return bool(found)


def _not_for_food(farm: Farm, asked: Sequence[Asked]) -> str:
    """That flowers are promised for the vase, and the caution of the crop asked for."""
    crops = dict.fromkeys(one.crop for of in asked for one in of.claim.liked)
    said = [f"{crop}: {known}" for crop in crops if (known := caution(farm, crop))]
    why = " ".join(said) or "nothing in the book says that it may be eaten, or what it was treated with."
    return f"It is promised for the vase, not for food or a cake: {why}"


def _asked(part: Line, due: date) -> Asked:
    said = read_item(part)
    return _of_fields(part.farm, item_fields(part, said), due)._replace(remarks=tuple(part.remarks))


def asked_in(drafts: Sequence[Draft], farm: Farm) -> tuple[Asked, ...]:
    """What an order that is being written asks for, on each of its days."""
    head = next((draft.fields for draft in drafts if draft.kind == "ordered"), None)
    if head is None:
        return ()
    due, *later = (
        day for _, day in deliveries_of(head["due_on"], head.get("every_days", 0), head.get("until_on", ""))
    )
    items = [draft.fields for draft in drafts if draft.kind == "order item"]
    return tuple(_of_fields(farm, fields, due)._replace(later=tuple(later)) for fields in items)


def _of_fields(farm: Farm, fields: Mapping[str, Any], due: date) -> Asked:
    item = item_of(fields)
    recipe = recipe_named(farm, item.recipe) if item.recipe else None
    liked = tuple(Liked(one.crop, one.color) for one in accepts(item))
    claim = Claim(due, LAST, item.number, item.form, liked, recipe=recipe, own_crops=farm.own_crops)
    return Asked(claim, item_text(item), ())


def item_of(fields: Mapping[str, Any]) -> Item:
    """An item that is only asked for, as one that is ordered."""
    return Item(
        id="",
        place=0,
        number=fields["count"],
        form=fields["form"],
        crop=fields.get("crop", ""),
        recipe=fields.get("recipe", ""),
        colors=split(fields.get("colors", "")),
        instead=split(fields.get("instead", "")),
        per=fields.get("per", 0),
    )
