"""The crop sheets of a farm: the library's figures, with the farm's own in their place where it has some."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import lru_cache
from typing import NamedTuple

from core.crops.course import summer_year
from core.crops.frost_dates import Bounds, Frost
from core.crops.library import is_in_library, one_crop, sheet
from core.crops.over_winter import is_sown_in_fall, over_winter
from core.crops.own_crop import make_it_yours, own_sheet
from core.crops.sheet import HARDINESS_CLASSES, Sheet
from core.crops.stages import StageCard, stage_card
from core.dialect import Units, farm_units
from core.farm import Farm, Planting
from core.happened import FrostDate, OwnFigure
from core.places import USES
from core.problems import Problem
from core.settings.kinds import sheet_name
from core.units import month_day
from core.weather.kinds import AVERAGE

LIKE_MOST = 5
"""How many crops of the farm's own may follow one another, each like the next."""


def farm_sheet(farm: Farm, crop: str, way: str | None = None, variety: str | None = None) -> Sheet | None:
    """The sheet of a crop on this farm; None where neither it nor the library has the crop (a book from elsewhere).

    What is known of the variety goes before what is known of the way of growing it, and that before the crop.
    """
    own = {**farm.sheets.get(crop, {}), **(farm.sheets.get(sheet_name(crop, way), {}) if way else {})}
    if variety and crop in farm.variety_sheets:
        own |= farm.variety_sheets[crop].get(variety.lower(), {})
    if (mine := farm.crops.get(crop)) is not None:
        return _own(farm, crop, mine.like, own, LIKE_MOST)
    return _sheet(crop, way, _as_items(own), farm_units())


def planting_sheet(farm: Farm, planting: Planting) -> Sheet | None:
    """The sheet by which a planting goes: of a hardy annual sown in the bed in fall, how it goes after the winter."""
    sheet = farm_sheet(farm, planting.crop, planting.way, planting.variety)
    if sheet is None or not planting.drilled or sheet.fall_sow_weeks is None:
        return sheet
    sown = date.fromisoformat(planting.out_on)
    fall = frosts(farm, season_year(farm, sown)).autumn.get(AVERAGE)
    return over_winter(sheet) if is_sown_in_fall(sheet, sown, fall) else sheet


def _own(farm: Farm, crop: str, like: str, own: Mapping[str, OwnFigure], left: int) -> Sheet | None:
    """The sheet of a crop of the farm's own; likenesses that run in a circle end after so many."""
    other = farm.crops.get(like)
    if like == crop or (not like and is_in_library(crop)):  # the library has come to know it
        found = _sheet(crop, None, (), farm_units())
    elif other is not None:
        found = _own(farm, like, other.like, farm.sheets.get(like, {}), left - 1) if left else None
    else:
        found = farm_sheet(farm, like) if like else None
    return _own_sheet(crop, found, _as_items(own))


def _as_items(own: Mapping[str, OwnFigure]) -> tuple[tuple[str, str, str], ...]:
    return tuple((figure, value, source) for figure, (value, source) in own.items())


@lru_cache(maxsize=256)
def _own_sheet(crop: str, like: Sheet | None, own: tuple[tuple[str, str, str], ...]) -> Sheet | None:
    found = own_sheet(crop, like, {figure: (value, source) for figure, value, source in own})
    return None if isinstance(found, Problem) else found


@lru_cache(maxsize=256)
def _sheet(crop: str, way: str | None, own: tuple[tuple[str, str, str], ...], _units: Units) -> Sheet | None:
    found = sheet(crop, way, own={figure: (value, source) for figure, value, source in own})
    return None if isinstance(found, Problem) else found


def frosts(farm: Farm, year: int) -> Frost:
    """The frost dates of the farm, for the growing season that is at its height in the summer of `year`.

    In the south that summer begins in `year`. A last frost before New Year, or a first one after it, falls in
    the year beside.
    """
    return _frosts(tuple(farm.frost), in_south(farm), year)


def of_varieties(farm: Farm, crop: str) -> dict[str, dict[str, OwnFigure]]:
    """variety -> figure -> what the farm has for it; the variety as it was written first."""
    written = {variety.lower(): variety for variety in reversed(farm.varieties.get(crop, []))}
    found = farm.variety_sheets.get(crop, {})
    return {written.get(variety, variety): figures for variety, figures in found.items() if figures}


@lru_cache(maxsize=64)
def _frosts(rows: tuple[FrostDate, ...], south: bool, year: int) -> Frost:
    midsummer = date(year + 1, 2, 1) if south else date(year, 8, 1)
    spring: dict[tuple[int, int], date] = {}
    autumn: dict[tuple[int, int], date] = {}
    said: dict[tuple[str, int, int], str] = {}
    for season, threshold, risk, text, source, *_ in rows:
        key = round(threshold), round(risk)
        if season == "spring":
            days = (month_day(text, y) for y in (midsummer.year, midsummer.year - 1))
            day = next((d for d in days if d is not None and d < midsummer), None)
        else:
            days = (month_day(text, y) for y in (midsummer.year, midsummer.year + 1))
            day = next((d for d in days if d is not None and d >= midsummer), None)
        if day is None:
            continue
        (spring if season == "spring" else autumn)[key] = day
        if source:
            said[season, *key] = source
    return Frost(spring, autumn, said)


