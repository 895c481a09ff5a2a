"""Frost odds: the dates of the last and first freeze, and the days between, at 10 to 90 in a hundred.

p % in spring is the chance of that cold on or after the date, in autumn on or before it, and of a season that
long or longer (wording of the NOAA normals). Method and check values: NOAA 1981-2010 normals, CLIM20-01.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil, floor, inf, isinf
from statistics import fmean
from typing import Any, Literal

from core.climate.freeze_seasons import YEAR_DAYS, Events, Half, events
from core.climate.quantiles import normal, weibull
from core.climate.record import MISSING, Record
from core.problems import Problem
from core.units import month_day, plural

RARE: Literal["rare"] = "rare"
ANY_MONTH: Literal["any month"] = "any month"

THRESHOLDS_F = (36.0, 32.0, 28.0, 24.0)
PERCENTS = (10, 20, 30, 40, 50, 60, 70, 80, 90)
FEWEST_SEASONS = 10
"""With fewer springs or autumns there are no odds (NOAA gives none below ten years but provisional ones)."""

CLEAR_MONTH_DAYS = 31
"""With fewer frost-free days around midsummer no month is clear: the answer is "any month" and not a date."""

Method = Literal["weibull", "normal"]
METHODS: tuple[Method, ...] = ("weibull", "normal")
_QUANTILE: dict[Method, Callable[[Sequence[float], float], float]] = {"weibull": weibull, "normal": normal}

When = str
""" "MM-DD" of any year, `RARE` or `ANY_MONTH`."""


@dataclass(frozen=True, slots=True)
class ThresholdOdds:
    """The odds of one cold, by percent; a length is in days, or one of the two words.

    `springs`, `autumns` and `lengths` count the years behind them.
    """

    threshold_f: float
    last_spring: Mapping[int, When]
    first_autumn: Mapping[int, When]
    frost_free_days: Mapping[int, int | When]
    share_of_seasons: float
    springs: int
    autumns: int
    lengths: int


@dataclass(frozen=True, slots=True)
class FrostOdds:
    """The odds of a station, warmest threshold first, and how they were reckoned."""

    station: str
    name: str
    south: bool
    method: Method
    first_year: int
    last_year: int
    seasons: int
    thresholds: tuple[ThresholdOdds, ...]
    because: tuple[str, ...]


def frost_odds(
    record: Record,
    *,
    thresholds: Sequence[float] = THRESHOLDS_F,
    years: tuple[int, int] | None = None,
    method: Method = "weibull",
) -> FrostOdds | Problem:
    """The odds from a record, for springs and autumns of the calendar years `years` (first and last).

    A threshold for which fewer than ten springs or autumns can be used is left out, and `because` says so; a
    Problem where that leaves none.
    """
    if problem := _unusable(record, thresholds, years):
        return problem
    half, why_half = half_of(record)
    warm_first = sorted(set(thresholds), reverse=True)
    found = {t: events(record, t, half, years) for t in warm_first}
    enough = [t for t, one in found.items() if min(len(one.springs), len(one.autumns)) >= FEWEST_SEASONS]
    if not enough:
        return _too_few(warm_first[0], found[warm_first[0]], record)
    left_out = tuple(
        f"{t:g} F is left out: {len(one.springs)} springs and {len(one.autumns)} autumns are whole enough, "
        f"{FEWEST_SEASONS} are needed."
        for t, one in found.items()
        if t not in enough
    )
    rows = []
    warmer: _Values | None = None
    for threshold in enough:
        values = _values(found[threshold], method).no_worse_than(warmer)
        rows.append(_row(threshold, values, found[threshold], half))
        warmer = values
    seen = sorted({y for t in enough for y in (*found[t].springs, *found[t].autumns)})
    return FrostOdds(
        record.station,
        record.name,
        half.south,
        method,
        seen[0],
        seen[-1],
        max(max(row.springs, row.autumns) for row in rows),
        tuple(rows),
        (_WHY_METHOD[method], why_half, _WHY_GAPS, *left_out, *record.remarks),
    )


_WHY_METHOD: dict[Method, str] = {
    "weibull": (
        "Dates stand at Weibull plotting positions, rank / (n + 1); seasons without that cold are ranked too "
        "('rare' where the rank falls among them)."
    ),
    "normal": (
        "Dates are mean and standard deviation on a normal curve, times the share of seasons that freeze "
        "(NOAA CLIM20-01, 1971-2000)."
    ),
}
_WHY_GAPS = (
    "A season with 10 or more days missing before its freeze is found is left out "
    "(Utah State University); 'any month': fewer than 31 clear days around midsummer."
)


def half_of(record: Record) -> tuple[Half, str]:
    """The half of the earth a record is from, and how that is known: its latitude, else its warm months."""
    if record.latitude is not None:
        south = record.latitude < 0
        where = f"latitude {record.latitude:g}"
    else:
        south = _mean_low(record, (12, 1, 2)) > _mean_low(record, (6, 7, 8))
        where = f"no latitude is given, but {'January' if south else 'July'} is the warmer end of the year"
    span = "February to January" if south else "August to July"
    return Half(south), f"Seasons run from {span} ({where})."


def _mean_low(record: Record, months: tuple[int, ...]) -> float:
    lows = [
        value
        for day, value in enumerate(record.lows, record.start)
        if value != MISSING and date.fromordinal(day).month in months
    ]
    return fmean(lows) if lows else -inf


def _unusable(record: Record, thresholds: Sequence[float], years: tuple[int, int] | None) -> Problem | None:
    if not thresholds or not all(-60 <= t <= 70 for t in thresholds):
        return Problem("A threshold lies between -60 and 70 F: give one such as 32.", "impossible")
    if years is None:
        return None
    if years[0] > years[1]:
        return Problem("The first year comes before the last: write 1991-2020.", "impossible")
    first, last = record.first_day.year, record.last_day.year
    if years[1] < first or years[0] > last:
        return Problem(f"The record runs from {first} to {last}: choose years inside of it.", "impossible")
    return None


def _too_few(threshold: float, one: Events, record: Record) -> Problem:
    return Problem(
        f"Not yet: at {threshold:g} F only {plural(len(one.springs), 'spring')} and "
        f"{plural(len(one.autumns), 'autumn')} between {record.first_day} and {record.last_day} "
        f"are whole enough, and odds need {FEWEST_SEASONS} of each; choose more years or a longer record.",
        "impossible",
    )


@dataclass(frozen=True, slots=True)
class _Values:
    """Days of the season, and lengths, by percent; infinite where there is none."""

    spring: dict[int, float]
    autumn: dict[int, float]
    length: dict[int, float]

    def no_worse_than(self, warmer: _Values | None) -> _Values:
        """What is at most 28 F is at most 32 F: a colder threshold is never later in spring or earlier in
        autumn. Seasons left out for one and not for the other could else turn that round by a day or two.
        """
        if warmer is None:
            return self
        return _Values(
            {p: min(v, warmer.spring[p]) for p, v in self.spring.items()},
            {p: max(v, warmer.autumn[p]) for p, v in self.autumn.items()},
            {p: max(v, warmer.length[p]) for p, v in self.length.items()},
        )


def _values(found: Events, method: Method) -> _Values:
    quantile = _QUANTILE[method]

    def at(values: Mapping[int, float], share: float) -> float:
        return quantile(list(values.values()), share) if values else inf

    return _Values(
        {p: at(found.springs, 1 - p / 100) for p in PERCENTS},
        {p: at(found.autumns, p / 100) for p in PERCENTS},
        {p: at(found.lengths, 1 - p / 100) for p in PERCENTS},
    )


def _row(threshold: float, values: _Values, found: Events, half: Half) -> ThresholdOdds:
    spring: dict[int, When] = {}
    autumn: dict[int, When] = {}
    length: dict[int, int | When] = {}
    for p in PERCENTS:
        last, first, days = values.spring[p], values.autumn[p], values.length[p]
        crowded = YEAR_DAYS - last - 1 + first < CLEAR_MONTH_DAYS
        # Half a day goes to the cautious side: later in spring, earlier in autumn, a shorter season.
        spring[p] = ANY_MONTH if crowded else _date(half, last, floor(last + 0.5) if not isinf(last) else 0)
        autumn[p] = ANY_MONTH if crowded else _date(half, first, ceil(first - 0.5) if not isinf(first) else 0)
        if isinf(days):
            length[p] = RARE
        else:
            length[p] = ANY_MONTH if days - 1 < CLEAR_MONTH_DAYS else ceil(days - 0.5)
    return ThresholdOdds(
        threshold,
        spring,
        autumn,
        length,
        found.share,
        len(found.springs),
        len(found.autumns),
        len(found.lengths),
    )


def _date(half: Half, value: float, rounded: int) -> When:
    return RARE if isinf(value) else half.month_day(min(max(rounded, 0), YEAR_DAYS - 1))


def frost_json(odds: FrostOdds) -> dict[str, Any]:
    """{"station", "seasons", "thresholds": {"32": {"last_spring": {"10": "MM-DD", ...}, "first_autumn",
    "frost_free_days": {"10": days, ...}, "share_of_seasons"}}}, with "rare" or "any month" where so."""

    def by_percent(values: Mapping[int, Any]) -> dict[str, Any]:
        return {str(p): value for p, value in values.items()}

    return {
        "station": odds.station,
        "seasons": odds.seasons,
        "thresholds": {
            f"{row.threshold_f:g}": {
                "last_spring": by_percent(row.last_spring),
                "first_autumn": by_percent(row.first_autumn),
                "frost_free_days": by_percent(row.frost_free_days),
                "share_of_seasons": round(row.share_of_seasons, 3),
            }
            for row in odds.thresholds
        },
    }


def in_year(odds: FrostOdds, year: int) -> tuple[dict[tuple[int, int], date], dict[tuple[int, int], date]]:
    """Spring and autumn dates by (threshold in F, percent), of the growing season that is at its height in
    the summer of `year` (in the south: the summer that begins in `year`).

    Left out is what has no date. A first freeze after New Year, or a last one before it, falls in the year
    beside. Thresholds that are no whole degrees are left out.
    """
    half = Half(odds.south)
    spring: dict[tuple[int, int], date] = {}
    autumn: dict[tuple[int, int], date] = {}
    midsummer = half.start(year + 1 if odds.south else year)
    for row in odds.thresholds:
        if row.threshold_f != int(row.threshold_f):
            continue
        for p in PERCENTS:
            key = int(row.threshold_f), p
            if (last := _before(midsummer, row.last_spring[p])) is not None:
                spring[key] = last
            if (first := _on_or_after(midsummer, row.first_autumn[p])) is not None:
                autumn[key] = first
    return spring, autumn


def _before(midsummer: date, when: When) -> date | None:
    years = (midsummer.year, midsummer.year - 1)
    return next((d for y in years if (d := month_day(when, y)) is not None and d < midsummer), None)


def _on_or_after(midsummer: date, when: When) -> date | None:
    years = (midsummer.year, midsummer.year + 1)
    return next((d for y in years if (d := month_day(when, y)) is not None and d >= midsummer), None)
