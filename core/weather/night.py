"""What may stand outside tonight: the one place that decides it, for trays, beds, plans, the page and `tonight` alike.

The night ahead is the low she wrote as forecast, or the one reckoned from the readings at dusk where that is lower. The
nights after it are known as far as she wrote their forecast ("tonight 38 sat 31"), until she writes another.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING, Literal, NamedTuple

from core.beds.kinds import COVER_GAIN_F
from core.crops.course import flowers_again, is_late
from core.crops.hardening import Ladder, guard_f, ladder
from core.crops.sheet import HardinessClass, Sheet
from core.dialect import told_degrees, told_reading
from core.farm import Bed, Farm, Planting
from core.problems import Problem
from core.reckon.climate.air import c_from_f, f_from_c
from core.settings.sheets import frosts, planting_sheet, season_year
from core.units import WEEKDAYS
from core.weather.kinds import AVERAGE, Ahead

if TYPE_CHECKING:
    from core.reckon.climate.night_low import Calibration

GROUND_COLDER_F = 3
"""How much colder a leaf may be than the thermometer on a clear still night (common practice)."""
LOW_BY_CLASS: dict[HardinessClass, float] = {"hardy": 26.0, "half-hardy": 30.0, "tender": 33.0}
"""Lowest a hardened plant bears where its sheet has no figure [S109 S110 S111]; hardy crops bear at least so much."""
FREEZING_F = 32

Stand = Literal["", "out", "bring in"]
"""Where a tray is for the night: "" inside; outside, or in a frame, and safe there; outside, and to be brought in."""


class Low(NamedTuple):
    """The low to expect of a night, F; `spread_f` of an estimate from dusk, 0 of a forecast; whose word it is."""

    f: float
    spread_f: float
    by: Literal["forecast", "dusk"]

    @property
    def says(self) -> str:
        """ "forecast 31 F"."""
        return f"{'forecast' if self.by == 'forecast' else 'from dusk about'} {told_reading(self.f)}"

    @property
    def least(self) -> float:
        """The low that may still come, F."""
        return self.f - self.spread_f


def forecast_f(farm: Farm, day: date) -> float | None:
    """The low she wrote as forecast for the night that follows `day`, F: that day, or in the days before it."""
    said = farm.weather_on(day).tonight
    return farm.part(Ahead).nights.get(day.isoformat()) if said is None else said


def calibrated(farm: Farm) -> Calibration | Problem:
    """What her own clear nights say of the low that follows readings at dusk; a Problem for too few of them."""
    from core.reckon.climate.night_low import Night, calibrate  # loaded on evenings only

    return calibrate([Night(*(c_from_f(value) for value in night)) for night in farm.nights.values()])


def estimate(farm: Farm, day: date) -> tuple[float, float] | None:
    """(low, spread), F, reckoned from clear readings at dusk by her own clear nights; None where that cannot be."""
    today = farm.weather_on(day)
    if today.dusk is None or today.dew is None or not today.clear:
        return None
    fit = calibrated(farm)
    if isinstance(fit, Problem):
        return None
    low = f_from_c(fit.low_c(c_from_f(today.dusk), c_from_f(today.dew)))
    return None if low > today.dusk else (low, fit.spread_c * 1.8)


def low_ahead(farm: Farm, day: date) -> Low | None:
    """The low of the night that follows `day`; None where nothing is written of it."""
    forecast, reckoned = forecast_f(farm, day), estimate(farm, day)
    if reckoned is not None and (forecast is None or reckoned[0] < forecast):
        return Low(*reckoned, "dusk")
    return None if forecast is None else Low(forecast, 0.0, "forecast")


def nights_to_come(farm: Farm, day: date) -> Iterator[tuple[date, Low]]:
    """The night that follows `day`, where its low is known, and the later ones whose forecast is written, in order."""
    tonight = low_ahead(farm, day)
    if tonight is not None:
        yield day, tonight
    for night, f in sorted(farm.part(Ahead).nights.items()):
        if night > day.isoformat():
            yield date.fromisoformat(night), Low(f, 0.0, "forecast")


def night_name(night: date) -> str:
    """ "Sat night"."""
    return f"{WEEKDAYS[night.weekday()]} night"


def low_to_expect(farm: Farm, day: date) -> tuple[float, str] | None:
    """The low tonight is reckoned with, F, and whose word it is; None where nothing is written of it."""
    low = low_ahead(farm, day)
    if low is None:
        return None
    return (
        low.f,
        f"{'forecast low' if low.by == 'forecast' else 'low reckoned from dusk,'} {told_degrees(low.f)}",
    )


# trays


def tray_tonight(climb: Ladder, kind: HardinessClass, low: Low | None) -> tuple[Stand, float]:
    """(where the tray is tonight, the guard it has there, F).

    It is out only where the last step that was done is out at night; a step that is still to be done today has its
    own advice.
    """
    steps = ladder(kind)
    number = 0 if climb.today == "held" else climb.step
    step = steps[number - 1] if number else None
    if step is None or not step.night_out:
        return "", float(guard_f(kind, step))
    guard = float(guard_f(kind, None if number == len(steps) else step))
    return ("out" if low is None or low.least >= guard else "bring in"), guard


# beds


def bears_f(sheet: Sheet) -> float | None:
    """The lowest a crop bears once hardened, F; None for what stands the winter out."""
    kind = sheet.hardiness_class
    if flowers_again(sheet) and kind == "hardy":
        return None
    low = sheet.hardiness_low_f.value if sheet.hardiness_low_f else LOW_BY_CLASS[kind]
    return min(low, LOW_BY_CLASS[kind]) if kind == "hardy" else low


def bed_guard_f(sheet: Sheet) -> float | None:
    """The thermometer reading below which a hardened planting may be hurt, F; None for what stands the winter out."""
    bears = bears_f(sheet)
    return None if bears is None else bears + GROUND_COLDER_F


def is_seed(planting: Planting, sheet: Sheet, night: date) -> bool:
    """Whether it was drilled, and by its sheet cannot be up in the night that follows that day: nothing of it is above
    the ground to be hurt."""
    if not planting.drilled or sheet.germination_days is None:
        return False
    up = date.fromisoformat(planting.out_on) + timedelta(days=sheet.germination_days.value[0])
    return night < up


def planting_tonight(
    farm: Farm, planting: Planting, bed: Bed | None, low: Low | None, night: date
) -> tuple[Literal["", "cover", "cover again"], float | None]:
    """(what the night that follows the day `night` asks for the planting, the thermometer reading at which it does, F).

    "cover": it may be hurt; "cover again": it may be hurt under the cover that lies on it.
    """
    sheet = planting_sheet(farm, planting)
    guard = bed_guard_f(sheet) if sheet else None
    if sheet is None or guard is None or low is None or is_seed(planting, sheet, night):
        return "", guard
    is_covered = bed is not None and bed.covered_on is not None
    if is_covered:
        guard -= COVER_GAIN_F
    if low.least >= guard:
        return "", guard
    return ("cover again" if is_covered else "cover"), guard


def may_kill(sheet: Sheet, low: Low | None) -> bool:
    """Whether the night may end the crop, and not only chill it: a leaf may freeze below what it bears."""
    guard = bed_guard_f(sheet)
    if guard is None or low is None:
        return False
    return low.least < guard and low.least <= FREEZING_F + GROUND_COLDER_F


class NotYet(NamedTuple):
    """Why nothing of a crop goes out into the open ground today, though it is due: the low of a night, and what it
    bears; `night` is the day on which that night begins, None for tonight."""

    low: Low
    guard_f: float
    night: date | None = None

    @property
    def when(self) -> str:
        """ "tonight 31 F", "Sat night 31 F"."""
        return f"{night_name(self.night) if self.night else 'tonight'} {told_reading(self.low.f)}"

    @property
    def says(self) -> str:
        """ "forecast 31 F", "forecast for Sat night 31 F"."""
        return f"forecast for {self.when}" if self.night else self.low.says


JUST_PLANTED_F = 33
"""What is just planted, and not hardy, is not left to freeze in its first nights (common practice)."""


def kept_from_ground(farm: Farm, sheet: Sheet | None, kind: HardinessClass, day: date) -> NotYet | None:
    """What keeps a hardened tray of the crop from being planted out today.

    Planted out it must neither be brought in again nor covered in its first night, so both guards are asked. Of the
    nights after it, as far as they are known, none may hurt it in its bed.
    """
    in_bed = (bed_guard_f(sheet) if sheet else None) or float("-inf")
    if kind != "hardy":
        in_bed = max(in_bed, JUST_PLANTED_F)
    for night, low in nights_to_come(farm, day):
        is_first = night == day
        guard = max(float(guard_f(kind)), in_bed) if is_first else in_bed
        if low.least < guard:
            return NotYet(low, guard, None if is_first else night)
    return None


# what frost has ended

UNREAD_DAYS = 14
"""So long after the usual first frost without a low it is asked whether there was one (ours)."""
UNREAD_MOST_DAYS = 70
"""So long after it nothing tender stands any more, and it is asked no longer (ours)."""


def frost_unread(farm: Farm, out: date, day: date) -> date | None:
    """The usual first frost of the season in which something went out on `out`, where it went by two weeks ago or
    longer and no low was written since: nobody can tell whether it came. None otherwise, and where no date is known."""
    first = frosts(farm, season_year(farm, out)).autumn.get(AVERAGE)
    if first is None or (day - first).days < UNREAD_DAYS:
        return None
    is_read = any(seen.low is not None for on, seen in farm.weather.items() if first.isoformat() < on)
    return None if is_read else first


def asked_of_frost(farm: Farm, day: date) -> date | None:
    """The usual first frost of which no low tells, while something stands that it would end; None where none does."""
    unread: dict[str, date | None] = {}
    for planting in farm.plantings.live():
        if planting.out_on not in unread:
            unread[planting.out_on] = frost_unread(farm, date.fromisoformat(planting.out_on), day)
        first = unread[planting.out_on]
        if first is None or (day - first).days > UNREAD_MOST_DAYS:
            continue
        sheet = planting_sheet(farm, planting)
        if sheet is not None and sheet.hardiness_class == "tender" and not flowers_again(sheet):
            return first
    return None


BLACK_DAYS = 7
"""Days after which a young planting that was not cleared is taken to have come through (common practice: wait, look
again)."""
YOUNG_DAYS = 60
"""Days from setting out within which a frost of spring is one that a planting may come through (ours)."""


def killed_on(planting: Planting, sheet: Sheet, day: date, *, south: bool) -> tuple[date, float] | None:
    """(first morning on which her thermometer read less than the hardened planting bears, the low, F), or None.

    Only what was read counts, never an average date. What was worked on or cut after it has come through, and so has
    a young planting that was not cleared, after a frost of spring; in fall only a hardy one that is to stand winter.
    """
    bears = bears_f(sheet)
    if bears is None:
        return None
    last = max(filter(None, (planting.last_cut, *planting.jobs.values())), default="")
    for on, low in planting.cold:
        morning = date.fromisoformat(on)
        if low >= bears or low > FREEZING_F or morning > day or last > on:
            continue  # a crop that is only chilled goes on
        if is_seed(planting, sheet, morning - timedelta(days=1)):
            continue
        young = (morning - date.fromisoformat(planting.out_on)).days <= YOUNG_DAYS
        winters = sheet.hardiness_class == "hardy" and planting.first_cut is None
        young = young and (winters or not is_late(morning, south=south))
        if not young or (day - morning).days < BLACK_DAYS:
            return morning, low
    return None
