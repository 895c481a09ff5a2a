"""The drying shed: its air, what is hung, wired, weighed, tested and boxed, what is lost on the way; the boxes."""

from __future__ import annotations

from datetime import date

from core.boxes.kinds import FREEZE_DAYS, MOTH_FIRST
from core.door import Door
from core.drying.rows import ShelfRow
from core.farm import BENCH
from core.fresh.rows import FreshRow
from core.pieces.wiring import FRESH_DAYS
from core.settings.sheets import sheet_bunch
from core.shed.line_room import FEET_A_BUNCH, feet_taken
from demo_farm.cutting import HEAT_F
from demo_farm.hand import Work, clock
from demo_farm.plan import BOX_PLACES, CROPS, EVENING, LATE, LINES, NOON, WEIGHED_AT
from demo_farm.rooms import DRY_RATIO, Curve, Rooms
from demo_farm.troubles import on

MONDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY = 0, 2, 3, 4, 5
WIRED_DRIES_DAYS = 14
DRYING_SEASON = ("05-28", "10-22")
WEIGHED, WEIGHED_NOW, WEIGHED_MORE_FROM = 0.22, 0.75, date(2026, 6, 6)
"""Share of what is hung of which a bunch is marked and weighed; more of them in the weeks before the demo day."""
ROUND_FROM, EVERY_DAYS = date(2025, 6, 28), 28
"""A Saturday, and the days between two rounds of all boxes."""
GRAIN_IN_WINTER = (10, 11, 12, 1, 2, 3)
"""Months in which grain heads are looked into twice as often."""


