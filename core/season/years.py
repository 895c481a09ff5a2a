"""What stands for years asks once in a while: to be divided or cut back, and in the end to be replaced."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from core.asks import Asked, Part, Sight, late_text
from core.crops.course import stays
from core.crops.frost_dates import Frost
from core.crops.sheet import Sheet
from core.farm import Farm, Planting
from core.season.kinds import PutOff
from core.settings.sheets import farm_sheet, frosts, season_year
from core.text import named
from core.tubers.stock import left_to_lift

SPRING_BLOOM_WEEKS = 5
"""What begins to flower so soon after the last frost is divided in fall, all else in spring (Colorado State University
Cooperative Extension, The timing of dividing perennials); the week is ours."""
BEFORE_FROST_WEEKS = 6, 2
"""Weeks before the last frost, or before the first one of fall, within which it is divided: as growth begins, or with
time to root before the ground freezes (common practice)."""

EACH = 2
"""Pieces of a plant in the line that is shown; how many a clump gives, she sees when it is out of the ground."""
SOON_DAYS = 14
"""So many days before its season is over it stands with what is lost by waiting (ours)."""


class YearTask(NamedTuple):
    """One job of what stands for years, in its season."""

    do: str
    crop: str
    called: str
    bed: str
    planting: str
    because: str
    days: int
    """Days that its season still has."""


def _tasks(sight: Sight) -> tuple[YearTask, ...]:
    farm, day = sight.farm, sight.day
    frost = frosts(farm, season_year(farm, day))
    found = (_task(farm, planting, frost, day) for planting in farm.plantings.live())
    return tuple(sorted((task for task in found if task is not None), key=lambda task: (task.do, task.bed)))


def _task(farm: Farm, planting: Planting, frost: Frost, day: date) -> YearTask | None:
    sheet = farm_sheet(farm, planting.crop, planting.way, planting.variety)
    if sheet is None or not stays(sheet):
        return None
    years = season_year(farm, day) - season_year(farm, date.fromisoformat(planting.out_on))
    bears, divided = sheet.bears_years, sheet.divide_years
    put_off = farm.part(PutOff).on.get(planting.code)
    if (
        bears is not None
        and years >= bears.value[0]
        and (left := _left(frost.last_frost, day, put_off)) is not None
    ):
        return _of(
            planting, "replace", left, f"planted {years} years ago, bears for {bears.text} [{bears.source}]"
        )
    if divided is None or years < divided.value[0]:
        return None
    ends = frost.autumn.get((32, 50)) if _blooms_in_spring(sheet, frost) else frost.last_frost
    left = _left(ends, day, put_off)
    if left is None:
        return None
    do = "cut back" if "cut back" in divided.source else "divide"
    why = f"planted {years} years ago, every {divided.text} years [{divided.source}]; replanted, it is a new planting"
    says = f"not yet {planting.code}"
    if do == "divide":
        says = f"{how_to_divide(planting, left_to_lift(farm, planting))}, or {says}"
    why = f"{says}; {why}"
    return _of(planting, do, left, why)


def _of(planting: Planting, do: str, days: int, because: str) -> YearTask:
    called = named(planting.crop, planting.variety)
    return YearTask(do, planting.crop, called, planting.bed, planting.code, because, days)


def _blooms_in_spring(sheet: Sheet, frost: Frost) -> bool:
    if sheet.bloom is not None and frost.last_frost is not None:
        day = sheet.bloom.value.of_season(frost.last_frost)
        return day < frost.last_frost + timedelta(weeks=SPRING_BLOOM_WEEKS)
    return sheet.flowers_weeks is not None and sheet.flowers_weeks.value[0] < SPRING_BLOOM_WEEKS


def _left(frost: date | None, day: date, put_off: str | None) -> int | None:
    """Days that the season for it still has; None where it is not its season, or it was put off within this one."""
    if frost is None:
        return None
    first, last = (frost - timedelta(weeks=weeks) for weeks in BEFORE_FROST_WEEKS)
    is_on = first <= day <= last and (put_off is None or put_off < first.isoformat())
    return (last - day).days if is_on else None


def _asked(tasks: Sequence[YearTask]) -> Iterator[Asked]:
    for task in tasks:
        yield Asked(
            ("planting", task.planting),
            task,
            task.bed,
            task.do,
            task.called,
            when=f"{late_text(task.days)}; {task.because}",
            days=task.days,
            zone="spoils" if task.days <= SOON_DAYS else "also",
        )


YEARS = Part("years", "What stands for years", 12, _tasks, _asked)


def how_to_divide(planting: Planting, plants: int | None) -> str:
    """The line that divides it, with a number to be put right: "divide P10 into 12"."""
    if plants is None:
        return f"divide 10 {planting.code} into {10 * EACH}"
    return f"divide {planting.code} into {plants * EACH}"
