"""The drying shed: hung, wired, weighed, tested, boxed, with what is lost on the way; and its air."""

from __future__ import annotations

from datetime import date

from core.drying.rows import ShelfRow
from core.farm import BENCH
from core.fresh.rows import FreshRow
from core.pieces.wiring import FRESH_DAYS
from core.settings.sheets import sheet_bunch
from core.shed.line_room import FEET_A_BUNCH, lines_room
from demo_farm.drying import DRY_RATIO, Curve, curve, on_the_scale
from demo_farm.plan import HEAT_F, LATE, LINES, TO_RESCUE, WEIGHED_AT
from demo_farm.rooms import Rooms
from demo_farm.storing import Storing
from demo_farm.troubles import BOX_LEFT, DAMP_LINE, FORGOTTEN, INSISTED, MOULDY, NOT_HUNG
from demo_farm.work import Work, clock

SHELF_DAYS = (2, 5)
"""Wednesday and Saturday: what hangs is tried and boxed."""
BENCH_DAY = 4
WIRED_DRIES_DAYS = 14
INSISTED_AFTER_DAYS = 3
"""Days for which the wiring was put off before it was insisted on."""
HEADS_AN_HOUR = (22, 34)
DRY_LOSSES = ("shatter", "brown", "broken")
BIGGEST_BUNCH = 25
RESCUED_DAYS = 3
"""What is older she does not hang, however cool it stood."""

DRYING_SEASON = ((5, 28), (10, 22))
RANGE_DAYS = (0, 3)
"""Monday and Thursday: the max-min thermometer is read and reset."""
READ, READ_AGAIN = 0.85, 0.6
"""How often the hygrometer is read in the morning, and again on muggy and hot days."""
COOLER_MONTHS = range(5, 11)
COOLER_DAY = 0

WEIGHED, WEIGHED_NOW = 0.22, 0.75
"""Share of what is hung of which a bunch is marked and weighed; more of them in the weeks before the demo day."""
WEIGHED_MORE_FROM = date(2026, 6, 6)
MORNING, EVENING = 6.75, 17.8
NOON = 12.4


