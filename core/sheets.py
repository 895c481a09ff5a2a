"""The crop sheets of a farm: the library's figures, with the farm's own in their place where it has some."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from core.crops.library import sheet
from core.crops.sheet import Sheet
from core.farm import Farm
from core.growing.calendar import Frost
from core.problems import Problem
from core.settings import AVERAGE, sheet_name
from core.units import month_day


def farm_sheet(farm: Farm, crop: str, way: str | None = None) -> Sheet | None:
    """The sheet of a crop on this farm; None where the library does not have the crop (a book from elsewhere)."""
    own = {**farm.sheets.get(crop, {}), **farm.sheets.get(sheet_name(crop, way), {})}
    return _sheet(crop, way, tuple((figure, value, source) for figure, (value, source) in own.items()))


@lru_cache(maxsize=256)
def _sheet(crop: str, way: str | None, own: tuple[tuple[str, str, str], ...]) -> Sheet | None:
    found = sheet(crop, way, own={figure: (value, source) for figure, value, source in own})
    return None if isinstance(found, Problem) else found


def frosts(farm: Farm, year: int) -> Frost:
    """The frost dates typed for the farm, in `year`."""
    spring: dict[tuple[int, int], date] = {}
    autumn: dict[tuple[int, int], date] = {}
    for season, threshold, risk, text in farm.frost:
        day = month_day(text, year)
        if day is not None:
            (spring if season == "spring" else autumn)[(round(threshold), round(risk))] = day
    return Frost(spring, autumn)


def season_year(farm: Farm, day: date) -> int:
    """The year whose season a sowing or setting-out on `day` belongs to: that of the nearest last spring frost."""
    for season, threshold, risk, text in farm.frost:
        if season == "spring" and (threshold, risk) == AVERAGE:
            years = (day.year - 1, day.year, day.year + 1)
            # a season reaches from some 30 weeks before its last frost to some 22 after
            return min(years, key=lambda y: abs((day - (month_day(text, y) or day)).days + 28))
    return day.year