def latitude_of(farm: Farm) -> float | None:
    """Degrees north of the farm as she told it, else of its weather station; None where neither is known."""
    if farm.settings.latitude is not None or farm.station is None:
        return farm.settings.latitude
    return farm.station.latitude


def in_south(farm: Farm) -> bool:
    """Whether the farm lies south of the equator: by its latitude, its station's, else by its frost dates."""
    latitude = latitude_of(farm)
    if latitude is not None:
        return bool(latitude < 0)
    average = {row.season: row.month_day for row in farm.frost if row.key[1:] == AVERAGE}
    spring, autumn = average.get("spring", ""), average.get("autumn", "05-01")
    return bool("07-31" < spring < "12-01" and "02-01" <= autumn < "08-01")


class FarmYear(NamedTuple):
    """A year of the farm, in which its summer lies whole: that of the calendar; in the south from July to June.

    `first` and `last` are its days, `name` is how it is told: "2026", in the south "2026-27".
    """

    first: str
    last: str
    name: str

    def has(self, on: str) -> bool:
        """Whether a day ("YYYY-MM-DD") lies in it."""
        return self.first <= on <= self.last

    @property
    def begins(self) -> tuple[str, ...]:
        """What its days begin with: of the calendar years that it touches."""
        return tuple(dict.fromkeys((self.first[:5], self.last[:5])))


def farm_year(farm: Farm, year: int) -> FarmYear:
    """The farm's year that is called so, by the calendar year in which its summer begins."""
    if in_south(farm):
        return FarmYear(f"{year:04d}-07-01", f"{year + 1:04d}-06-30", f"{year}-{(year + 1) % 100:02d}")
    return FarmYear(f"{year:04d}-01-01", f"{year:04d}-12-31", str(year))


def year_of(farm: Farm, day: date) -> int:
    """What the farm's year is called in which a day lies."""
    return summer_year(day, south=in_south(farm))


def bounds(farm: Farm) -> Bounds:
    """The farm's own choice of the cold each hardiness class waits for, where it has made one."""
    return {
        kind: ((round(farm.risks[kind].threshold_f), round(farm.risks[kind].risk_pct)),)
        for kind in HARDINESS_CLASSES
        if kind in farm.risks
    }


def season_year(farm: Farm, day: date) -> int:
    """The year whose season a sowing or setting-out on `day` belongs to: that of the nearest last spring frost."""
    years = (day.year - 1, day.year, day.year + 1)
    last = {year: frosts(farm, year).last_frost for year in years}
    # a season reaches from some 30 weeks before its last frost to some 22 after
    gaps = {year: abs((day - frost).days + 28) for year, frost in last.items() if frost is not None}
    return min(gaps, key=lambda year: gaps[year]) if gaps else day.year


def sheet_bunch(farm: Farm, crop: str, form: str) -> int | None:
    """Stems to a "dried" or "fresh" bunch by the farm's sheet of the crop; None where unknown."""
    sheet = farm_sheet(farm, crop)
    if sheet is None:
        return None
    figure = sheet.stems_per_dried_bunch if form == "dried" else sheet.stems_per_fresh_bunch
    return int(figure.value[0]) if figure else None


def caution(farm: Farm, crop: str) -> str | None:
    """The usual caution for handling a crop, one or two short sentences; None where none is known."""
    found = farm_sheet(farm, crop)
    return found.caution.text if found is not None and found.caution is not None else None


def sheet_called(farm: Farm, name: str, way: str | None = None) -> Sheet | Problem:
    """The sheet of the crop whose name begins so, with the farm's own figures in it."""
    crop = one_crop(name, farm.own_crops)
    if isinstance(crop, Problem):
        return (
            crop._replace(sentence=f"{crop.sentence} {make_it_yours(name)}")
            if crop.code == "unknown"
            else crop
        )
    if way and crop in farm.crops:
        return Problem(f"{crop} is grown one way: leave the way out.", "unknown")
    own = farm_sheet(farm, crop, way)
    return sheet(crop, way) if own is None else own


def card_for(farm: Farm, crop: str, use: str) -> StageCard | None:
    """What to look for when that crop is cut for that use, grown the way it stands in the beds; None if unknown."""
    ways = {p.way for p in farm.plantings.live() if p.crop == crop}
    found = farm_sheet(farm, crop, ways.pop() if len(ways) == 1 else None)
    return next((stage_card(found, known) for known in USES if found and known == use), None)
