"""What hangs: the bunches on the lines against the crop's drying days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from core.crops.sheet import Sheet
from core.farm import LINE, Farm, Holding, Lot
from core.sheets import farm_sheet

ANY_CROP_DAYS = (7, 21)
"""Drying days where the sheet has none: published for all kinds, 3 days to 3 weeks [S104]; a week to the first test
is common practice."""
TEST_AGAIN_DAYS = 2
"""Days to wait after a stem still bends (common practice: weight or snap steady two days running)."""


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """One lot on one line. `status`: "hanging", "test" (try the snap test), "dry" (it snapped: box it), or
    "overdue" (past the longest drying time and not known to be dry)."""

    lot: str
    crop: str
    variety: str | None
    line: str
    stems: int
    per: int
    hung_on: str
    days_hung: int
    test_from: str
    due: str
    status: str
    last_test: str | None
    because: str


def shelf_rows(farm: Farm, day: date) -> list[ShelfRow]:
    """Everything that hangs, by line, then oldest first."""
    rows = [
        _shelf_row(lot, place, held, farm_sheet(farm, lot.crop, lot.way), day)
        for lot in farm.lots.live()
        for place, held in lot.holdings.items()
        if place.startswith(LINE)
    ]
    return sorted(rows, key=lambda r: (line_order(r.line), r.hung_on, r.lot))


def line_order(line: str) -> tuple[int, str]:
    """Sorts lines: 2 before 10, numbers before words."""
    word = line.removeprefix(LINE)
    return (int(word), "") if word.isdigit() else (1_000_000, word)


def _shelf_row(lot: Lot, place: str, held: Holding, sheet: Sheet | None, day: date) -> ShelfRow:
    hung = date.fromisoformat(held.since)
    if sheet is not None and sheet.drying_days is not None:
        least, most = (round(v) for v in sheet.drying_days.value)
        because = f"{sheet.crop} dries in {sheet.drying_days.text} days [{sheet.drying_days.source}]"
    else:
        least, most = ANY_CROP_DAYS
        because = f"no drying time on the sheet: most kinds take {least} to {most} days [S104]"
    test_from, due = hung + timedelta(days=least), hung + timedelta(days=most)
    tests = [t for t in lot.tests if t[0] >= held.since]
    status = "test" if day >= test_from else "hanging"
    if day > due:
        status = "overdue"
    if tests:
        on, result = tests[-1]
        again = date.fromisoformat(on) + timedelta(days=TEST_AGAIN_DAYS)
        if result == "snaps":
            status, because = "dry", f"it snapped on {on}"
        elif day < again:
            status, test_from = "hanging", again
            because = f"it still bent on {on}; {because}"
    return ShelfRow(
        lot.code,
        lot.crop,
        lot.variety,
        place,
        held.stems,
        held.per,
        held.since,
        (day - hung).days,
        test_from.isoformat(),
        due.isoformat(),
        status,
        tests[-1][1] if tests else None,
        because,
    )
