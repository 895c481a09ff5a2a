"""What stands over into the next season: what bears in it, for the first time or again, what is not yet cut, what is
to be divided, and what ends."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Literal, NamedTuple, TypeAlias, get_args

from core.crops.course import first_season, flowers_next_year, is_biennial, stays, summer_year
from core.crops.sheet import Sheet
from core.farm import Farm, Planting
from core.settings.sheets import in_south, planting_sheet, season_year
from core.text import named, natural

Does: TypeAlias = Literal[
    "first cut", "bears", "flowers and ends", "not yet cut", "to be divided", "to be replaced"
]
DOES: tuple[Does, ...] = get_args(Does)
"""In the order in which they are told."""


class Ahead(NamedTuple):
    """One planting that stands over, and what it does in the season asked about."""

    does: Does
    planting: str
    called: str
    bed: str
    because: str


def standing_over(farm: Farm, year: int) -> list[Ahead]:
    """What stands now and does something in the season of `year`; what bears and is to be divided is there twice."""
    found = [ahead for planting in farm.plantings.live() for ahead in _of(farm, planting, year)]
    return sorted(found, key=lambda one: (DOES.index(one.does), one.called, natural(one.bed), one.planting))


def _of(farm: Farm, planting: Planting, year: int) -> Iterator[Ahead]:
    sheet = planting_sheet(farm, planting)
    if sheet is None:
        return
    called = named(planting.crop, planting.variety)
    for does, because in _does(farm, planting, sheet, year):
        yield Ahead(does, planting.code, called, planting.bed, because)


def _does(farm: Farm, planting: Planting, sheet: Sheet, year: int) -> Iterator[tuple[Does, str]]:
    out, south = date.fromisoformat(planting.out_on), in_south(farm)
    planted = summer_year(out, south=south)
    if planted >= year:
        return
    if is_biennial(sheet):
        if planted == year - 1 and flowers_next_year(sheet, out, south=south):
            yield "flowers and ends", f"set out in {out.year}, it flowers in its second year"
        return
    if not stays(sheet):
        return
    first = (
        max(first_season(sheet, out, south=south), planted + 1) if planting.first_cut is None else year - 1
    )
    years = year - season_year(farm, out)
    bears, divided, begins = sheet.bears_years, sheet.divide_years, sheet.first_cut_year
    if year < first:
        told = f": cut from year {begins.text} [{begins.source}]" if begins is not None else ""
        yield "not yet cut", f"planted in {out.year}{told}"
        return
    if bears is not None and years >= bears.value[0]:
        yield "to be replaced", f"planted {years} years before, bears for {bears.text} [{bears.source}]"
    else:
        yield ("first cut" if year == first else "bears"), f"planted in {out.year}"
    if divided is not None and years >= divided.value[0]:
        yield "to be divided", f"planted {years} years before, every {divided.text} years [{divided.source}]"
