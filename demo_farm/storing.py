"""The boxes: which crop lies in which, where they stand, and the looks into them."""

from __future__ import annotations

from datetime import date

from core.boxes.kinds import FREEZE_DAYS, MOTH_FIRST, BoxRow
from core.farm import BOX
from demo_farm.plan import BOX_PLACES, BOXED_TOGETHER
from demo_farm.troubles import DAMP, MOTH, NOT_LOOKED_INTO
from demo_farm.work import Work

ROUND_FROM, EVERY_DAYS = date(2025, 6, 28), 28
"""A Saturday, and the days between two rounds of all boxes."""
GRAIN_IN_WINTER = (10, 11, 12, 1, 2, 3)
"""Months in which grain heads are looked into twice as often."""


class Storing:
    def __init__(self, work: Work) -> None:
        self.work = work
        self._boxes: dict[tuple[int, int, str], int] = {}
        self._placed: set[int] = set()

    def box_for(self, crop: str, form: str) -> int:
        """The box of this year for a crop: those of a kind share one."""
        kind = next((n for n, crops in enumerate(BOXED_TOGETHER) if crop in crops), len(BOXED_TOGETHER))
        return self._boxes.setdefault((self.work.year, kind, form), len(self._boxes) + 1)

    def place(self, box: int) -> None:
        """Where it stands is written when the first bunches lie in it."""
        if box not in self._placed:
            self._placed.add(box)
            self.work.write(f"box {box} {BOX_PLACES[box % len(BOX_PLACES)]}")

    def look(self) -> None:
        """Every fourth Saturday into all boxes, into grain heads between the rounds too; moth and damp as they come."""
        self._moth()
        self._damp()
        days = (self.work.day - ROUND_FROM).days
        rows = [row for row in self._rows() if row.stems and self._is_looked_into(row)]
        if days >= 0 and days % EVERY_DAYS == 0:
            self._check([row.box for row in rows])
        elif days > 0 and days % EVERY_DAYS == EVERY_DAYS // 2 and self.work.day.month in GRAIN_IN_WINTER:
            self._check([row.box for row in rows if set(row.crops) & set(MOTH_FIRST)])

    def _check(self, boxes: list[str]) -> None:
        if boxes:
            self.work.write(f"check {' '.join(boxes)} sound")

    def _is_looked_into(self, row: BoxRow) -> bool:
        box, since = NOT_LOOKED_INTO
        in_freezer = row.treated is not None and row.last_result == "moth" and not self._is_back()
        return not in_freezer and (row.box != f"{BOX}{box}" or self.work.day < since)

    def _is_back(self) -> bool:
        return self.work.day.isoformat() >= MOTH[2]

    def _moth(self) -> None:
        """Bunches thrown out, the box into the freezer for a week."""
        today = self.work.day.isoformat()
        if today == MOTH[0]:
            oldest = next(
                r for r in self.work.shed.door.stock() if r.unit == "bunches" and r.on_hand > MOTH[1]
            )
            self.work.write(f"check {oldest.place} moth")
            self.work.write(f"lost {MOTH[1]} bunches {oldest.lot} {oldest.place} moth")
            self.work.write(f"freeze {oldest.place} {FREEZE_DAYS:g} days")
        elif today == MOTH[2]:
            self._check([row.box for row in self._rows() if row.last_result == "moth"])

    def _damp(self) -> None:
        """Opened, hung again for some days, and sound."""
        today, box = self.work.day.isoformat(), f"{BOX}{DAMP[1]}"
        if today == DAMP[0]:
            self.work.write(f"check {box} damp")
        elif today == DAMP[2]:
            self._check([box])

    def _rows(self) -> list[BoxRow]:
        self.work.shed.door.refresh()
        return self.work.shed.door.boxes()
