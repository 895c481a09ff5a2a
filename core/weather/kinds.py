"""What is written of the weather: readings, forecasts, the night at dusk; frost dates, and the risk taken with them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta

from core.book.entry import Draft, Entry, Fields
from core.dialect import told_degrees, told_frost
from core.farm import Farm
from core.happened import NO_READINGS, ClearNight, FrostDate, Risk, Station
from core.kinds import DEGREES_F, LATITUDE, PERCENT, Kind, may, needs
from core.marked import degrees_word, wind_word
from core.problems import Problem
from core.refusals import unknown

SEASONS = ("spring", "autumn")
CLEAR = "clear"
SKIES = (CLEAR, "cloudy", "windy")
"""The night at dusk: only clear and calm nights count for reckoning lows."""
WEATHER_DAYS = 60


NIGHTS_KEPT = 300
"""Clear nights kept for reckoning lows: those of several years, and the newest."""


HARDINESS = ("hardy", "half-hardy", "tender")


LOW_SPAN_F = (10, 50)


AVERAGE = (32, 50)
"""The threshold and risk that packets and bulletins mean by "last frost": 32 F, one year in two."""


def _check_frost(_farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["season"] not in SEASONS:
        return unknown("season", f["season"], list(SEASONS))
    return _check_odds(f)


def _check_odds(f: Fields) -> Problem | None:
    if not LOW_SPAN_F[0] <= f["threshold_f"] <= LOW_SPAN_F[1]:
        return Problem(
            f"A frost threshold lies within {told_degrees(*LOW_SPAN_F)}; "
            f"{', '.join(map(told_frost, (24, 28, 32, 36)))} are usual.",
            "impossible",
        )
    if not 1 <= f["risk_pct"] <= 99:
        return Problem(
            "The risk is a chance in a hundred, from 1 to 99: 50 is one year in two.", "impossible"
        )
    return None


def apply_frost(farm: Farm, entry: Entry) -> None:
    """A frost date takes the place of the one of its season, threshold and risk."""
    f, source = entry.fields, entry.fields.get("source", "")
    # entries of before `method` have both in their source alone
    before = ("normal" if ", normal" in source else "weibull"), ", own ground " in source
    method, own = (f["method"], f.get("own_ground", False)) if "method" in f else before
    row = FrostDate(f["season"], f["threshold_f"], f["risk_pct"], f["month_day"], source)
    row = row._replace(method=method, own_ground=own) if source else row
    farm.frost = [old for old in farm.frost if old.key != row.key] + [row]


def check_risk(_farm: Farm, draft: Draft) -> Problem | None:
    """Whether there is such a class of hardiness, and whether that cold and chance can be."""
    if draft.fields["hardiness"] not in HARDINESS:
        return unknown("hardiness", draft.fields["hardiness"], list(HARDINESS))
    return _check_odds(draft.fields)


def _risk(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    farm.risks[f["hardiness"]] = Risk(f["threshold_f"], f["risk_pct"])


def _check_station(_farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["first"] > f["last"] or f["days"] < 1:
        return Problem("A weather record has a first day, a last day after it, and readings.", "impossible")
    if abs(f.get("latitude", 0)) > 90:
        return Problem("Latitude runs from -90 to 90.", "impossible")
    if not f["file"].replace("-", "").replace(".", "").isalnum() or f["file"].startswith("."):
        return Problem(
            "The file of a weather record is called by letters, numbers and hyphens.", "impossible"
        )
    return None


def _station(farm: Farm, entry: Entry) -> None:
    farm.station = Station(**{name: value for name, value in entry.fields.items() if name in Station._fields})


def _check_degrees(_farm: Farm, draft: Draft) -> Problem | None:
    value = draft.fields.get("f", 0)
    if not -80 <= value <= 140:
        return Problem(
            f"{told_degrees(value)} is no air temperature: write degrees {degrees_word()}.", "impossible"
        )
    if not 0 <= draft.fields.get("mph", 0) <= 250:
        return Problem(f"Wind is written in {wind_word()}.", "impossible")
    return None


LIKELY_F = {"low": (-60, 95), "high": (-60, 125)}
"""Between them lie the lows and the highs of farms (common practice); beyond them F and C are easily mixed up."""
FAR_F, FORTNIGHT, FEWEST = 30, 14, 3
"""A low so far from all lows of a fortnight, of which so many are known, is asked about (ours)."""


def _strange(farm: Farm, draft: Draft) -> str | None:
    """Why a reading looks like a slip: beyond what farms have, or far from the nights before."""
    f, what = draft.fields["f"], "high" if draft.kind == "high" else "low"
    least, most = LIKELY_F[what]
    if not least <= f <= most:
        return f"A {what} of {told_degrees(f)} is beyond what farms have, {told_degrees(least, most)}"
    if what == "high":
        return None
    day = date.fromisoformat(draft.on)
    days = (farm.weather_on(day - timedelta(days=n)).low for n in range(1, FORTNIGHT + 1))
    lows = [low for low in days if low is not None]
    if len(lows) < FEWEST or min(lows) - FAR_F <= f <= max(lows) + FAR_F:
        return None
    span = told_degrees(min(lows), max(lows))
    return f"A low of {told_degrees(f)} is far from those of the last fortnight, {span}"


def _check_dusk(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["dew_f"] > f["f"]:
        return Problem("The dew point is never above the temperature: check the two.", "impossible")
    if f.get("sky") not in (None, *SKIES):
        return unknown("sky", f["sky"], list(SKIES))
    return _check_degrees(farm, draft)


def _weather(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    read = {entry.kind: f["mph" if entry.kind == "wind" else "f"]}
    if entry.kind == "dusk":
        read |= {"dew": f["dew_f"], "clear": f.get("sky") == CLEAR}
    farm.weather[entry.on] = farm.weather.get(entry.on, NO_READINGS)._replace(**read)
    if entry.kind == "low":
        _clear_night(farm, entry.on, f["f"])
    if len(farm.weather) > WEATHER_DAYS:
        oldest = (date.fromisoformat(max(farm.weather)) - timedelta(days=WEATHER_DAYS)).isoformat()
        farm.weather = {on: w for on, w in farm.weather.items() if on > oldest}


AHEAD_DAYS = 10
"""So many nights ahead a forecast may speak of."""


@dataclass(slots=True)
class Ahead:
    """The lows forecast for nights to come, F, by the day on which the night begins: the newest word of each."""

    nights: dict[str, float] = field(default_factory=dict)


def _days_ahead(night: str, on: str) -> int:
    return (date.fromisoformat(night) - date.fromisoformat(on)).days


def _check_forecast(farm: Farm, draft: Draft) -> Problem | None:
    if not 0 < _days_ahead(draft.fields["night"], draft.on) <= AHEAD_DAYS:
        return Problem(f"A forecast is of one of the next {AHEAD_DAYS} nights.", "impossible")
    return _check_degrees(farm, draft)


def _forecast(farm: Farm, entry: Entry) -> None:
    night = entry.fields["night"]
    if not 0 < _days_ahead(night, entry.on) <= AHEAD_DAYS:
        return
    ahead = farm.part(Ahead)
    ahead.nights[night] = entry.fields["f"]
    ahead.nights = {on: f for on, f in ahead.nights.items() if _days_ahead(on, entry.on) >= -AHEAD_DAYS}


def _clear_night(farm: Farm, morning: str, low: float) -> None:
    """Keep the evening's readings with the low they led to, where the sky was clear."""
    evening = date.fromisoformat(morning) - timedelta(days=1)
    before = farm.weather_on(evening)
    if before.clear and before.dusk is not None and before.dew is not None:
        farm.nights[evening.isoformat()] = ClearNight(before.dusk, before.dew, low)
        if len(farm.nights) > NIGHTS_KEPT:
            del farm.nights[min(farm.nights)]


