"""What the farm told the book about itself: place, frost dates, own figures; the day's weather; notes."""

from __future__ import annotations

from datetime import date, timedelta

from core.book.entry import Draft, Entry, Fields
from core.farm import Farm
from core.kinds import CLEAR, SEASONS, SKIES
from core.problems import Problem
from core.rules import Rule, unknown

WEATHER_DAYS = 60
NOTES_KEPT = 30
NIGHTS_KEPT = 300
"""Clear nights kept for reckoning lows: those of several years, and the newest."""
HARDINESS = ("hardy", "half-hardy", "tender")
LOW_SPAN_F = (10, 50)
AVERAGE = (32, 50)
"""The threshold and risk that packets and bulletins mean by "last frost": 32 F, one year in two."""


def zone(farm: Farm) -> str:
    """The farm's time zone: as written, else the machine's."""
    from core.units import zone_of_machine

    return str(farm.settings.get("zone") or zone_of_machine())


def _check_farm(_farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if not f:
        return Problem("Say what to set: name, latitude, longitude or zone.", "unreadable")
    if abs(f.get("latitude", 0)) > 90 or abs(f.get("longitude", 0)) > 180:
        return Problem("Latitude runs from -90 to 90 and longitude from -180 to 180.", "impossible")
    if "zone" in f:
        from zoneinfo import available_timezones

        zones = available_timezones()
        if zones and f["zone"] not in zones:
            return unknown("time zone", f["zone"], sorted(zones))
    return None


def _farm(farm: Farm, entry: Entry) -> None:
    farm.settings.update(entry.fields)


def _check_frost(_farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["season"] not in SEASONS:
        return unknown("season", f["season"], list(SEASONS))
    return _check_odds(f)


def _check_odds(f: Fields) -> Problem | None:
    if not LOW_SPAN_F[0] <= f["threshold_f"] <= LOW_SPAN_F[1]:
        return Problem(
            "A frost threshold lies between 10 and 50 F; 24, 28, 32 and 36 are usual.", "impossible"
        )
    if not 1 <= f["risk_pct"] <= 99:
        return Problem(
            "The risk is a chance in a hundred, from 1 to 99: 50 is one year in two.", "impossible"
        )
    return None


def _frost(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    key = [f["season"], f["threshold_f"], f["risk_pct"]]
    row = [*key, f["month_day"], f.get("source", "")]
    farm.frost = [old for old in farm.frost if old[:3] != key] + [row]


def _check_risk(_farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["hardiness"] not in HARDINESS:
        return unknown("hardiness", draft.fields["hardiness"], list(HARDINESS))
    return _check_odds(draft.fields)


def _risk(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    farm.risks[f["hardiness"]] = [f["threshold_f"], f["risk_pct"]]


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
    farm.station = dict(entry.fields)


def _check_sheet(_farm: Farm, draft: Draft) -> Problem | None:
    from core.crops.library import check_own_figure

    return check_own_figure(draft.fields["crop"], draft.fields["figure"], draft.fields["value"])


def sheet_name(crop: str, way: str | None) -> str:
    """The name a crop's own sheet goes by: "strawflower" or "strawflower (early)"."""
    return f"{crop} ({way})" if way else crop


def _sheet(farm: Farm, entry: Entry) -> None:
    """A figure of the farm's own; one that cannot be is told and not used, and the next good one settles it."""
    from core.crops.library import own_value

    f = entry.fields
    name = sheet_name(f["crop"], f.get("way"))
    told = f"The sheet of {name}, {f['figure']}:"
    farm.settle(told)
    value = own_value(f["crop"], f["figure"], f["value"])
    if isinstance(value, Problem):
        farm.note_matter(f"{told} {value.sentence} It is not used.", entry.id)
        return
    own = farm.sheets.setdefault(name, {})
    own[f["figure"]] = [f["value"], f.get("source") or f"own sheet, {entry.on}"]


def _check_degrees(_farm: Farm, draft: Draft) -> Problem | None:
    value = draft.fields.get("f", 0)
    if not -80 <= value <= 140:
        return Problem(f"{value:g} F is no air temperature: write degrees Fahrenheit.", "impossible")
    if not 0 <= draft.fields.get("mph", 0) <= 250:
        return Problem("Wind is written in miles an hour.", "impossible")
    return None


def _check_dusk(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["dew_f"] > f["f"]:
        return Problem("The dew point is never above the temperature: check the two.", "impossible")
    if f.get("sky") not in (None, *SKIES):
        return unknown("sky", f["sky"], list(SKIES))
    return _check_degrees(farm, draft)


def _weather(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    today = farm.weather.setdefault(entry.on, {})
    today[entry.kind] = f["mph" if entry.kind == "wind" else "f"]
    if entry.kind == "dusk":
        today |= {"dew": f["dew_f"], "clear": float(f.get("sky") == CLEAR)}
    elif entry.kind == "low":
        _clear_night(farm, entry.on, f["f"])
    if len(farm.weather) > WEATHER_DAYS:
        oldest = (date.fromisoformat(max(farm.weather)) - timedelta(days=WEATHER_DAYS)).isoformat()
        farm.weather = {on: w for on, w in farm.weather.items() if on > oldest}


def _clear_night(farm: Farm, morning: str, low: float) -> None:
    """Keep the evening's readings with the low they led to, where the sky was clear."""
    evening = (date.fromisoformat(morning) - timedelta(days=1)).isoformat()
    before = farm.weather.get(evening, {})
    if before.get("clear"):
        farm.nights[evening] = [before["dusk"], before["dew"], low]
        if len(farm.nights) > NIGHTS_KEPT:
            del farm.nights[min(farm.nights)]


def _note(farm: Farm, entry: Entry) -> None:
    farm.notes = [*farm.notes, [entry.on, entry.by, entry.fields.get("about", ""), entry.fields["text"]]][
        -NOTES_KEPT:
    ]


RULES = {
    "farm": Rule(_farm, _check_farm),
    "frost": Rule(_frost, _check_frost),
    "risk": Rule(_risk, _check_risk),
    "station": Rule(_station, _check_station),
    "sheet": Rule(_sheet, _check_sheet),
    "low": Rule(_weather, _check_degrees),
    "high": Rule(_weather, _check_degrees),
    "dusk": Rule(_weather, _check_dusk),
    "tonight": Rule(_weather, _check_degrees),
    "wind": Rule(_weather, _check_degrees),
    "note": Rule(_note),
}
