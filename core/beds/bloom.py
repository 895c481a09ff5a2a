"""Whether the first cut that a planting has on record was of its bloom: wood is cut bare in winter, too."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from core.crops.course import stays
from core.crops.sheet import Sheet
from core.farm import Farm, Planting
from core.settings.sheets import frosts

OUT_OF_SEASON = timedelta(weeks=6)
"""A cut of a shrub so long before its bloom, or after its weeks of cutting, was not of that bloom (ours)."""


def first_cut_in_bloom(farm: Farm, planting: Planting, sheet: Sheet) -> str | None:
    """The first cut of a planting, as an ISO day; None where there was none, and where it was a shrub's branches cut
    bare, out of its season: that says nothing of when it blooms."""
    seen = planting.first_cut
    is_shrub = sheet.life_cycle is not None and "shrub" in sheet.life_cycle.value
    if seen is None or not (is_shrub and stays(sheet)):
        return seen
    on = date.fromisoformat(seen)
    seasons = list(_seasons(farm, sheet, on.year))
    is_of_one = any(start - OUT_OF_SEASON <= on <= end + OUT_OF_SEASON for start, end in seasons)
    return seen if is_of_one or not seasons else None


def _seasons(farm: Farm, sheet: Sheet, year: int) -> Iterator[tuple[date, date]]:
    """(first day, last day) of its cutting about that year, by the day she said, else by the weeks of its sheet."""
    cutting = timedelta(weeks=sheet.cut_weeks.value[1] if sheet.cut_weeks is not None else 4)
    for about in (year - 1, year, year + 1):
        last = frosts(farm, about).last_frost
        if sheet.bloom is not None:
            start = sheet.bloom.value.of(about)
            yield start, start + cutting
        elif sheet.flowers_weeks is not None and last is not None:
            least, most = (last + timedelta(weeks=weeks) for weeks in sheet.flowers_weeks.value)
            yield least, most + cutting