KINDS = (
    Kind(
        "frost",
        "{season} frost of {threshold_f} at {risk_pct} %: {month_day}[, {source}]",
        needs(season="code", threshold_f=DEGREES_F, risk_pct=PERCENT, month_day="month_day")
        | may(source="text", method="code", own_ground="flag"),
        apply_frost,
        check=_check_frost,
        describes=True,
    ),
    Kind(
        "risk",
        "{hardiness} crops wait for {threshold_f} at {risk_pct} %",
        needs(hardiness="code", threshold_f=DEGREES_F, risk_pct=PERCENT),
        _risk,
        check=check_risk,
        describes=True,
    ),
    Kind(
        "station",
        "weather of {station}[ {name}], {days} days from {first} to {last}[, at {latitude}]",
        needs(station="text", file="code", first="day", last="day", days="count")
        | may(name="text", latitude=LATITUDE),
        _station,
        check=_check_station,
        describes=True,
    ),
    Kind(
        "low",
        "low last night {f}",
        needs(f=DEGREES_F),
        _weather,
        check=_check_degrees,
        slip=_strange,
        is_reading=True,
    ),
    Kind(
        "high",
        "high {f}",
        needs(f=DEGREES_F),
        _weather,
        check=_check_degrees,
        slip=_strange,
        is_reading=True,
    ),
    Kind(
        "tonight",
        "low forecast for tonight {f}",
        needs(f=DEGREES_F),
        _weather,
        check=_check_degrees,
        slip=_strange,
        is_reading=True,
    ),
    Kind(
        "forecast",
        "forecast {f}, night of {night}",
        needs(f=DEGREES_F, night="day"),
        _forecast,
        check=_check_forecast,
        slip=_strange,
        is_reading=True,
    ),
    Kind("wind", "wind {mph}", needs(mph="number"), _weather, check=_check_degrees, is_reading=True),
    Kind(
        "dusk",
        "two hours after sunset {f}, dew point {dew_f}[, {sky}]",
        needs(f=DEGREES_F, dew_f=DEGREES_F) | may(sky="code"),
        _weather,
        check=_check_dusk,
        is_reading=True,
    ),
)
