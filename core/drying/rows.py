"""What hangs: the bunches on the lines against the crop's drying days."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Literal, NamedTuple, TypeAlias

from core.crops.sheet import Sheet, Span
from core.drying.clock import drying_clock
from core.drying.weighing import DAMP, tests_of
from core.farm import Farm, Lot
from core.places import Holding, Place
from core.settings.sheets import farm_sheet
from core.text import natural

ShelfStatus: TypeAlias = Literal["hanging", "test", "dry", "overdue"]
"""How far a lot on a line is: to be left, to be tried, to be boxed, or longer there than it should."""

TEST_AGAIN_DAYS = 2
"""Days to wait after a stem still bends (common practice: weight or snap steady two days running)."""
SNAP_TEST = "snap test"


class ShelfRow(NamedTuple):
    """One lot on one line. `status`: "hanging", "test" (try the snap test), "dry" (it snapped: box it), or
    "overdue" (past the longest drying time and not known to be dry).

    `test_from` and `due`: from when to try the snap test, and the latest day it is dry by. `dry_from` to `dry_by`
    hold the day it is dry; `speaks` says by what: "handbook", "handbook and shed air", "weighings" or "snap test".
    `share` of its time done, 0 to 1. `water_left` by its `weighings`, where they date it; `note` is what they ask for,
    or "". `why`: every sentence the dates rest on.
    """

    lot: str
    crop: str
    variety: str | None
    line: Place
    stems: int
    per: int
    hung_on: str
    days_hung: int
    test_from: str
    due: str
    status: ShelfStatus
    last_test: str | None
    because: str
    speaks: str
    dry_from: str
    dry_by: str
    share: float
    water_left: float | None
    weighings: int
    note: str
    why: tuple[str, ...]
    days: Span
    """The days of hanging after which it is dry, eight times in ten, with all that is in doubt."""

    def due_on(self, day: date) -> str:
        """The day by which it is to be seen to, "YYYY-MM-DD"."""
        return min(self.dry_by, day.isoformat()) if self.status == "dry" else self.dry_by


def shelf_rows(farm: Farm, day: date, lots: Iterable[Lot] | None = None) -> list[ShelfRow]:
    """Everything that hangs, or of these lots, by the day it is dry by: late first; what snapped is due today."""
    rows = [
        _shelf_row(farm, lot, place, held, farm_sheet(farm, lot.crop, lot.way, lot.variety), day)
        for lot in (farm.lots.live() if lots is None else lots)
        for place, held in lot.holdings.items()
        if place.is_line
    ]
    return sorted(rows, key=lambda r: (r.due_on(day), natural(r.line), r.hung_on, r.lot))


def _shelf_row(farm: Farm, lot: Lot, place: Place, held: Holding, sheet: Sheet | None, day: date) -> ShelfRow:
    clock = drying_clock(farm, lot, place, held, sheet, day)
    because, speaks, share = clock.because[0], clock.speaks, clock.share
    test_from, due = date.fromisoformat(clock.test_from), date.fromisoformat(clock.dry_by)
    tests = [t for t in tests_of(lot, place) if t.on <= day.isoformat()]
    status: ShelfStatus = "test" if day >= test_from else "hanging"
    if day > due:
        status = "overdue"
    if tests:
        on, result, _ = tests[-1]
        again = date.fromisoformat(on) + timedelta(days=TEST_AGAIN_DAYS)
        if result == DAMP:
            status, test_from = "test" if day >= again else "hanging", again
            because = f"it came damp out of a box on {on}; {because}"
        elif result == "snaps":
            status, because, speaks, share = "dry", f"it snapped on {on}", SNAP_TEST, 1.0
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
        (day - date.fromisoformat(held.since)).days,
        test_from.isoformat(),
        due.isoformat(),
        status,
        tests[-1].result if tests else None,
        because,
        speaks,
        clock.dry_from,
        clock.dry_by,
        round(share, 3),
        None if clock.water_left is None else round(clock.water_left, 3),
        clock.weighings,
        "" if speaks == SNAP_TEST else clock.note,
        tuple(dict.fromkeys((because, *clock.because))),
        clock.days,
    )
