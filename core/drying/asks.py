"""What hangs and asks for a test, or for its box."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.asks import PageLine, Part, Sight, item
from core.drying.rows import ShelfRow, shelf_rows
from core.text import named
from core.units import plural

SHELF_WORDS = {"test": "try the snap test", "dry": "box: it snaps", "overdue": "overdue: test, mold?"}


def hanging(sight: Sight) -> list[ShelfRow]:
    """Everything that hangs this morning: for `Sight.once`."""
    return shelf_rows(sight.farm, sight.day)


def _asking(sight: Sight) -> tuple[ShelfRow, ...]:
    return tuple(row for row in sight.once(hanging) if row.status != "hanging")


def _lines(rows: Sequence[ShelfRow]) -> Iterator[PageLine]:
    for row in rows:
        rest = f"{row.line:7} {plural(row.days_hung, 'day'):8} {SHELF_WORDS[row.status]}"
        yield item(row.lot, named(row.crop, row.variety), rest, ("hanging", row.lot, row.line), row)


PARTS = (Part("shelf", "Shelf", 50, _asking, _lines),)
