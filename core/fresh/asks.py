"""What the bucket and the cooler ask of the morning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from core.asks import PageLine, Part, Sight, item
from core.places import COOLER, FRESH_PLACES
from core.text import named
from core.units import day_text

if TYPE_CHECKING:
    from core.fresh.rows import FreshRow


FRESH_WORDS = {
    "hang": "hang",
    "wire": "wire while fresh",
    "rescue": "sell or hang today",
    "sell": "sell today",
    "take out": "out of the cooler",
    "old": "sell today or compost",
    "compost": "compost",
}


def _asking(sight: Sight) -> tuple[FreshRow, ...]:
    if not any(place in lot.holdings for lot in sight.farm.lots.live() for place in FRESH_PLACES):
        return ()
    from core.fresh.rows import (
        fresh_rows,  # what knows of ageing is loaded only where there is something fresh
    )

    return tuple(row for row in fresh_rows(sight.farm, sight.day, sight.clock) if row.status != "fresh")


def _lines(rows: Sequence[FreshRow]) -> Iterator[PageLine]:
    for row in rows:
        word = FRESH_WORDS[row.status]
        if row.place == COOLER and row.status != "take out":
            word = f"{word.replace(' today', '')}, cooler"
        rest = f"{row.stems:4} cut {day_text(row.cut_on):7} {word}"
        yield item(row.lot, named(row.crop, row.variety), rest, ("fresh", row.lot, row.place), row)


PARTS = (Part("fresh", "Bucket", 40, _asking, _lines),)
