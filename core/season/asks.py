"""What the quiet months ask: seed to order and to test, tubers to look over, and the sowings that are coming.

All of it follows from what was grown here: nothing is asked of crops that the farm never had.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from core.asks import Asked, Part, Sight
from core.crops.calendar import crop_dates
from core.crops.course import is_lifted, stays
from core.farm import Farm
from core.season.fall_sowing import fall_sowing
from core.season.years import YEARS
from core.seeds.keeping import standing
from core.seeds.rows import OrderRow, order_rows
from core.settings.sheets import bounds, farm_sheet, frosts, in_south, season_year
from core.text import named
from core.tubers.stock import Tubers, roots_of
from core.units import day_from_iso, short_day

WINTER = (11, 12, 1, 2, 3)
"""Months in which it is asked, north of the equator."""
TEST_MONTHS = (1, 2)
"""Months to try the seed that is left (common practice: before it is ordered)."""
LOOK_DAYS = 7
"""Old seed is tried in the first week of a month, and what is stored without a record is thought of then."""
CHECKED_DAYS = 28
"""So long after tubers were in hand last they are to be looked over, until that is written (common practice: once a
month)."""
COMING_DAYS = 28
"""How far ahead the coming sowings are told."""
ORDER_DAYS = 10, 56
"""Seed that is to be sown within so many days cannot be ordered any more (common practice); what is sown later than so
many is told in the first week of each month."""
MOST_TOLD = 5
"""Sorts of seed to order that the page names; the rest stands in the drawer's own list."""
EARLY_DAYS = 28
"""What was sown so long before its first day is that season's sowing, begun early."""
YEARS_BACK = 2
SEED_WHY = "what is planned or was sown last season, less the good seed in the drawer"
TO_PLANT = "order to plant:"
PLANT_WHY = "what is planned, less what lies in store"


class SeasonTask(NamedTuple):
    """One thing of the quiet months: what to do, with which crops, from when."""

    do: str
    crops: tuple[str, ...]
    days: tuple[str, ...]
    """For each of the crops its first day ("from 14 Mar"); none where it is no matter of days."""
    because: str


def _tasks(sight: Sight) -> tuple[SeasonTask, ...]:
    farm, day = sight.farm, sight.day
    month = (day.month + 5) % 12 + 1 if in_south(farm) else day.month
    grown = _grown(farm, day)
    if month not in WINTER:
        return tuple(_in_fall(farm, day, grown))
    sowings = _coming(farm, day, grown)
    tasks = []
    if soon := {crop: on for crop, on in sowings.items() if on <= day + timedelta(days=COMING_DAYS)}:
        days = tuple("now" if on == day else f"from {short_day(on)}" for on in soon.values())
        tasks.append(SeasonTask("sow", tuple(soon), days, "reckoned back from your last frost"))
    is_first_week = day.day <= LOOK_DAYS
    soonest, latest = (day + timedelta(days=days) for days in ORDER_DAYS)
    later = {crop: on for crop, on in sowings.items() if soonest < on and (is_first_week or on <= latest)}
    has_drawer = farm.packets.made > 0
    lacks = _short(farm, day, sowings, latest, is_first_week=is_first_week)
    short = [one for one in lacks if one.row.of == "seeds"] if has_drawer else []
    are_tested = month in TEST_MONTHS and is_first_week
    old = _old_packets(farm, day, short, every=are_tested) if has_drawer else tuple(sowings)
    if old and (are_tested or has_drawer):
        why = "ten seeds or more in a damp towel, kept warm; count what sprouts (common practice)"
        tasks.append(SeasonTask("test old seed of", old, (), why))
    if has_drawer:
        tasks += _to_order(short, "order seed:", SEED_WHY)
    elif later and not are_tested:
        why = "what was sown here in the last two years"
        days = tuple(f"for {short_day(on)}" for on in later.values())
        tasks.append(SeasonTask("order seed:", tuple(later), days, why))
    tasks += _to_order([one for one in lacks if one.row.of != "seeds"], TO_PLANT, PLANT_WHY)
    stored = _in_store(farm, grown, day, is_first_week=is_first_week)
    for word in sorted({roots_of(farm, crop) for crop in stored}):
        crops = tuple(crop for crop in stored if roots_of(farm, crop) == word)
        why = "soft ones out, shriveled ones a little damper (common practice, once a month); then write: "
        tasks.append(SeasonTask(f"look over {word} of", crops, (), f"{why}checked {crops[0]} {word}"))
    return tuple(tasks)


def _in_fall(farm: Farm, day: date, grown: Sequence[str]) -> Iterator[SeasonTask]:
    """What may be sown in the bed now, or within a week, for the flowers of next year, and was not yet."""
    every = (fall_sowing(farm, crop, day) for crop in grown)
    soon = [one for one in every if one is not None and one.first - timedelta(days=LOOK_DAYS) <= day]
    last = _last_sown(farm) if soon else {}
    due = [
        one for one in soon if last.get(one.crop, "") < (one.first - timedelta(days=EARLY_DAYS)).isoformat()
    ]
    for because in dict.fromkeys(one.because for one in due):
        of = [one for one in due if one.because == because]
        yield SeasonTask(
            "sow in the bed this fall", tuple(one.crop for one in of), tuple(one.days for one in of), because
        )


