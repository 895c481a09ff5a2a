"""The farm's frost odds as one value: the station's, those of her own ground, and the dates her windows hang on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

from core.crops.frost_dates import autumn_bound, spring_bound
from core.crops.sheet import HARDINESS_CLASSES, HardinessClass
from core.dialect import told_degrees, told_difference
from core.farm import Farm
from core.marked import typed_low
from core.problems import Problem
from core.reckon.climate.frost import (
    PERCENTS,
    THRESHOLDS_F,
    USUAL_METHOD,
    FrostOdds,
    Method,
    frost_json,
    frost_odds,
)
from core.reckon.climate.own_ground import FEWEST_NIGHTS, Ground, compare, on_own_ground
from core.reckon.climate.record import Record
from core.reckon.climate.sun import Sun, clock, cutting_windows, sun
from core.settings.local_time import example_zone, lacks_zone, zone
from core.settings.sheets import bounds, frosts, season_year

TYPED = "typed by hand"


class Origin(NamedTuple):
    """Where frost dates come from: in words, the method of their odds, and whether they are those of her own ground."""

    source: str
    method: Method
    own_ground: bool


@dataclass(frozen=True, slots=True)
class KeptDate:
    """One frost date of the farm: "spring" or "autumn", F, percent, "MM-DD", and where it comes from."""

    season: str
    threshold_f: float
    risk_pct: float
    month_day: str
    source: str


@dataclass(frozen=True, slots=True)
class Hangs:
    """What the windows of one hardiness class hang on; None where no such date is kept.

    `chosen` says that the risk in spring is the farm's own choice; `wanted` is that choice where it has no date.
    """

    hardiness: HardinessClass
    spring: KeptDate | None
    autumn: KeptDate | None
    chosen: bool
    wanted: tuple[int, int] | None


@dataclass(frozen=True, slots=True)
class Daylight:
    """The farm's clock at sunrise and sunset, "05:08", and the cool hours to cut in, ("04:38", "08:08", why)."""

    sunrise: str
    sunset: str
    cutting: tuple[tuple[str, str, str], ...]
    zone_wanted: str = ""
    """Where these are hours of UTC, for nobody said the farm's zone: how one is written."""


@dataclass(frozen=True, slots=True)
class FarmWeather:
    """All there is to say of the farm's frost; `problem` says why there are no odds.

    `own_odds` are the odds on her own ground, where `ground` has nights enough; `own_says` tells how her
    readings stand beside the station's, or what is still needed. `last_day` is the last day of the station.
    `daylight` is None where the farm's place is not known, or the sun does not rise or set.
    """

    station: str
    name: str
    last_day: date | None
    odds: FrostOdds | None
    problem: Problem | None
    own_nights: int
    ground: Ground | None
    own_says: str
    own_odds: FrostOdds | None
    average: KeptDate | None
    hangs: tuple[Hangs, ...]
    kept: tuple[KeptDate, ...]
    daylight: Daylight | None


def farm_weather(
    farm: Farm, day: date, station: Record | Problem, own: Record | None, method: Method = USUAL_METHOD
) -> FarmWeather:
    """The page, from the station's record (or why there is none) and her own readings."""
    odds: FrostOdds | None = None
    own_odds: FrostOdds | None = None
    ground: Ground | None = None
    problem = station if isinstance(station, Problem) else None
    says = f"Not yet: {FEWEST_NIGHTS} nights near frost, in your own readings and the station's, are needed."
    if isinstance(station, Record):
        found = frost_odds(station, method=method)
        if isinstance(found, Problem):
            problem = found
        else:
            odds = found
        ground, says = _ground(own, station)
        if ground is not None and ground.enough:
            moved = frost_odds(on_own_ground(station, ground), method=method)
            own_odds = None if isinstance(moved, Problem) else moved
    kept = tuple(KeptDate(*row.key, row.month_day, row.source or TYPED) for row in sorted(farm.frost))
    return FarmWeather(
        station=farm.station.station if farm.station else "",
        name=farm.station.name if farm.station else "",
        last_day=station.last_day if isinstance(station, Record) else None,
        odds=odds,
        problem=problem,
        own_nights=own.days if own is not None else 0,
        ground=ground,
        own_says=says,
        own_odds=own_odds,
        average=next((k for k in kept if (k.season, k.threshold_f, k.risk_pct) == ("spring", 32, 50)), None),
        hangs=_hangs(farm, day, kept),
        kept=kept,
        daylight=_daylight(farm, day),
    )


