"""The drying shed: its air, what is hung, wired, weighed, tested and boxed, what is lost on the way; the boxes."""

from __future__ import annotations

from datetime import date

from core.boxes.kinds import FREEZE_DAYS, MOTH_FIRST, box_rows
from core.drying.rows import ShelfRow, shelf_rows
from core.fresh.rows import FreshRow, fresh_rows
from core.pieces.wiring import FRESH_DAYS
from core.places import BENCH
from core.settings.sheets import sheet_bunch
from core.shed.line_room import FEET_A_BUNCH, feet_taken
from core.stems.rows import stock_rows
from demo_farm import plan
from demo_farm.air import DRY_RATIO, Curve
from demo_farm.hand import Lines, Work, clock
from demo_farm.plan import FRIDAY, MONDAY, MORNING, NOON, SATURDAY, THURSDAY, WEDNESDAY
from demo_farm.tables import CROPS, on

WEIGHED, WEIGHED_NOW, WEIGHED_MORE_FROM = 0.22, 1.0, date(2026, 6, 6)
"""Share of what is hung of which a bunch is marked and weighed; more of them in the weeks before the demo day."""
ROUND_FROM, EVERY_DAYS = date(2025, 6, 28), 28
"""A Saturday, and the days between two rounds of all boxes."""


def read_air(work: Work, from_hour: float = MORNING) -> Lines:
    """In the morning: the hygrometer, on some days the max-min thermometer, once a week the cooler."""
    day, chance = work.day, work.chance
    hour = from_hour + chance.whole(0, 30, "read at", day) / 60
    is_reset = day.weekday() in (MONDAY, THURSDAY)
    if is_reset or work.weather.muggy or chance.happens(0.85, "air", day):
        yield from _read(work, hour, is_reset)
    if 5 <= day.month <= 10 and (day.weekday() == MONDAY or on(day, "warm cooler")):
        degrees, humidity = work.rooms.cooler(day)
        yield f"cooler {degrees}F {humidity}% at {clock(hour)}"


def read_again(work: Work) -> Lines:
    """On hot days when the doors are shut; when the air is close in the evening, and once more at night."""
    hours = (18.2, 22.1) if work.weather.muggy else (21.0,) if work.weather.high >= plan.HEAT_F else ()
    for hour in hours if work.chance.happens(0.6, "read again", work.day) else ():
        work.at(hour)
        yield from _read(work, hour)


def _read(work: Work, hour: float, is_reset: bool = False) -> Lines:
    """With what the max-min thermometer saw, where it is reset: nothing for the first time of a year."""
    if not "05-28" <= f"{work.day:%m-%d}" <= "10-22":
        return
    seen, since = "", work.reset
    if is_reset:
        work.reset = work.day, hour
        if since and (work.day - since[0]).days <= 10:
            seen = " {} to {} {} to {}%".format(*work.rooms.shed_range(*since, work.day, hour))
    degrees, humidity = work.rooms.shed(work.day, hour)
    yield f"shed {degrees}F {humidity}% at {clock(hour)}{seen}"


def fill(work: Work) -> Lines:
    """Noon: what was cut to dry is hung, what was cut to wire is wired as far as the hour goes."""
    too_late = on(work.day, "wired too late")
    for row in work.see(fresh_rows):
        if row.use == "wire" and too_late and row.age_days > FRESH_DAYS:
            yield f"wire {min(row.stems, 20)} {row.lot} 22g anyway"
            yield f"note {row.lot} wired though no longer fresh: {too_late.cause}"
            too_late = None
        elif row.use == "wire" and on(work.day, "not wired"):
            continue
        elif row.status == "wire":
            gauge = 22 if row.variety in ("white", "copper") else 24
            heads = min(row.stems, work.chance.whole(22, 34, "heads", row.lot, work.day))
            if heads := min(heads, int(work.farm.makings[f"wire {gauge}"])):
                yield f"wire {heads} {row.lot} {row.place} {gauge}g"
        elif row.status == "hang" and on(work.day, "not hung", row.crop):
            continue
        elif row.status == "hang" or (row.use == "wire" and row.status not in ("old", "compost")):
            yield from _hang(work, row, NOON)


def rescue(work: Work) -> Lines:
    """What is unsold and still young enough is hung, where it is worth the room."""
    for row in work.see(fresh_rows):
        is_worth_it = row.status == "rescue" and row.age_days <= 3 and row.stems >= 15
        if is_worth_it and work.chance.happens(0.35, "rescued", row.lot):
            yield from _hang(work, row, plan.EVENING)


def _hang(work: Work, row: FreshRow, hour: float) -> Lines:
    """Onto the line with most room, and what finds none there onto the next."""
    per = min(sheet_bunch(work.farm, row.crop, "dried") or 10, 25)
    free = {name: feet for name, (feet, _, fan) in work.farm.lines.items() if fan is not False}
    for place, held in (item for lot in work.farm.lots.live() for item in lot.holdings.items()):
        if place in free:
            free[place] -= feet_taken(held.stems, held.per)
    left = row.stems
    for line in sorted(free, key=lambda name: -free[name]):
        if stems := min(left, max(int(free[line] / FEET_A_BUNCH), 0) * per):
            yield f"hang {stems} {row.lot} {row.place} {line} {per}s"
            left -= stems
    work.hung.setdefault(row.lot, (work.day, per))
    odds = WEIGHED_NOW if work.day >= WEIGHED_MORE_FROM else WEIGHED
    if left < row.stems and work.chance.happens(odds, "a marked bunch", row.lot):
        work.marked.add(row.lot)
        yield from _weigh(work, row.lot, hour)


