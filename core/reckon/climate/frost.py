"""Frost odds: the dates of the last and first freeze, and the days between, at 10 to 90 in a hundred.

p % in spring is the chance of that cold on or after the date, in autumn on or before it, and of a season that
long or longer (wording of the NOAA normals). Method and check values: NOAA 1981-2010 normals, CLIM20-01.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence, Sized
from dataclasses import dataclass
from datetime import date
from math import ceil, floor, inf, isinf
from statistics import fmean
from typing import Any, Literal

from core.dialect import told_degrees, told_frost
from core.marked import typed_degrees
from core.problems import Problem
from core.reckon.climate.freeze_seasons import YEAR_DAYS, Events, Half, events
from core.reckon.climate.quantiles import normal, weibull
from core.reckon.climate.record import MISSING, Record, tenths_c
from core.units import MONTHS, plural

RARE: Literal["rare"] = "rare"
ANY_MONTH: Literal["any month"] = "any month"

THRESHOLDS_F = (36.0, 32.0, 28.0, 24.0)
PERCENTS = (10, 20, 30, 40, 50, 60, 70, 80, 90)
FEWEST_SEASONS = 10
"""With fewer springs or autumns there are no odds (NOAA gives none below ten years but provisional ones)."""

CLEAR_DAYS = 7
"""With fewer days free of that cold around midsummer the answer is "any month" and not a date: last and first
freeze then lie where the seasons are split, and not where the weather put them. Printed tables of NOAA for
high valleys do give dates into the last week of July (Fontenelle Dam, Wyoming: 36 F at 10 % on 27 July).
"""

Method = Literal["weibull", "normal"]
METHODS: tuple[Method, ...] = ("weibull", "normal")
USUAL_METHOD: Method = "normal"
"""The one that lies nearer NOAA's published normals; what was looked at is told in `because`."""
_QUANTILE: dict[Method, Callable[[Sequence[float], float], float]] = {"weibull": weibull, "normal": normal}

When = str
""" "MM-DD" of any year, `RARE` or `ANY_MONTH`."""


@dataclass(frozen=True, slots=True)
class ThresholdOdds:
    """The odds of one cold, by percent; a length is in days, or one of the two words.

    `springs`, `autumns` and `lengths` count the years behind them. Where they are fewer than `FEWEST_SEASONS`
    each value is None, and `not_yet` says so; "" where nothing is missing.
    """

    threshold_f: float
    last_spring: Mapping[float, When | None]
    first_autumn: Mapping[float, When | None]
    frost_free_days: Mapping[float, int | When | None]
    share_of_seasons: float | None
    springs: int
    autumns: int
    lengths: int
    not_yet: str


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
    method: Method = USUAL_METHOD,
    percents: Sequence[float] = PERCENTS,
) -> FrostOdds | Problem:
    """The odds from a record, for springs and autumns of the calendar years `years` (first and last).

    For what fewer than ten springs or autumns can be told from there are no odds but None, and `because` says
    why; a Problem where that leaves nothing. Weibull dates of a chance rarer than one in springs + 1 are those
    of the farthest spring seen, and likewise in autumn.
    """
    if problem := _unusable(record, thresholds, years):
        return problem
    half, why_half = half_of(record)
    warm_first = sorted(set(thresholds), reverse=True)
    if problem := _without_months(record, warm_first[0]):
        return problem
    found = {t: events(record, t, half, years) for t in warm_first}
    if not any(_enough(one.springs) or _enough(one.autumns) for one in found.values()):
        return _too_few(warm_first[0], found[warm_first[0]], record)
    rows = []
    warmer: _Values | None = None
    for threshold in warm_first:
        values = _values(found[threshold], method, percents).no_worse_than(warmer)
        rows.append(_row(threshold, values, found[threshold], half, percents))
        warmer = values
    seen = sorted(year for one in found.values() for kept in (one.springs, one.autumns) for year in kept)
    return FrostOdds(
        record.station,
        record.name,
        half.south,
        method,
        seen[0],
        seen[-1],
        max(max(row.springs, row.autumns) for row in rows),
        tuple(rows),
        (
            _WHY_METHOD[method],
            why_half,
            _WHY_GAPS,
            *(f"{told_frost(row.threshold_f)}: {row.not_yet}" for row in rows if row.not_yet),
            *record.remarks,
        ),
    )


def _without_months(record: Record, threshold_f: float) -> Problem | None:
    """Why a record that lacks whole months says nothing: they may hold the frosts that are asked for.

    Months next to those that never froze may be absent, where the latitude says which end of the year they are.
    """
    days = [0] * 12
    freezes = [False] * 12
    limit = tenths_c(threshold_f)
    for day, low in enumerate(record.lows, record.start):
        if low != MISSING:
            month = date.fromordinal(day).month - 1
            days[month] += 1
            freezes[month] = freezes[month] or low <= limit
    absent = [month for month in range(12) if not days[month]]
    if len(absent) < 2:
        return None  # a month of winter hides no first and no last freeze; seasons that it hides are left out
    beside = {(month + step) % 12 for month in absent for step in (-1, 1)} - set(absent)
    if record.latitude is not None and not any(freezes[month] for month in beside):
        return None
    named = ", ".join(MONTHS[month] for month in absent)
    return Problem(
        f"The record has no lows in {named}, so it cannot say when frost ends and begins: choose one of whole years.",
        "impossible",
    )


def _enough(years: Sized) -> bool:
    return len(years) >= FEWEST_SEASONS


