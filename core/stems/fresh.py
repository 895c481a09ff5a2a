"""What is fresh: the stems in the bucket against the crop's days in the vase."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.crops.sheet import Sheet
from core.farm import BUCKET, Farm, Holding, Lot
from core.sheets import farm_sheet

YOUNG_DAYS = 1
"""A fresh stem up to so many days from the cut still dries well (common practice: old flowers dry poorly)."""


@dataclass(frozen=True, slots=True)
class FreshRow:
    """One lot in the bucket. `status`: "hang" (cut to dry, not yet hung), "wire" (cut to wire, still soft), "fresh",
    "rescue" (still young enough to hang today), "old" (past the shortest vase life), "compost" (past the longest)."""

    lot: str
    crop: str
    variety: str | None
    use: str
    stems: int
    cut_on: str
    age_days: int
    status: str
    because: str


def fresh_rows(farm: Farm, day: date) -> list[FreshRow]:
    """Everything in the bucket, oldest first: what was cut first leaves first."""
    rows = [
        _fresh_row(lot, lot.holdings[BUCKET], farm_sheet(farm, lot.crop, lot.way), day)
        for lot in farm.lots.live()
        if BUCKET in lot.holdings
    ]
    return sorted(rows, key=lambda r: (r.cut_on, r.lot))


def _fresh_row(lot: Lot, held: Holding, sheet: Sheet | None, day: date) -> FreshRow:
    age = (day - date.fromisoformat(lot.cut_on)).days
    vase = sheet.vase_life_days if sheet is not None else None
    dries = sheet is not None and sheet.drying_days is not None
    young = age <= YOUNG_DAYS
    if vase is not None and age > vase.value[1]:
        status, because = "compost", f"older than its longest vase life, about {vase.text} days"
    elif lot.use == "wire" and young:
        status, because = "wire", "heads take the wire only while fresh"
    elif lot.use == "dry" and (young or vase is None or age < vase.value[0]):
        status, because = (
            "hang",
            "cut to dry and not hung yet" + ("" if young else ": old flowers dry poorly"),
        )
    elif vase is not None and age >= vase.value[0]:
        status, because = "old", f"vase life about {vase.text} days from the cut"
    elif dries and age == YOUNG_DAYS:
        status, because = "rescue", "unsold, and still young enough to hang today"
    else:
        status = "fresh"
        because = f"vase life about {vase.text} days" if vase is not None else "no vase life on the sheet"
    return FreshRow(lot.code, lot.crop, lot.variety, lot.use, held.stems, lot.cut_on, age, status, because)
