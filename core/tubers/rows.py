"""What lies in store for the winter, by variety."""

from __future__ import annotations

from typing import NamedTuple

from core.farm import Farm
from core.tubers.kinds import MISCOUNTED, Tubers


class TuberRow(NamedTuple):
    """One variety: what came into store, what went, what is there. `missing` is what a count found too few."""

    crop: str
    variety: str | None
    there: int
    lifted: int
    bought: int
    gained: int
    planted: int
    lost: int
    missing: int
    causes: dict[str, int]
    lifted_on: str | None


def tuber_rows(farm: Farm) -> list[TuberRow]:
    """Every variety that ever was in store, by crop and variety."""
    rows = []
    for stock in farm.part(Tubers).all():
        causes = {cause: count for cause, count in stock.lost.items() if count and cause != MISCOUNTED}
        rows.append(
            TuberRow(
                stock.crop,
                stock.variety,
                stock.there,
                stock.lifted,
                stock.bought,
                stock.gained,
                stock.planted,
                sum(causes.values()),
                stock.lost.get(MISCOUNTED, 0),
                causes,
                stock.lifted_on,
            )
        )
    return rows