class Shed:
    def __init__(self, work: Work) -> None:
        self.work = work
        self.rooms = Rooms(work.sky, work.chance)
        self._hung: dict[str, tuple[date, int]] = {}
        self._marked: set[str] = set()
        self._reset: tuple[date, float] | None = None
        self._boxes: dict[tuple[int, str, str], int] = {}

    # its air

    def read_air(self, hour: float) -> None:
        """In the morning: the hygrometer, on some days the max-min thermometer, once a week the cooler."""
        day, chance = self.work.day, self.work.chance
        hour += chance.whole(0, 30, "read at", day) / 60
        is_reset = day.weekday() in (MONDAY, THURSDAY)
        if is_reset or self.work.weather.muggy or chance.happens(0.85, "air", day):
            self._read(hour, is_reset=is_reset)
        if 5 <= day.month <= 10 and (day.weekday() == MONDAY or on(day, "warm cooler")):
            degrees, humidity = self.rooms.cooler(day)
            self.work.write(f"cooler {degrees}F {humidity}% at {clock(hour)}")

    def read_again(self) -> None:
        """On hot days when the doors are shut; when the air is close in the evening, and once more at night."""
        hours = (
            (18.2, 22.1) if self.work.weather.muggy else (21.0,) if self.work.weather.high >= HEAT_F else ()
        )
        if self.work.chance.happens(0.6, "read again", self.work.day):
            for hour in hours:
                self.work.at(hour)
                self._read(hour)

    def _read(self, hour: float, *, is_reset: bool = False) -> None:
        """With what the max-min thermometer saw, where it is reset: nothing for the first time of a year."""
        day, seen = self.work.day, ""
        if not DRYING_SEASON[0] <= f"{day:%m-%d}" <= DRYING_SEASON[1]:
            return
        if is_reset:
            since, self._reset = self._reset, (day, hour)
            if since is not None and (day - since[0]).days <= 10:
                seen = " {} to {} {} to {}%".format(*self.rooms.shed_range(since, self._reset))
        degrees, humidity = self.rooms.shed(day, hour)
        self.work.write(f"shed {degrees}F {humidity}% at {clock(hour)}{seen}")

    # hung and wired

    def fill(self) -> None:
        """Noon: what was cut to dry is hung, what was cut to wire is wired as far as the hour goes."""
        day, chance = self.work.day, self.work.chance
        for row in self.work.see(Door.fresh):
            if row.use == "wire" and on(day, "not wired"):
                continue
            if row.status == "wire":
                gauge = 22 if row.variety in ("white", "copper") else 24
                heads = min(row.stems, chance.whole(22, 34, "heads", row.lot, day))
                if heads := min(heads, int(self.work.farm.makings.get(f"wire {gauge}", 0))):
                    self.work.write(f"wire {heads} {row.lot} {row.place} {gauge}g")
            elif row.use == "wire" and row.status not in ("old", "compost"):
                self.hang(row)  # too old for the wire, not yet for the line
            elif row.status == "hang" and not on(day, "not hung", row.crop):
                self.hang(row)

    def rescue(self) -> None:
        """What is unsold and still young enough is hung, where it is worth the room."""
        for row in self.work.see(Door.fresh):
            is_worth_it = row.status == "rescue" and row.age_days <= 3 and row.stems >= 15
            if is_worth_it and self.work.chance.happens(0.35, "rescued", row.lot):
                self.hang(row, EVENING)

    def hang(self, row: FreshRow, hour: float = NOON) -> None:
        """Onto the line with most room, and what finds none there onto the next."""
        farm = self.work.farm
        per = min(sheet_bunch(farm, row.crop, "dried") or 10, 25)
        free = {name: feet for name, (feet, _, fan) in farm.lines.items() if fan is not False}
        for lot in farm.lots.live():
            for place, held in lot.holdings.items():
                if place in free:
                    free[place] -= feet_taken(held.stems, held.per)
        left = row.stems
        for line in sorted(free, key=lambda name: -free[name]):
            if stems := min(left, max(int(free[line] / FEET_A_BUNCH), 0) * per):
                self.work.write(f"hang {stems} {row.lot} {row.place} {line} {per}s")
                left -= stems
        self._hung.setdefault(row.lot, (self.work.day, per))
        odds = WEIGHED_NOW if self.work.day >= WEIGHED_MORE_FROM else WEIGHED
        if left < row.stems and self.work.chance.happens(odds, "a marked bunch", row.lot):
            self._marked.add(row.lot)
            self._weigh(row.lot, hour)

    def insist(self) -> None:
        """Heads some days old are wired against the advice."""
        trouble = on(self.work.day, "wired too late")
        for row in self.work.see(Door.fresh) if trouble else ():
            if trouble and row.use == "wire" and row.age_days > FRESH_DAYS:
                self.work.write(f"wire {min(row.stems, 20)} {row.lot} 22g anyway")
                self.work.write(f"note {row.lot} wired though no longer fresh: {trouble.cause}")
                return

    # weighed

    def weigh(self, hour: float) -> None:
        """The marked bunches whose day it is."""
        for lot in sorted(self._marked):
            days = (self.work.day - self._hung[lot][0]).days
            rhythm = self.work.chance.pick(WEIGHED_AT, "weighed on", lot)
            if rhythm.get(days) == hour and self.work.chance.happens(0.93, "on time", lot, days):
                self._weigh(lot, hour)

    def _weigh(self, lot: str, hour: float) -> None:
        found = self.work.farm.lots.get(lot)
        line = next((place for place in found.holdings if place in LINES), None) if found else None
        if found is None or line is None:
            self._marked.discard(lot)
            return
        if found.weighings and found.weighings[-1][0] == str(self.work.day):
            return
        chance, about = self.work.chance, (lot, self.work.day)
        hour += chance.whole(0, 20, "weighed at", *about) / 60
        hours = 24 * (self.work.day - self._hung[lot][0]).days + hour - NOON
        shown = round(self._curve(lot).grams(hours) + chance.spread("scale", *about, hour))
        self.work.write(f"weigh {lot} {line} {max(shown, 1)}g at {clock(hour)}")

    def _curve(self, lot: str) -> Curve:
        """The truth, which the scale and the fingers look at."""
        found = self.work.farm.lots.get(lot)
        assert found is not None
        hung_on, per = self._hung[lot]
        return self.rooms.curve(found.crop, lot, per, hung_on, self.work.sheet(found.crop, found.way))

    # tested and boxed

    def test_and_box(self) -> None:
        """Shelf day: mold thrown out, the snap test, what is dry into boxes."""
        day = self.work.day
        if day.weekday() not in (WEDNESDAY, SATURDAY):
            return
        for row in self.work.see(Door.shelf):
            if mold := on(day, "mold", row.crop):
                self.work.write(f"lost {max(round(row.stems * mold.amount), 1)} mold {row.lot} {row.line}")
        for row in self.work.see(Door.shelf):
            if row.status in ("test", "overdue") and not on(row.hung_on, "forgotten on its line", row.crop):
                hours = 24 * (day - self._hung[row.lot][0]).days + 4
                snaps = self._curve(row.lot).ratio(hours) <= DRY_RATIO * 1.05
                if snaps and row.lot in self._marked:
                    self._weigh(row.lot, 15.4)  # for what it keeps of its weight
                self.work.write(f"{'snap' if snaps else 'bends'} {row.lot} {row.line}")
        for row in self.work.see(Door.shelf):
            if row.status == "dry" and not on(day, "no box for", row.crop):
                self._box(row)

    def _box(self, row: ShelfRow) -> None:
        """Into its box: what opened too far while it hung, or broke, is left out; the rest is graded."""
        work, chance = self.work, self.work.chance
        late = work.late.get(row.lot, 0.0)
        broken = max(chance.between(-0.06, 0.09, "dry loss", row.lot), 0.0)
        cause = (
            LATE[row.crop][1] if late else chance.pick(("shatter", "brown", "broken"), "dry cause", row.lot)
        )
        lost = round(row.stems * (late or broken))
        if lost:
            work.write(f"lost {lost} {cause} {row.lot} {row.line}")
        bunches, loose = divmod(row.stems - lost, row.per)
        share = chance.share("grade", row.lot)
        grade = " second" if late or 0.4 <= share < 0.5 else " first" if share < 0.4 else ""
        if bunches:
            self._into_box(row.crop, "dry", f"{row.lot} {row.line} {bunches}x{row.per}", grade)
        if loose:
            work.write(f"used {loose} {row.lot} {row.line} for loose in wreaths")

    def _into_box(self, crop: str, form: str, what: str, grade: str = "") -> None:
        """Into the box of this year for that kind of crop; where it stands is said of a new one."""
        kind = self.work.day.year, CROPS[crop].box, form
        is_new = kind not in self._boxes
        box = self._boxes.setdefault(kind, len(self._boxes) + 1)
        self.work.write(f"box {what} box {box}{grade}")
        if is_new:
            self.work.write(f"box {box} {BOX_PLACES[box % len(BOX_PLACES)]}")

    def clear_bench(self) -> None:
        """Wired heads that have dried upright go into their own box."""
        for lot in list(self.work.farm.lots.live()) if self.work.day.weekday() == FRIDAY else ():
            held = lot.holdings.get(BENCH)
            if held and (self.work.day - date.fromisoformat(held.since)).days >= WIRED_DRIES_DAYS:
                self._into_box(lot.crop, "wired", f"{lot.code} bench")

    # the boxes

    def look(self) -> None:
        """Every fourth Saturday into all boxes, into grain heads between the rounds too; moth and short counts."""
        day, write = self.work.day, self.work.write
        bunches = (
            [row for row in self.work.see(Door.stock) if row.unit == "bunches"]
            if day.weekday() == SATURDAY
            else []
        )
        if moth := on(day, "moth"):
            oldest = next(row for row in bunches if row.on_hand > moth.amount)
            write(f"check {oldest.place} moth")
            write(f"lost {moth.amount} bunches {oldest.lot} {oldest.place} moth")
            write(f"freeze {oldest.place} {FREEZE_DAYS:g} days")
        if short := on(day, "boxes counted"):
            for n, row in enumerate(bunches[:12]):
                there = row.on_hand + (short.amount if n == 4 else 0)
                write(f"count {there:g} bunches {row.lot} {row.place}")
        days, half = divmod((day - ROUND_FROM).days, EVERY_DAYS)
        is_grain_only = half == EVERY_DAYS // 2 and day.month in GRAIN_IN_WINTER
        if days >= 0 and (half == 0 or is_grain_only):
            rows = [
                row
                for row in self.work.see(Door.boxes)
                if row.stems and not on(day, "not looked into", row.box)
            ]
            boxes = [row.box for row in rows if not is_grain_only or {*row.crops} & {*MOTH_FIRST}]
            if boxes:
                write(f"check {' '.join(boxes)} sound")
