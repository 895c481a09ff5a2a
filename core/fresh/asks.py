"""What the bucket and the cooler ask of the morning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.asks import Asked, Part, Sight
from core.fresh.rows import FreshRow, fresh_rows, whole_days
from core.long_past import long_past
from core.places import FRESH_PLACES
from core.text import named

FRESH_WORDS = {
    "hang": "hang",
    "wire": "wire today",
    "rescue": "sell or hang",
    "sell": "sell today",
    "take out": "out of the cooler",
    "look": "look at it",
    "old": "sell or compost",
    "compost": "compost",
}
"""What is to be done with what is fresh, in the words that every page uses."""
DRYING_WORDS = {
    "hang": {"hang": "hang", "rescue": "sell or hang"},
    "press": {"hang": "press", "rescue": "sell or press"},
    "silica": {"hang": "into silica", "rescue": "sell or silica"},
}
"""The same of what is to be dried, by how the crop is dried."""
LAST_DAY = ("wire", "rescue")
"""What can be done today for the last time."""


def _asking(sight: Sight) -> tuple[FreshRow, ...]:
    if not any(place in lot.holdings for lot in sight.farm.lots.live() for place in FRESH_PLACES):
        return ()
    rows = fresh_rows(sight.farm, sight.day, sight.clock)
    return tuple(
        row for row in rows if row.status != "fresh" and row.stems > 0
    )  # below 0 is to be settled first


def asks_of(row: FreshRow) -> str:
    """What is to be done with it today, as every page says it; "" where nothing is."""
    return DRYING_WORDS.get(row.dries, {}).get(row.status) or FRESH_WORDS.get(row.status, "")


def left_text(left: tuple[float, float] | None) -> str:
    """ "1-3 days left", "no days left"; "" where the sheet has no vase life."""
    return "" if left is None else f"{whole_days(left, '-')} days left"


def _when(row: FreshRow) -> str:
    """How long there is left, or what else asks for it today."""
    if row.status in LAST_DAY:
        return "too old tomorrow"
    if row.status == "sell" and row.cooler_days is not None:
        return f"{row.cooler_days} days cold"
    return left_text(row.left_days) or f"{row.used_days:.0f} days used"


def _asked(rows: Sequence[FreshRow]) -> Iterator[Asked]:
    for row in rows:
        told = Asked(
            ("fresh", row.lot, row.place),
            row,
            row.lot,
            asks_of(row),
            named(row.crop, row.variety),
            f"{row.stems}",
            row.place,
            _when(row),
            0.0 if row.left_days is None or row.status in LAST_DAY else row.left_days[0],
        )
        if row.status not in ("compost", "hang") or row.age_days > 0:
            told = told._replace(zone="also" if row.status == "compost" else "spoils")
        yield long_past(told, row.age_days if row.is_spent else 0)


PARTS = (Part("fresh", "Bucket", 40, _asking, _asked),)
