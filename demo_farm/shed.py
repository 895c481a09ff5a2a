"""The drying shed: hung, wired, tested, boxed, with what is lost on the way."""

from __future__ import annotations

from datetime import date

from core.farm import BENCH, LINE
from core.line.shelf import sheet_bunch
from core.stems.fresh import FreshRow
from core.stems.hanging import ShelfRow
from core.stems.wiring import FRESH_DAYS, TAPE
from demo_farm.troubles import FORGOTTEN, INSISTED, MOULDY, NOT_HUNG, TRIED_IN_PASSING
from demo_farm.work import Work

LINES = 8
SHELF_DAYS = (2, 5)
"""Wednesday and Saturday: what hangs is tried and boxed."""
BENCH_DAY = 4
WIRED_DRIES_DAYS = 14
INSISTED_AFTER_DAYS = 3
"""Days for which the wiring was put off before it was insisted on."""
HEADS_AN_HOUR = (22, 34)
DRY_LOSSES = ("shatter", "brown", "broken")


class Shed:
    def __init__(self, work: Work) -> None:
        self.work = work
        self._boxes: dict[tuple[int, str, str], int] = {}

    def fill(self) -> None:
        """Noon: what was cut to dry is hung, what was cut to wire is wired as far as the hour goes."""
        self.work.shed.door.refresh()
        put_off = 0 <= (date.fromisoformat(INSISTED[0]) - self.work.day).days <= INSISTED_AFTER_DAYS
        for row in self.work.shed.door.fresh():
            if row.use == "wire" and put_off:
                continue
            if row.status == "hang":
                if not self._is_left_standing(row):
                    self._hang(row)
            elif row.status == "wire":
                self._wire(row)
            elif row.use == "wire":
                self._hang(row)  # too old for the wire, not yet for the line

    def _is_left_standing(self, row: FreshRow) -> bool:
        if (self.work.day.isoformat(), row.crop) == NOT_HUNG:
            return True
        return row.age_days == 0 and self.work.chance.happens(0.07, "not hung today", row.lot)

    def _hang(self, row: FreshRow) -> None:
        per = sheet_bunch(self.work.farm, row.crop, "dried") or 10
        bunch = min(per, 25)
        self.work.write(f"hang {row.lot} line {self._emptiest_line()} {bunch}s")

    def _emptiest_line(self) -> int:
        hanging = dict.fromkeys(range(1, LINES + 1), 0)
        for lot in self.work.farm.lots.live():
            for place, held in lot.holdings.items():
                if place.startswith(LINE):
                    hanging[int(place.removeprefix(LINE))] += held.stems
        return min(hanging, key=lambda line: (hanging[line], line))

    def _wire(self, row: FreshRow) -> None:
        gauge = 22 if row.variety in ("white", "copper") else 24
        heads = min(row.stems, self.work.chance.whole(*HEADS_AN_HOUR, "heads", row.lot, self.work.day))
        heads = min(heads, int(self.work.farm.makings.get(f"wire {gauge}", 0)))
        if heads:
            self.work.write(f"wire {heads} {row.lot} {gauge}g")

    def insist(self) -> None:
        """Once, heads some days old are wired against the advice."""
        if self.work.day.isoformat() != INSISTED[0]:
            return
        for lot in self.work.farm.lots.live():
            held = lot.holdings.get("bucket")
            age = (self.work.day - date.fromisoformat(lot.cut_on)).days
            if lot.use == "wire" and held and age > FRESH_DAYS:
                heads = min(held.stems, 20)
                self.work.write(f"wire {heads} {lot.code} 22g anyway")
                self.work.write(f"note {lot.code} wired though no longer fresh: {INSISTED[1]}")
                return

    def test_and_box(self) -> None:
        """Shelf day: mould thrown out, the snap test, what is dry into boxes."""
        if self.work.day.weekday() not in SHELF_DAYS:
            self._try_in_passing()
            return
        for row in self._hanging():
            self._throw_out_mould(row)
        for row in self._hanging():
            if row.status in ("test", "overdue") and not self._is_forgotten(row):
                past = row.days_hung - self._least_days(row)
                snaps = self.work.chance.happens(0.6 + 0.12 * past, "snaps", row.lot, self.work.day)
                self.work.write(f"{'snap' if snaps else 'bends'} {row.lot} {row.line}")
        for row in self._hanging():
            if row.status == "dry":
                self._box(row)

    def _try_in_passing(self) -> None:
        for row in self._hanging() if self.work.day.isoformat() == TRIED_IN_PASSING[0] else ():
            if row.status == "test" and row.crop == TRIED_IN_PASSING[1]:
                self.work.write(f"snap {row.lot} {row.line}")
                return

    def _hanging(self) -> list[ShelfRow]:
        self.work.shed.door.refresh()
        return self.work.shed.door.shelf()

    def _least_days(self, row: ShelfRow) -> int:
        figure = self.work.sheet(row.crop).drying_days
        return round(figure.value[0]) if figure else 7

    def _is_forgotten(self, row: ShelfRow) -> bool:
        crop, first, last = FORGOTTEN
        return row.crop == crop and first <= row.hung_on <= last

    def _throw_out_mould(self, row: ShelfRow) -> None:
        share = MOULDY.get((self.work.day.isoformat(), row.crop))
        if share:
            self.work.write(f"lost {max(round(row.stems * share), 1)} mould {row.lot} {row.line}")

    def _box(self, row: ShelfRow) -> None:
        chance, per = self.work.chance, row.per or 10
        stems = row.stems
        bad = round(stems * max(chance.between(-0.06, 0.09, "dry loss", row.lot), 0.0))
        if bad:
            cause = chance.pick(DRY_LOSSES, "dry cause", row.lot)
            self.work.write(f"lost {bad} {cause} {row.lot} {row.line}")
        bunches, loose = divmod(stems - bad, per)
        if bunches:
            self.work.write(f"box {row.lot} {row.line} {bunches}x{per} box {self._box_for(row.crop, 'dry')}")
        if loose:
            self.work.write(f"used {loose} {row.lot} {row.line} for loose in wreaths")

    def _box_for(self, crop: str, form: str) -> int:
        return self._boxes.setdefault((self.work.year, crop, form), len(self._boxes) + 1)

    def clear_bench(self) -> None:
        """Wired heads that have dried upright go into their own box."""
        if self.work.day.weekday() != BENCH_DAY:
            return
        for lot in list(self.work.farm.lots.live()):
            held = lot.holdings.get(BENCH)
            if held and (self.work.day - date.fromisoformat(held.since)).days >= WIRED_DRIES_DAYS:
                self.work.write(f"box {lot.code} bench box {self._box_for(lot.crop, 'wired')}")

    def makings(self, lines: tuple[tuple[str, str], ...]) -> None:
        """What was bought and counted of the makings today; tape before it runs out."""
        for day, line in lines:
            if day == self.work.day.isoformat():
                self.work.shed.write(line)
        if self.work.farm.makings.get(TAPE, 12) < 1:
            self.work.shed.write("bought 6 tape")