_WHY_METHOD: dict[Method, str] = {
    "weibull": (
        "Dates stand at Weibull plotting positions, rank / (n + 1); seasons without that cold are ranked too "
        "('rare' where the rank falls among them), and no shape is asked for."
    ),
    "normal": (
        "Dates are mean and standard deviation on a normal curve, times the share of seasons that freeze "
        "(NOAA CLIM20-01, 1971-2000). It is the method unless another is said, as it lies nearer what NOAA printed: "
        "at Clemson six dates and lengths of 1981-2010 are 12 days off in all by the curve, 21 by ranks ('--method "
        "weibull'), and NOAA's own table of 1971-2000 comes out within a day. Other stations could not be set beside "
        "theirs here."
    ),
}
_WHY_GAPS = (
    "A season with 10 or more days missing in its cold part before its freeze is found is left out "
    "(after Utah State University); 'any month': fewer than 7 clear days around midsummer."
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
        return Problem(
            f"A threshold lies between {told_degrees(-60)} and {told_degrees(70)}: give one such as "
            f"{typed_degrees(32)}.",
            "impossible",
        )
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
        f"Not yet: at {told_frost(threshold)} only {plural(len(one.springs), 'spring')} and "
        f"{plural(len(one.autumns), 'fall')} between {record.first_day} and {record.last_day} "
        f"are whole enough, and odds need {FEWEST_SEASONS} of each; choose more years or a longer record.",
        "impossible",
    )


@dataclass(frozen=True, slots=True)
class _Values:
    """Days of the season, and lengths, by percent: infinite where there is none; empty where too few are known."""

    spring: dict[float, float]
    autumn: dict[float, float]
    length: dict[float, float]

    def no_worse_than(self, warmer: _Values | None) -> _Values:
        """What is at most 28 F is at most 32 F: a colder threshold is never later in spring or earlier in
        autumn. Seasons left out for one and not for the other could else turn that round by a day or two.
        """
        if warmer is None:
            return self
        return _Values(
            {p: min(v, warmer.spring.get(p, v)) for p, v in self.spring.items()},
            {p: max(v, warmer.autumn.get(p, v)) for p, v in self.autumn.items()},
            {p: max(v, warmer.length.get(p, v)) for p, v in self.length.items()},
        )


def _values(found: Events, method: Method, percents: Sequence[float]) -> _Values:
    quantile = _QUANTILE[method]

    def at(values: Mapping[int, float], *, falling: bool) -> dict[float, float]:
        if not _enough(values):
            return {}
        return {p: quantile([*values.values()], (100 - p if falling else p) / 100) for p in percents}

    return _Values(
        at(found.springs, falling=True), at(found.autumns, falling=False), at(found.lengths, falling=True)
    )


def _row(
    threshold: float, values: _Values, found: Events, half: Half, percents: Sequence[float]
) -> ThresholdOdds:
    spring: dict[float, When | None] = dict.fromkeys(percents)
    autumn: dict[float, When | None] = dict.fromkeys(percents)
    length: dict[float, int | When | None] = dict.fromkeys(percents)
    # Half a day goes to the cautious side: later in spring, earlier in autumn, a shorter season.
    for p, last in values.spring.items():
        spring[p] = RARE if isinf(last) else half.month_day(_within_a_year(_half_up(last)))
    for p, first in values.autumn.items():
        autumn[p] = RARE if isinf(first) else half.month_day(_within_a_year(_half_down(first)))
    for p, days in values.length.items():
        length[p] = RARE if isinf(days) else ANY_MONTH if days - 1 < CLEAR_DAYS else _half_down(days)
    for p in values.spring.keys() & values.autumn.keys():
        if YEAR_DAYS - values.spring[p] - 1 + values.autumn[p] < CLEAR_DAYS:
            spring[p] = autumn[p] = ANY_MONTH
    known = _enough(found.springs) or _enough(found.autumns)
    return ThresholdOdds(
        threshold,
        spring,
        autumn,
        length,
        found.share if known else None,
        len(found.springs),
        len(found.autumns),
        len(found.lengths),
        _not_yet(found),
    )


def _not_yet(found: Events) -> str:
    if _enough(found.springs) and _enough(found.autumns) and _enough(found.lengths):
        return ""
    return (
        f"not yet: {plural(len(found.springs), 'spring')}, {plural(len(found.autumns), 'fall')} and "
        f"{plural(len(found.lengths), 'season')} between them are whole enough, {FEWEST_SEASONS} are needed."
    )


def _half_up(value: float) -> int:
    """The nearest whole number, halves up; a half on paper is a half whatever binary fractions made of it."""
    return floor(round(value, 6) + 0.5)


def _half_down(value: float) -> int:
    return ceil(round(value, 6) - 0.5)


def _within_a_year(offset: int) -> int:
    return min(max(offset, 0), YEAR_DAYS - 1)


def frost_json(odds: FrostOdds) -> dict[str, Any]:
    """{"station", "seasons", "thresholds": {"32": {"last_spring": {"10": "MM-DD", ...}, "first_autumn",
    "frost_free_days": {"10": days, ...}, "share_of_seasons"}}}, with "rare" or "any month" where so.

    Every threshold asked for is there. What too few seasons tell of is None, and "not_yet" beside it says why.
    """

    def by_percent(values: Mapping[float, Any]) -> dict[str, Any]:
        return {f"{p:g}": value for p, value in values.items()}

    return {
        "station": odds.station,
        "seasons": odds.seasons,
        "thresholds": {
            f"{row.threshold_f:g}": {
                "last_spring": by_percent(row.last_spring),
                "first_autumn": by_percent(row.first_autumn),
                "frost_free_days": by_percent(row.frost_free_days),
                "share_of_seasons": None if row.share_of_seasons is None else round(row.share_of_seasons, 3),
                **({"not_yet": row.not_yet} if row.not_yet else {}),
            }
            for row in odds.thresholds
        },
    }
