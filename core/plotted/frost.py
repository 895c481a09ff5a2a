"""The odds of frost by week: in spring that it is still to come, in fall that it has come."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from core.dialect import told_frost
from core.farm import Farm
from core.plotted.shapes import Asked, Plotted, Series
from core.problems import Problem
from core.reckon.climate.frost import ANY_MONTH, RARE, ThresholdOdds, frost_odds
from core.reckon.climate.own_ground import on_own_ground
from core.units import short_day
from core.weather.rows import farm_weather
from core.weather.station_file import NONE_YET

THRESHOLDS_F = (36.0, 32.0, 28.0)
PERCENTS = (2, *range(5, 100, 5), 98)
STEP = timedelta(weeks=1)
BETWEEN = "summer"
"""The label between the weeks of spring and those of fall; nothing stands over it."""
_NEW_YEAR = date(2001, 1, 1)
"""Of a year without a leap day, in which the dates are laid out."""
_HALF_A_YEAR, _YEAR = 182, 365

Curve = Sequence[tuple[int, float]]
"""(day of the year, percent), by day."""


def frost(farm: Farm, asked: Asked) -> Plotted | Problem:
    """The chance of three colds, on her own ground where her readings say enough, else by the station."""
    if asked.records is None:
        return NONE_YET
    station = asked.records.station()
    if isinstance(station, Problem):
        return station
    page = farm_weather(farm, asked.day, station, asked.records.own())
    own = page.ground is not None and page.ground.enough
    record = on_own_ground(station, page.ground) if page.ground is not None and own else station
    odds = frost_odds(record, thresholds=THRESHOLDS_F, percents=PERCENTS)
    if isinstance(odds, Problem):
        return odds
    spring = [_curve(row.last_spring, south=odds.south, spring=True) for row in odds.thresholds]
    fall = [_curve(row.first_autumn, south=odds.south, spring=False) for row in odds.thresholds]
    weeks = [_weeks(curves) for curves in (spring, fall)]
    told = [[_label(day, south=odds.south) for day in part] for part in weeks]
    labels = [*told[0], *([BETWEEN] if all(told) else []), *told[1]]
    between = (None,) if all(told) else ()
    series = tuple(
        Series(_named(row), (*_at(spring[n], weeks[0]), *between, *_at(fall[n], weeks[1])))
        for n, row in enumerate(odds.thresholds)
    )
    where = "on your own ground" if own else f"by {odds.name or odds.station}"
    title = f"frost still to come in spring, come already in fall, {where}"
    return Plotted(title, "years in 100", tuple(labels), series, "lines")


def _named(row: ThresholdOdds) -> str:
    return told_frost(row.threshold_f)


def _curve(dates: Mapping[float, str | None], *, south: bool, spring: bool) -> Curve:
    """The dates of the odds as days of a year in which spring comes before fall."""
    found = []
    for percent, month_day in dates.items():
        if month_day in (None, RARE, ANY_MONTH):
            continue
        day = (date.fromisoformat(f"{_NEW_YEAR.year}-{month_day}") - _NEW_YEAR).days
        if south:
            day = (day + _HALF_A_YEAR) % _YEAR
        if spring and day > 7 * _YEAR // 12:
            day -= _YEAR
        elif not spring and day < 5 * _YEAR // 12:
            day += _YEAR
        found.append((day, float(percent)))
    return sorted(found)


def _weeks(curves: Sequence[Curve]) -> list[int]:
    """Days a week apart over all that the curves tell."""
    days = [day for curve in curves for day, _ in curve]
    return [*range(min(days), max(days) + 1, STEP.days)] if days else []


def _at(curve: Curve, days: Sequence[int]) -> Iterator[float | None]:
    """The percent on those days, read between the dates of the curve; None beyond its ends."""
    for day in days:
        after = next((n for n, (on, _) in enumerate(curve) if on >= day), None)
        if after is None or (after == 0 and curve[0][0] > day):
            yield None
            continue
        (to, end) = curve[after]
        (since, begin) = curve[max(after - 1, 0)]
        part = (day - since) / (to - since) if to > since else 1.0
        yield round(begin + part * (end - begin))


def _label(day: int, *, south: bool) -> str:
    return short_day(_NEW_YEAR + timedelta(days=(day - (_HALF_A_YEAR if south else 0)) % _YEAR))