def _daylight(farm: Farm, day: date) -> Daylight | None:
    latitude, longitude = farm.settings.latitude, farm.settings.longitude
    if latitude is None or longitude is None:
        return None
    today = sun(day, latitude, longitude, zone(farm))
    if not isinstance(today, Sun) or today.sunrise is None or today.sunset is None:
        return None
    windows = tuple((clock(w.start), clock(w.end), w.because) for w in cutting_windows(today))
    wanted = example_zone(farm) if lacks_zone(farm) else ""
    return Daylight(clock(today.sunrise), clock(today.sunset), windows, wanted)


def odds_and_source(
    station: Record | Problem,
    own: Record | None,
    method: Method,
    *,
    own_ground: bool,
    thresholds: Sequence[float] = THRESHOLDS_F,
    percents: Sequence[float] = PERCENTS,
) -> tuple[FrostOdds, Origin] | Problem:
    """The odds of the station, or of her own ground, and where they come from.

    A Problem where there is no station, or not nights enough of her own.
    """
    if isinstance(station, Problem):
        return station
    ground = None
    if own_ground:
        ground, says = _ground(own, station)
        if ground is None or not ground.enough:
            return Problem(says, "impossible")
    record = on_own_ground(station, ground) if ground else station
    odds = frost_odds(record, thresholds=thresholds, method=method, percents=percents)
    if isinstance(odds, Problem):
        return odds
    said = f"{station.station}, {odds.first_year}-{odds.last_year}, {method}"
    if ground is not None and ground.frost_bias_f is not None:
        said += f", own ground {told_difference(ground.frost_bias_f, '+.1f')}"
    return odds, Origin(said, method, own_ground)


def _ground(own: Record | None, station: Record) -> tuple[Ground | None, str]:
    """Her ground beside the station, and what is to be said of it."""
    if own is None:
        return None, (
            f"Not yet: no lows are written; {FEWEST_NIGHTS} nights near frost (station low "
            f"{told_degrees(20, 45)}) in both "
            f"records are needed. Write 'low {typed_low(34)}' each morning."
        )
    found = compare(own, station)
    return (None, found.sentence) if isinstance(found, Problem) else (found, found.says)


def _hangs(farm: Farm, day: date, kept: tuple[KeptDate, ...]) -> tuple[Hangs, ...]:
    frost, own = frosts(farm, season_year(farm, day)), bounds(farm)
    by_key = {(k.season, round(k.threshold_f), round(k.risk_pct)): k for k in kept}
    rows = []
    for kind in HARDINESS_CLASSES:
        wished = own.get(kind, ())
        spring, autumn = spring_bound(kind, frost, wished), autumn_bound(kind, frost)
        rows.append(
            Hangs(
                kind,
                by_key.get(("spring", *spring)) if spring else None,
                by_key.get(("autumn", *autumn)) if autumn else None,
                spring in wished,
                next((odds for odds in wished if odds not in frost.spring), None),
            )
        )
    return tuple(rows)


def weather_json(page: FarmWeather) -> dict[str, Any]:
    """{"sun": {"sunrise", "sunset", "cutting"}, "station", "name", "last_day", "years", "method", "odds" and
    "own_odds" as `frost_json`, "own": {nights, bias_f, ...}, "average", "hangs", "kept", "problem", "because"};
    None where there is none.
    """
    odds, ground = page.odds, page.ground
    return {
        "sun": page.daylight,
        "station": page.station or None,
        "name": page.name or None,
        "last_day": page.last_day,
        "years": [odds.first_year, odds.last_year] if odds else None,
        "method": odds.method if odds else None,
        "odds": frost_json(odds) if odds else None,
        "own": {
            "nights": page.own_nights,
            "common_nights": ground.nights if ground else 0,
            "frost_nights": ground.frost_nights if ground else 0,
            "frost_nights_needed": FEWEST_NIGHTS,
            "bias_f": ground.frost_bias_f if ground else None,
            "spread_f": ground.frost_spread_f if ground else None,
            "enough": bool(ground and ground.enough),
            "says": page.own_says,
        },
        "own_odds": frost_json(page.own_odds) if page.own_odds else None,
        "average": page.average,
        "hangs": page.hangs,
        "kept": page.kept,
        "problem": page.problem.sentence if page.problem else None,
        "because": list(odds.because) if odds else [],
    }