class Shed:
    def __init__(self, work: Work, rooms: Rooms, storing: Storing) -> None:
        self.work = work
        self.rooms = rooms
        self.storing = storing
        self._hung: dict[str, tuple[date, int]] = {}
        self._marked: dict[str, date] = {}
        self._reset: tuple[date, float] | None = None

    # its air

    def read_air(self, hour: float) -> None:
        """In the morning: the hygrometer, on some days the max-min thermometer, once a week the cooler."""
        day, chance = self.work.day, self.work.chance
        hour += chance.whole(0, 30, "read at", day) / 60
        if DRYING_SEASON[0] <= (day.month, day.day) <= DRYING_SEASON[1]:
            is_reset = day.weekday() in RANGE_DAYS
            if is_reset or self.work.weather.muggy or chance.happens(READ, "air", day):
                self._read(hour, self._since_reset(hour) if is_reset else "")
        if day.month in COOLER_MONTHS and (day.weekday() == COOLER_DAY or self.rooms.is_cooler_warm(day)):
            degrees, humidity = self.rooms.cooler(day)
            self.work.shed.write(f"cooler {degrees}F {humidity}% at {clock(hour)}")

    def read_again(self) -> None:
        """On hot days when the doors are shut; when the air is close in the evening, and once more at night."""
        day, chance = self.work.day, self.work.chance
        hours = [21.0] if self.work.weather.high >= HEAT_F else []
        hours = [18.2, 22.1] if self.work.weather.muggy else hours
        is_season = DRYING_SEASON[0] <= (day.month, day.day) <= DRYING_SEASON[1]
        if is_season and chance.happens(READ_AGAIN, "read again", day):
            for hour in hours:
                self.work.at(hour)
                self._read(hour, "")

    def _read(self, hour: float, seen: str) -> None:
        degrees, humidity = self.rooms.shed(self.work.day, hour)
        self.work.shed.write(f"shed {degrees}F {humidity}% at {clock(hour)}{seen}")

    def _since_reset(self, hour: float) -> str:
        """What the max-min thermometer saw; nothing for the first time of a year, when it is only reset."""
        since, self._reset = self._reset, (self.work.day, hour)
        if since is None or (self.work.day - since[0]).days > 10:
            return ""
        low, high, dry, damp = self.rooms.shed_range(since, self._reset)
        return f" {low} to {high} {dry} to {damp}%"

    def fan_fails(self) -> None:
        """The fan of one line."""
        day, line = DAMP_LINE
        if self.work.day.isoformat() == day:
            self.work.shed.write(f"{line} is {LINES[line].feet}ft {LINES[line].light} no fan")

    # hung and wired

    def fill(self) -> None:
        """Noon: what was cut to dry is hung, what was cut to wire is wired as far as the hour goes."""
        self.work.shed.door.refresh()
        put_off = 0 <= (date.fromisoformat(INSISTED[0]) - self.work.day).days <= INSISTED_AFTER_DAYS
        for row in self.work.shed.door.fresh():
            if row.use == "wire" and put_off:
                continue
            if row.status == "hang":
                if not self._is_left_standing(row):
                    self.hang(row)
            elif row.status == "wire":
                self._wire(row)
            elif row.use == "wire" and row.status not in ("old", "compost"):
                self.hang(row)  # too old for the wire, not yet for the line

    def rescue(self) -> None:
        """What is unsold and still young enough is hung, where it is worth the room."""
        self.work.shed.door.refresh()
        for row in self.work.shed.door.fresh():
            is_young = row.status == "rescue" and row.age_days <= RESCUED_DAYS
            if is_young and row.stems >= TO_RESCUE and self.work.chance.happens(0.35, "rescued", row.lot):
                self.hang(row, EVENING)

    def _is_left_standing(self, row: FreshRow) -> bool:
        if (self.work.day.isoformat(), row.crop) == NOT_HUNG:
            return True
        return row.age_days == 0 and self.work.chance.happens(0.07, "not hung today", row.lot)

    def hang(self, row: FreshRow, hour: float = NOON) -> None:
        """Onto the line with most room, and what finds none there onto the next."""
        per = min(sheet_bunch(self.work.farm, row.crop, "dried") or 10, BIGGEST_BUNCH)
        left, free = row.stems, self._free_lines()
        for line, feet in free:
            stems = min(left, int(feet / FEET_A_BUNCH) * per)
            if stems > 0:
                self.work.write(f"hang {stems} {row.lot} {row.place} {line} {per}s")
                left -= stems
        if left:  # crowded
            self.work.write(f"hang {left} {row.lot} {row.place} {free[0][0]} {per}s")
        self._hung[row.lot] = self.work.day, per
        if self._is_to_be_weighed(row.lot):
            self._marked[row.lot] = self.work.day
            self._weigh(row.lot, hour)

    def _free_lines(self) -> list[tuple[str, float]]:
        """The lines in use and their free feet, the emptiest first."""
        rows = [
            (row.line, row.free or 0.0)
            for row in lines_room(self.work.farm, self.work.day).lines
            if row.fan is not False
        ]
        return sorted(rows, key=lambda row: -row[1])

    def _wire(self, row: FreshRow) -> None:
        gauge = 22 if row.variety in ("white", "copper") else 24
        heads = min(row.stems, self.work.chance.whole(*HEADS_AN_HOUR, "heads", row.lot, self.work.day))
        heads = min(heads, int(self.work.farm.makings.get(f"wire {gauge}", 0)))
        if heads:
            self.work.write(f"wire {heads} {row.lot} {row.place} {gauge}g")

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

    # weighed

    def _is_to_be_weighed(self, lot: str) -> bool:
        odds = WEIGHED_NOW if self.work.day >= WEIGHED_MORE_FROM else WEIGHED
        return self.work.chance.happens(odds, "a marked bunch", lot)

    def weigh(self, hour: float) -> None:
        """The marked bunches whose day it is."""
        for lot, since in list(self._marked.items()):
            day_after = (self.work.day - since).days
            rhythm = self.work.chance.pick(WEIGHED_AT, "weighed on", lot)
            if rhythm.get(day_after) == hour and self.work.chance.happens(0.93, "on time", lot, day_after):
                self._weigh(lot, hour)

    def _weigh(self, lot: str, hour: float) -> None:
        found = self.work.farm.lots.get(lot)
        line = next((place for place in found.holdings if place.startswith("line")), None) if found else None
        if found is None or line is None:
            del self._marked[lot]
            return
        hour += self.work.chance.whole(0, 20, "weighed at", lot, self.work.day) / 60
        since, _ = self._hung[lot]
        gone = 24 * (self.work.day - since).days + hour - NOON
        shown = on_the_scale(self._curve(lot).grams(gone), self.work.chance, lot, self.work.day, hour)
        self.work.write(f"weigh {lot} {line} {shown}g at {clock(hour)}")

    def _curve(self, lot: str) -> Curve:
        found = self.work.farm.lots.get(lot)
        assert found is not None
        since, per = self._hung[lot]
        sheet = self.work.sheet(found.crop, found.way)
        return curve(found.crop, lot, per, since, sheet, self.rooms, self.work.chance)

    def _snaps(self, lot: str) -> bool:
        """The truth."""
        hours = 24 * (self.work.day - self._hung[lot][0]).days + 4
        return self._curve(lot).ratio(hours) <= DRY_RATIO * 1.05

    # tested and boxed

    def test_and_box(self) -> None:
        """Shelf day: mould thrown out, the snap test, what is dry into boxes."""
        if self.work.day.weekday() not in SHELF_DAYS:
            return
        for row in self._hanging():
            self._throw_out_mould(row)
        for row in self._hanging():
            if row.status in ("test", "overdue") and not self._is_forgotten(row):
                self._test(row)
        for row in self._hanging():
            if row.status == "dry" and (self.work.day.isoformat(), row.crop) != BOX_LEFT:
                self._box(row)

    def _test(self, row: ShelfRow) -> None:
        snaps = self._snaps(row.lot)
        if snaps and row.lot in self._marked and self._weighed_days_ago(row.lot) > 1:
            self._weigh(row.lot, 15.4)  # for what it keeps of its weight
        self.work.write(f"{'snap' if snaps else 'bends'} {row.lot} {row.line}")

    def _weighed_days_ago(self, lot: str) -> int:
        found = self.work.farm.lots.get(lot)
        last = found.weighings[-1][0] if found and found.weighings else "2000-01-01"
        return (self.work.day - date.fromisoformat(last)).days

    def _hanging(self) -> list[ShelfRow]:
        self.work.shed.door.refresh()
        return self.work.shed.door.shelf()

    def _is_forgotten(self, row: ShelfRow) -> bool:
        crop, first, last = FORGOTTEN
        return row.crop == crop and first <= row.hung_on <= last

    def _throw_out_mould(self, row: ShelfRow) -> None:
        share = MOULDY.get((self.work.day.isoformat(), row.crop))
        if share:
            self.work.write(f"lost {max(round(row.stems * share), 1)} mould {row.lot} {row.line}")

    def _box(self, row: ShelfRow) -> None:
        """Into its box: what opened too far while it hung, or broke, is left out; the rest is graded."""
        chance, per = self.work.chance, row.per or 10
        stems = row.stems
        late = self.work.late.get(row.lot, 0.0)
        opened = round(stems * late)
        broken = round(stems * max(chance.between(-0.06, 0.09, "dry loss", row.lot), 0.0))
        if opened:
            self.work.write(f"lost {opened} {LATE[row.crop].cause} {row.lot} {row.line}")
        elif broken:
            opened = broken
            cause = chance.pick(DRY_LOSSES, "dry cause", row.lot)
            self.work.write(f"lost {broken} {cause} {row.lot} {row.line}")
        bunches, loose = divmod(stems - opened, per)
        if bunches:
            box = self.storing.box_for(row.crop, "dry")
            grade = " second" if late else self._grade(row.lot)
            self.work.write(f"box {row.lot} {row.line} {bunches}x{per} box {box}{grade}")
            self.storing.place(box)
        if loose:
            self.work.write(f"used {loose} {row.lot} {row.line} for loose in wreaths")

    def _grade(self, lot: str) -> str:
        share = self.work.chance.share("grade", lot)
        return " first" if share < 0.4 else " second" if share < 0.5 else ""

    def clear_bench(self) -> None:
        """Wired heads that have dried upright go into their own box."""
        if self.work.day.weekday() != BENCH_DAY:
            return
        for lot in list(self.work.farm.lots.live()):
            held = lot.holdings.get(BENCH)
            if held and (self.work.day - date.fromisoformat(held.since)).days >= WIRED_DRIES_DAYS:
                box = self.storing.box_for(lot.crop, "wired")
                self.work.write(f"box {lot.code} bench box {box}")
                self.storing.place(box)
