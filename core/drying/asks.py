"""What hangs and asks for a test, or for its box."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from core.asks import BOX_IT, Asked, Part, Sight, late_text
from core.drying.dry_test import dry_test
from core.drying.rows import ShelfRow, shelf_rows
from core.long_past import long_past
from core.text import named

LATE_RANK = 1.5
"""Where what hangs too long stands among what spoils, in days: after what is lost today, before what has days left."""


def asks_of(row: ShelfRow) -> str:
    """What is to be done with what hangs, in the words that every page uses; "" where it is left to hang."""
    if row.status == "hanging":
        return ""
    if row.status == "dry":
        return BOX_IT
    return dry_test(row.crop).name


def hanging(sight: Sight) -> list[ShelfRow]:
    """Everything that hangs this morning: for `Sight.once`."""
    return shelf_rows(sight.farm, sight.day)


def _asking(sight: Sight) -> tuple[ShelfRow, ...]:
    rows = sight.once(hanging)
    return tuple(
        row for row in rows if row.status != "hanging" and row.stems > 0
    )  # below 0 is to be settled first


def _asked(rows: Sequence[ShelfRow]) -> Iterator[Asked]:
    for row in rows:
        late = (date.fromisoformat(row.hung_on).toordinal() + row.days_hung) - date.fromisoformat(
            row.due
        ).toordinal()
        told = Asked(
            ("hanging", row.lot, row.line),
            row,
            row.lot,
            asks_of(row),
            named(row.crop, row.variety),
            f"{row.stems}",
            row.line,
        )
        if row.status == "overdue":
            yield long_past(told._replace(when=late_text(-late), days=LATE_RANK, zone="spoils"), late)
        else:
            yield told._replace(when="it is dry" if row.status == "dry" else f"day {row.days_hung}")


PARTS = (Part("shelf", "Shelf", 50, _asking, _asked),)
