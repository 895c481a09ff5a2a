"""What lies in store for the winter, by variety."""

from __future__ import annotations

from core.farm import Farm
from core.settings.sheets import farm_sheet
from core.tubers.kinds import MISCOUNTED, Stock, Tubers
from core.values import NamedTuple


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
    sold: int = 0
    checked_on: str | None = None
    winter_store: str = ""
    """How the crop is lifted and stored, with its source; "" where nothing is known of it."""


def _winter_store(farm: Farm, stock: Stock) -> str:
    sheet = farm_sheet(farm, stock.crop, variety=stock.variety)
    if sheet is None or sheet.winter_store is None:
        return ""
    return f"{sheet.winter_store.text} [{sheet.winter_store.source}]"


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
                stock.sold,
                stock.checked_on,
                _winter_store(farm, stock),
            )
        )
    return rows
