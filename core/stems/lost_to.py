"""What was lost to one cause, lot by lot."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from core.farm import Lot


class LostRow(NamedTuple):
    """Stems of a lot lost on a day, in which form, of how many that ever came into it; below 0 a count found more."""

    lot: str
    crop: str
    variety: str | None
    on: str
    form: str
    stems: int
    of: int


def lost_to(lots: Iterable[Lot], cause: str) -> list[LostRow]:
    """What these lots lost to it, the newest first."""
    rows = [
        LostRow(
            lot.code, lot.crop, lot.variety, loss.on, loss.form, loss.stems, lot.entered.get(loss.form, 0)
        )
        for lot in lots
        for loss in lot.losses
        if loss.cause == cause and loss.stems
    ]
    return sorted(rows, key=lambda row: (row.on, row.lot), reverse=True)