def weigh(work: Work, hour: float = MORNING) -> Lines:
    """The marked bunches whose day it is."""
    for lot in sorted(work.marked):
        days = (work.day - work.hung[lot][0]).days
        rhythm = work.chance.pick(plan.WEIGHED_AT, "weighed on", lot)
        if rhythm.get(days) == hour and work.chance.happens(0.93, "on time", lot, days):
            yield from _weigh(work, lot, hour)


def _weigh(work: Work, lot: str, hour: float) -> Lines:
    found = work.farm.lots.get(lot)
    line = next((place for place in found.holdings if place in work.farm.lines), None) if found else None
    if found is None or line is None:
        work.marked.discard(lot)
    elif not found.weighings or found.weighings[-1].on < str(work.day):
        chance, about = work.chance, (lot, work.day)
        hour += chance.whole(0, 20, "weighed at", *about) / 60
        hours = 24 * (work.day - work.hung[lot][0]).days + hour - NOON
        shown = round(_curve(work, lot).grams(hours) + chance.spread("scale", *about, hour))
        yield f"weigh {lot} {line} {max(shown, 1)}g at {clock(hour)}"


def _curve(work: Work, lot: str) -> Curve:
    """The truth, which the scale and the fingers look at."""
    found, (hung_on, per) = work.farm.lots.get(lot), work.hung[lot]
    assert found is not None
    return work.rooms.curve(found.crop, lot, per, hung_on, work.sheet(found.crop, found.way))


def test_and_box(work: Work) -> Lines:
    """Shelf day: mold thrown out, the snap test, what is dry into boxes."""
    day = work.day
    if day.weekday() not in (WEDNESDAY, SATURDAY):
        return
    for row in work.see(shelf_rows):
        if mold := on(day, "mold", row.crop):
            yield f"lost {max(round(row.stems * mold.amount), 1)} mold {row.lot} {row.line}"
    for row in work.see(shelf_rows):
        if row.status in ("test", "overdue") and not on(row.hung_on, "forgotten on its line", row.crop):
            hours = 24 * (day - work.hung[row.lot][0]).days + 4
            snaps = _curve(work, row.lot).ratio(hours) <= DRY_RATIO * 1.05
            if snaps and row.lot in work.marked:
                yield from _weigh(work, row.lot, 15.4)  # for what it keeps of its weight
            yield f"{'snap' if snaps else 'bends'} {row.lot} {row.line}"
    for row in work.see(shelf_rows):
        if row.status == "dry" and not on(day, "no box for", row.crop):
            yield from _box(work, row)


def _box(work: Work, row: ShelfRow) -> Lines:
    """Into its box: what opened too far while it hung, or broke, is left out; the rest is graded."""
    chance, late = work.chance, work.late.get(row.lot, 0.0)
    broken = max(chance.between(-0.06, 0.09, "dry loss", row.lot), 0.0)
    cause = (
        CROPS[row.crop].late_cause
        if late
        else chance.pick(("shatter", "brown", "broken"), "dry cause", row.lot)
    )
    if lost := round(row.stems * (late or broken)):
        yield f"lost {lost} {cause} {row.lot} {row.line}"
    bunches, loose = divmod(row.stems - lost, row.per)
    share = chance.share("grade", row.lot)
    grade = " second" if late or 0.4 <= share < 0.5 else " first" if share < 0.4 else ""
    if bunches:
        yield from _into_box(work, row.crop, "dry", f"{row.lot} {row.line} {bunches}x{row.per}", grade)
    if loose:
        yield f"used {loose} {row.lot} {row.line} for loose in wreaths"


def _into_box(work: Work, crop: str, form: str, what: str, grade: str = "") -> Lines:
    """Into the box of this year for that kind of crop; where it stands is said of a new one."""
    kind = work.day.year, CROPS[crop].box, form
    is_new = kind not in work.boxes
    box = work.boxes.setdefault(kind, len(work.boxes) + 1)
    yield f"box {what} box {box}{grade}"
    if is_new:
        yield f"box {box} {plan.BOX_PLACES[box % len(plan.BOX_PLACES)]}"


def clear_bench(work: Work) -> Lines:
    """Wired heads that have dried upright for two weeks go into their own box."""
    for lot in list(work.farm.lots.live()) if work.day.weekday() == FRIDAY else ():
        held = lot.holdings.get(BENCH)
        if held and (work.day - date.fromisoformat(held.since)).days >= 14:
            yield from _into_box(work, lot.crop, "wired", f"{lot.code} bench")


def look(work: Work) -> Lines:
    """Every fourth Saturday into all boxes, in winter into grain heads between too; moth and a short count."""
    day = work.day
    if day.weekday() != SATURDAY:
        return
    bunches = [row for row in work.see(stock_rows) if row.unit == "bunches"]
    if moth := on(day, "moth"):
        oldest = next(row for row in bunches if row.on_hand > moth.amount)
        yield f"check {oldest.place} moth"
        yield f"lost {moth.amount} bunches {oldest.lot} {oldest.place} moth"
        yield f"freeze {oldest.place} {FREEZE_DAYS:g} days"
    if short := on(day, "boxes counted"):
        for n, row in enumerate(bunches[:12]):
            yield f"count {row.on_hand + (short.amount if n == 4 else 0):g} bunches {row.lot} {row.place}"
    into_round = (day - ROUND_FROM).days % EVERY_DAYS if day >= ROUND_FROM else 1
    is_grain_only = into_round == EVERY_DAYS // 2 and not 4 <= day.month <= 9
    rows = work.see(box_rows) if into_round == 0 or is_grain_only else []
    wanted = [row for row in rows if not is_grain_only or {*row.crops} & {*MOTH_FIRST}]
    if boxes := [row.box for row in wanted if row.stems and not on(day, "not looked into", row.box)]:
        yield f"check {' '.join(boxes)} sound"
