"""What is plotted: values against weeks or ages, with the numbers themselves."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, timedelta

from core.crops.library import one_crop
from core.farm import Farm
from core.learning.season_page import PIECES, STEMS, Sort, WeekSums, season_page
from core.plotted.drying import drying
from core.plotted.frost import frost
from core.plotted.shapes import Asked, Plotted, Series
from core.problems import Problem
from core.settings.sheets import farm_year, year_of
from core.stems.rows import stock_rows
from core.units import day_text
from core.weather.records import WeatherRecords

YEAR = timedelta(weeks=52)
"""From a week to that of the year before, so that Mondays meet Mondays."""
CLASS_DAYS = 30
"""Ages of stock are told by so many days (ours)."""


def plotted(
    farm: Farm,
    what: str,
    day: date,
    year: int | None,
    crop: str | None,
    records: WeatherRecords | None = None,
) -> Plotted | Problem:
    """The plot of that name; a Problem where there is nothing to see, or no such crop."""
    name = ""
    if crop is not None:
        found = one_crop(crop, farm.own_crops)
        if isinstance(found, Problem):
            return found
        name = found
    made = PLOTS[what](farm, Asked(day, year_of(farm, day) if year is None else year, name, records))
    if isinstance(made, Problem):
        return made
    if not any(value for series in made.series for value in series.values):
        of = f" of {name}" if name else ""
        return Problem(f"There is nothing{of} to plot as {what}: 'entries' tells what is written.", "unknown")
    return made


def _cuts(farm: Farm, asked: Asked) -> Plotted:
    return _weekly(farm, asked, "stems cut", "stems", lambda week: week.cut)


def _takings(farm: Farm, asked: Asked) -> Plotted:
    return _weekly(farm, asked, "taken", "money", lambda week: round(week.cents / 100, 2), (STEMS, PIECES))


def _price(farm: Farm, asked: Asked) -> Plotted:
    def price(week: WeekSums) -> float | None:
        return round(week.cents / 100 / week.sold, 2) if week.sold and week.cents else None

    return _weekly(farm, asked, "taken a stem", "money", price)._replace(shape="lines")


def _weekly(
    farm: Farm,
    asked: Asked,
    what: str,
    unit: str,
    value: Callable[[WeekSums], float | None],
    sorts: tuple[Sort, ...] = (STEMS,),
) -> Plotted:
    """Week by week in a year, beside the year before."""
    now, before = (_sums(farm, year, asked.crop, sorts) for year in (asked.year, asked.year - 1))
    moved = {(date.fromisoformat(monday) + YEAR).isoformat(): sums for monday, sums in before.items()}
    told = sorted({*now, *moved})
    mondays: list[str] = []
    while told and (not mondays or mondays[-1] < told[-1]):
        last = (
            date.fromisoformat(mondays[-1]) + timedelta(weeks=1) if mondays else date.fromisoformat(told[0])
        )
        mondays.append(last.isoformat())
    name, name_before = (farm_year(farm, year).name for year in (asked.year, asked.year - 1))
    series = [Series(name, tuple(value(now[m]) if m in now else None for m in mondays))]
    if moved:
        series.append(Series(name_before, tuple(value(moved[m]) if m in moved else None for m in mondays)))
    of = f", {asked.crop}" if asked.crop else ""
    return Plotted(f"{what}{of}, by week", unit, tuple(map(day_text, mondays)), tuple(series))


def _sums(farm: Farm, year: int, crop: str, sorts: tuple[Sort, ...]) -> dict[str, WeekSums]:
    """Monday -> the sums of all rows of these sorts, or of one crop."""
    found: dict[str, WeekSums] = {}
    for row in season_page(farm, year).rows:
        if row.sort in sorts and crop in ("", row.of):
            for week in row.weeks:
                so_far = found.get(week.week, WeekSums(week.week, 0, 0, 0, 0))
                found[week.week] = WeekSums(
                    week.week, *(a + b for a, b in zip(so_far[1:], week[1:], strict=True))
                )
    return found


def _stock(farm: Farm, asked: Asked) -> Plotted:
    """Stems on hand by their age since the cut."""
    rows = [row for row in stock_rows(farm, asked.day) if row.stems > 0 and asked.crop in ("", row.crop)]
    classes = max((row.age_days // CLASS_DAYS for row in rows), default=0) + 1
    stems = [0] * classes
    for row in rows:
        stems[row.age_days // CLASS_DAYS] += row.stems
    labels = tuple(f"{n * CLASS_DAYS} d" for n in range(classes))
    of = f", {asked.crop}" if asked.crop else ""
    return Plotted(
        f"stems on hand{of}, by days since the cut", "stems", labels, (Series("stems", tuple(stems)),)
    )


def _season(farm: Farm, asked: Asked) -> Plotted:
    """Of each crop what was cut week by week, the first that was cut at the top."""
    page = season_page(farm, asked.year)
    rows = [row for row in page.rows if row.sort == STEMS and row.cut and asked.crop in ("", row.of)]
    weeks = {row.of: {week.week: week.cut for week in row.weeks if week.cut} for row in rows}
    told = sorted({week for cut in weeks.values() for week in cut})
    mondays = [monday for monday in page.weeks if told and told[0] <= monday <= told[-1]]
    series = sorted(
        (Series(of, tuple(cut.get(monday) for monday in mondays)) for of, cut in weeks.items()),
        key=lambda one: next((n for n, value in enumerate(one.values) if value), 0),
    )
    return Plotted(
        f"the season of {asked.year}, cut by week",
        "stems",
        tuple(map(day_text, mondays)),
        tuple(series),
        "strip",
    )


PLOTS: Mapping[str, Callable[[Farm, Asked], Plotted | Problem]] = {
    "cuts": _cuts,
    "takings": _takings,
    "price": _price,
    "stock": _stock,
    "drying": drying,
    "season": _season,
    "frost": frost,
}