def _in_store(farm: Farm, grown: Sequence[str], day: date, *, is_first_week: bool) -> tuple[str, ...]:
    """The crops of which tubers lie in store that nobody had in hand for a month; where the store was never written
    down, in the first week of a month those that were grown here and are lifted."""
    kept = farm.part(Tubers)
    since = (day - timedelta(days=CHECKED_DAYS)).isoformat()
    crops = {stock.crop for stock in kept.all() if stock.there > 0 and (stock.handled_on or "") <= since}
    if is_first_week:
        untold = (crop for crop in grown if not kept.of(crop, None))
        crops |= {crop for crop in untold if (sheet := farm_sheet(farm, crop)) and is_lifted(sheet)}
    return tuple(sorted(crops))


def _old_packets(farm: Farm, day: date, short: Sequence[Short], *, every: bool) -> tuple[str, ...]:
    """The packets older than their seed usually keeps, and not tested since: first those that an order waits for, then
    every other where so asked."""
    waited_for = dict.fromkeys(code for one in short for code in one.row.test)
    others = (p.code for p in farm.packets.live() if every and standing(farm, p, day) == "test")
    packets = (farm.packets.get(code) for code in (*waited_for, *(c for c in others if c not in waited_for)))
    old = [f"{named(p.crop, p.variety)} {p.code}" for p in packets if p is not None]
    more = [f"{len(old) - MOST_TOLD + 1} packets more"] if len(old) > MOST_TOLD else []
    return (*(old[: MOST_TOLD - 1] if more else old), *more)


class Short(NamedTuple):
    """Seed that the drawer lacks, or tubers and the like that the store lacks, and from when it is wanted."""

    row: OrderRow
    on: date | None

    @property
    def told(self) -> str:
        """ "235 seeds for 19 Mar, 35 if K003 is good"."""
        row = self.row
        when = f" for {short_day(self.on)}" if self.on is not None else ""
        if not row.test:
            return f"{row.amount}{when}"
        proves = f"{' '.join(row.test)} {'is' if len(row.test) == 1 else 'are'} good"
        return f"{row.amount}{when}, {row.if_good or 'none'} if {proves}"


def _short(
    farm: Farm, day: date, sowings: Mapping[str, date], latest: date, *, is_first_week: bool
) -> list[Short]:
    """What the drawer lacks for what is sown by that day: for all of the season in the first week of a month."""
    rows = [row for row in order_rows(farm, day) if row.is_short]
    found = [Short(row, day_from_iso(row.sow_on or "") or sowings.get(row.crop)) for row in rows]
    told = [one for one in found if is_first_week or (one.on is not None and one.on <= latest)]
    return sorted(told, key=lambda one: (one.on or date.max, named(one.row.crop, one.row.variety)))


def _to_order(short: Sequence[Short], do: str, why: str) -> list[SeasonTask]:
    told = {named(one.row.crop, one.row.variety): one.told for one in short}
    if len(told) > MOST_TOLD:
        more = len(told) - MOST_TOLD + 1
        told = {**dict([*told.items()][: MOST_TOLD - 1]), f"{more} sorts more": "in the seed drawer's list"}
    return [SeasonTask(do, tuple(told), tuple(told.values()), why)] if told else []


def _grown(farm: Farm, day: date) -> list[str]:
    """The crops that were sown or planted here in the last two years, by name."""
    since = day.replace(year=day.year - YEARS_BACK, day=1).isoformat()
    trays = {tray.crop for tray in farm.trays.all() if since <= tray.sown <= day.isoformat()}
    return sorted(trays | {p.crop for p in farm.plantings.all() if since <= p.out_on <= day.isoformat()})


def _last_sown(farm: Farm) -> dict[str, str]:
    """Crop -> the day it was sown last, in a tray or where it grows."""
    last: dict[str, str] = {}
    sown = [(tray.crop, tray.sown) for tray in farm.trays.all()]
    for crop, on in (*sown, *((p.crop, p.out_on) for p in farm.plantings.all() if p.drilled)):
        last[crop] = max(on, last.get(crop, ""))
    return last


def _coming(farm: Farm, day: date, grown: Sequence[str]) -> dict[str, date]:
    """Crop -> the first day to sow it in the season ahead, the earliest first; of what is sown anew each year, and was
    not sown yet.
    """
    found = {}
    year = season_year(farm, day + timedelta(days=60))
    frost, last_sown = frosts(farm, year), _last_sown(farm)
    for crop in grown:
        sheet = farm_sheet(farm, crop)
        if sheet is None or stays(sheet) or not frost.spring:
            continue
        windows = crop_dates(sheet, frost, bounds=bounds(farm)).windows
        window = windows.get("sow") or windows.get("direct_sow")
        if window is None or window.end < day:
            continue
        if last_sown.get(crop, "") < (window.start - timedelta(days=EARLY_DAYS)).isoformat():
            found[crop] = max(window.start, day)
    return dict(sorted(found.items(), key=lambda one: (one[1], one[0])))


def _asked(tasks: Sequence[SeasonTask]) -> Iterator[Asked]:
    for task in tasks:
        days = task.days or ("",) * len(task.crops)
        told = "; ".join(f"{crop} {on}".strip() for crop, on in zip(task.crops, days, strict=True))
        yield Asked(
            (), task, told, task.do, opens="seeds" if "seed" in task.do or task.do == TO_PLANT else ""
        )


PARTS = (Part("season", "The season", 80, _tasks, _asked), YEARS)
