"""The air of the shed: its last reading, what it reached, how long it was damp, and whether tonight's cold makes
it damp.

Bunches dry only while the air takes water from them. Above 65 % relative humidity they begin to mold, and at
night or in wet weather a shed that stands open gives them their water back [S55 S115]. Vapour, dew point and
deficit by FAO-56 (core.reckon.climate.air). All of it warns; the hygrometer and the bunch have the last word.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import Any, NamedTuple

from core.clocks import MORNING, hours_between
from core.crops.sheet import Sheet
from core.drying.rows import ShelfRow, shelf_rows
from core.farm import Farm
from core.problems import Problem
from core.reckon.climate.air import air, c_from_f, dew_point_c, f_from_c, saturation_kpa
from core.settings.kinds import zone
from core.settings.sheets import farm_sheet
from core.shed.kinds import SHED
from core.units import hours_text, middle, plural

MOLD_RH = 65.0
"""Mold begins where air at the bunch stays above about this: water activity 0.65, a limit used for hung flowers."""
SERIOUS_RH = 75.0
"""Where it grows in earnest (from memory)."""
NEAR_HOURS = 6.0
"""Between readings no farther apart the air is taken to have gone straight from one to the other (ours)."""
FRESH_HOURS = 12.0
"""A reading older than this says nothing of the air now (ours)."""
DAY_HOURS, WEEK_HOURS = 24.0, 168.0
WELL_KNOWN = 0.75
"""From this share of a window known, its hours are told as "about" so many; below half, as not known (ours)."""
BARELY_KNOWN = 0.5
FOLLOWS = 0.5
"""Share of the way to the low outdoors that a closed shed is taken to cool (an assumption of ours), until the
farm's own nights say better."""
OWN_NIGHTS = 5
"""Nights with the lows of shed and ground both written from which her own shed speaks."""
THICK_DAYS = 20
"""Kinds that may hang so long are thick: 20 days and more for the thick ones [S100]."""
BIG_BUNCH = 12
"""Stems in a bunch: 5 to 10 [S156], 12 [S157]; bigger ones dry late in the middle."""
NEWEST_DAYS = 3
"""The first days on the line, when a bunch is wettest (common practice)."""

ExpectedLow = tuple[float, str]
"""A low outdoors, F, and whose word it is: (48.0, "forecast low 48 F")."""


class AirReading(NamedTuple):
    """One reading. `deficit_kpa` and `dew_point_f` are None where degrees or humidity are missing."""

    on: str
    clock: str
    f: float | None
    rh: float | None
    hours_ago: float
    deficit_kpa: float | None
    dew_point_f: float | None


class Extremes(NamedTuple):
    """The least and most of a window, from readings and from max-min ranges that lie in it; None where not known."""

    hours: float
    low_f: float | None
    high_f: float | None
    low_rh: float | None
    high_rh: float | None
    readings: int
    ranges: int


class Damp(NamedTuple):
    """Hours at or above a limit of humidity, of the last `hours`: at least and at most so many; of `known` hours the
    book can tell."""

    limit: float
    hours: float
    least: float
    most: float
    known: float

    @property
    def says(self) -> str:
        """ "about 5 h of the last 24 h", "not known ..."."""
        of = f"of the last {hours_text(self.hours)}"
        if self.known >= WELL_KNOWN * self.hours:
            return f"about {self.least:.0f} h {of}"
        if self.least >= 1:
            return f"at least {self.least:.0f} h {of} (readings tell {self.known:.0f} h)"
        if self.known >= BARELY_KNOWN * self.hours:
            return f"none {of} that readings tell ({self.known:.0f} h)"
        return f"not known: readings tell {self.known:.0f} h of the last {hours_text(self.hours)}"


class NightAir(NamedTuple):
    """What the present air comes to in tonight's cold, if it keeps its water: a warning, not a forecast.

    `shed_low_f` is the low reckoned with in the shed; `rh` the humidity there, `open_rh` that of a shed as cold as
    outdoors. `warns` from `MOLD_RH` on.
    """

    outdoor_low_f: float
    low_from: str
    shed_low_f: float
    rh: float
    open_rh: float
    dew_point_f: float
    warns: bool
    says: str
    because: str


class FirstAtRisk(NamedTuple):
    """A lot on a line that damp air hurts first, and why."""

    lot: str
    crop: str
    variety: str | None
    line: str
    stems: int
    why: tuple[str, ...]


class AirNow(NamedTuple):
    """The air of one room. `reading` is the last, None before the first; `says` are sentences about what is missing.

    `standing_hours`: for so long, at least, humidity has stood at `MOLD_RH` or over up to the last reading; None
    where that is not so, or old. `last_range` is (day, low F, high F, low RH, high RH) as last read.
    """

    room: str
    reading: AirReading | None
    day: Extremes
    week: Extremes
    damp_day: Damp
    damp_week: Damp
    serious_day: Damp
    serious_week: Damp
    standing_hours: float | None
    last_range: tuple[Any, ...] | None
    says: tuple[str, ...]

    @property
    def is_damp(self) -> bool:
        """Whether the last reading, not older than half a day, stands at the mold limit or over."""
        last = self.reading
        return last is not None and last.hours_ago <= FRESH_HOURS and (last.rh or 0.0) >= MOLD_RH


class ShedAir(NamedTuple):
    """The shed's air, tonight's, and the lots first at risk from damp. `night` is None where it cannot be reckoned,
    and `night_says` then tells what is missing."""

    now: AirNow
    night: NightAir | None
    night_says: str
    at_risk: tuple[FirstAtRisk, ...]


def shed_air(
    farm: Farm,
    day: date,
    now: str | None = None,
    low: ExpectedLow | None = None,
    hanging: Sequence[ShelfRow] | None = None,
) -> ShedAir:
    """The drying shed at `now` ("HH:MM"; where None, at the last reading of `day`, else seven in the morning).

    `low` is what tonight is expected to come down to outdoors; where None, the forecast she wrote. `hanging` are the
    shelf's rows of the day, where they are known already.
    """
    here = room_air(farm, SHED, day, now)
    night = tonight_in_shed(farm, day, here, low)
    missing = night if isinstance(night, str) else ""
    return ShedAir(
        here, None if isinstance(night, str) else night, missing, tuple(first_at_risk(farm, day, hanging))
    )


def room_air(farm: Farm, room: str, day: date, now: str | None = None) -> AirNow:
    """The air of one room ("shed", "cooler", "room"), as for `shed_air`."""
    rows = [row for row in farm.air.get(room, []) if row[0] <= day.isoformat()]
    at = _now(rows, day, now)
    ago = _Ago(day, at, zone(farm))
    first = (day - timedelta(days=8)).isoformat()
    recent = [(ago(row[0], row[1]), row) for row in rows if row[0] >= first]
    ranges = _ranges(farm, room, day)
    damp = [(hours, row[3]) for hours, row in recent if row[3] is not None]
    seen = [(ago(since, None), ago(on, None), low, high) for on, since, _, _, low, high in ranges if since]
    known = [one for one in seen if one[2] is not None and one[3] is not None]
    reading = _reading(rows[-1], ago) if rows else None
    return AirNow(
        room=room,
        reading=reading,
        day=_extremes(recent, ranges, day, DAY_HOURS),
        week=_extremes(recent, ranges, day, WEEK_HOURS),
        damp_day=damp_hours(damp, known, MOLD_RH, DAY_HOURS),
        damp_week=damp_hours(damp, known, MOLD_RH, WEEK_HOURS),
        serious_day=damp_hours(damp, known, SERIOUS_RH, DAY_HOURS),
        serious_week=damp_hours(damp, known, SERIOUS_RH, WEEK_HOURS),
        standing_hours=_standing(damp),
        last_range=None if not ranges else (ranges[-1][0], *ranges[-1][2:]),
        says=tuple(_missing(room, reading)),
    )


def _now(rows: list[list[Any]], day: date, now: str | None) -> str:
    """The time reckoned from, never before the last reading of the day."""
    today = [row[1] or MORNING for row in rows if row[0] == day.isoformat()]
    return max([*today, now or MORNING])


class _Ago(NamedTuple):
    """Hours from a time of the farm to now."""

    day: date
    at: str
    zone: str

    def __call__(self, on: str, clock: str | None) -> float:
        return hours_between(on, clock, self.day.isoformat(), self.at, self.zone)


def _reading(row: list[Any], ago: _Ago) -> AirReading:
    on, clock, f, rh = row
    found = None if f is None or rh is None else air(c_from_f(f), rh)
    if found is None or isinstance(found, Problem):
        return AirReading(on, clock or MORNING, f, rh, ago(on, clock), None, None)
    dew = f_from_c(found.dew_point_c)
    return AirReading(on, clock or MORNING, f, rh, ago(on, clock), found.deficit_kpa, dew)


def _missing(room: str, reading: AirReading | None) -> Iterable[str]:
    if reading is None:
        yield f"No reading of the {room} yet: write '{room} 72F 55%', or its max-min '{room} 58 to 84 41 to 68%'."
    elif reading.hours_ago > FRESH_HOURS:
        yield f"The last reading is {hours_text(reading.hours_ago)} old: it says nothing of the air now."


# least and most


def _ranges(farm: Farm, room: str, day: date) -> list[tuple[Any, ...]]:
    """(day, day of the reset before it or None, low F, high F, low RH, high RH), in order.

    The thermometer is taken to be reset when it is read, in the morning (common practice).
    """
    days = [on for on in sorted(farm.air_ranges.get(room, {})) if on <= day.isoformat()]
    return [
        (on, since, *farm.air_ranges[room][on]) for since, on in pairwise([None, *days]) if on is not None
    ]


def _extremes(
    recent: list[tuple[float, list[Any]]], ranges: list[tuple[Any, ...]], day: date, hours: float
) -> Extremes:
    first = (day - timedelta(days=round(hours / 24))).isoformat()
    rows = [row for ago, row in recent if ago <= hours]
    inside = [one for one in ranges if one[1] is not None and one[1] >= first]
    low_f = [row[2] for row in rows] + [one[2] for one in inside]
    high_f = [row[2] for row in rows] + [one[3] for one in inside]
    low_rh = [row[3] for row in rows] + [one[4] for one in inside]
    high_rh = [row[3] for row in rows] + [one[5] for one in inside]
    return Extremes(
        hours,
        min(_known(low_f), default=None),
        max(_known(high_f), default=None),
        min(_known(low_rh), default=None),
        max(_known(high_rh), default=None),
        len(rows),
        len(inside),
    )


def _known(values: Iterable[float | None]) -> list[float]:
    return [value for value in values if value is not None]


# hours of damp


def damp_hours(
    readings: list[tuple[float, float]],
    ranges: list[tuple[float, float, float, float]],
    limit: float,
    hours: float,
) -> Damp:
    """Hours at or above `limit` in the last `hours`.

    `readings` are (hours ago, RH), oldest first: between two that are near each other the air went straight from one
    to the other. `ranges` are (hours ago of its reset, hours ago of its reading, least, most RH): where one lies all
    below the limit, or all at or above it, it tells of the hours between readings as well.
    """
    seen = [
        (began, end, _share_over(first, after, limit) * (began - end))
        for (start, before), (end, after) in pairwise(readings)
        if start - end <= NEAR_HOURS and end < (began := min(start, hours))
        for first in [before + (after - before) * (start - began) / (start - end)]
    ]
    edges = [hours, *(edge for began, end, _ in seen for edge in (began, end)), 0.0]
    over, known = sum(one[2] for one in seen), sum(began - end for began, end, _ in seen)
    least, most = over, over
    for began, end in zip(edges[::2], edges[1::2], strict=True):
        wet = dry = 0.0
        for reset, read, low, high in ranges:
            shared = max(0.0, min(began, reset) - max(end, read))
            wet += shared * (low >= limit)
            dry += shared * (high < limit)
        least, most, known = least + wet, most + began - end - dry, known + wet + dry
    return Damp(limit, hours, least, most, known)


def _share_over(first: float, last: float, limit: float) -> float:
    """Share of a straight way from `first` to `last` that lies at `limit` or over."""
    low, high = min(first, last), max(first, last)
    if low >= limit:
        return 1.0
    return 0.0 if high < limit else (high - limit) / (high - low)


def _standing(readings: list[tuple[float, float]]) -> float | None:
    """Hours up to the last reading for which humidity is known to have stood at the limit or over."""
    if not readings or readings[-1][0] > FRESH_HOURS or readings[-1][1] < MOLD_RH:
        return None
    newest = began = readings[-1][0]
    for (start, before), (end, after) in pairwise(reversed(readings)):
        # backwards: `start` is the later of the two
        if end - start > NEAR_HOURS:
            break
        began = start + _share_over(before, after, MOLD_RH) * (end - start)
        if after < MOLD_RH:
            break
    return began - newest


# tonight


def rh_at(vapour_kpa: float, temp_c: float) -> float:
    """Humidity of air that holds so much vapour at another temperature, at most 100: beyond it dew falls."""
    return min(100.0, 100 * vapour_kpa / saturation_kpa(temp_c))


def tonight_in_shed(
    farm: Farm, day: date, now: AirNow, expected: ExpectedLow | None = None
) -> NightAir | str:
    """What tonight's cold makes of the air there is; a sentence where it cannot be reckoned.

    The air is taken to keep its water. A closed shed is taken to cool by a share of the way to the low outdoors, or,
    where she has written both lows of enough nights, to keep as far above it as on those.
    """
    last = now.reading
    if last is None or last.hours_ago > FRESH_HOURS or last.f is None or last.rh is None:
        return "Tonight's air in the shed needs a reading of degrees and humidity from today: 'shed 72F 55%'."
    found = expected or forecast_low(farm, day)
    if found is None:
        return "Tonight's air in the shed needs the low that is forecast: 'tonight 48'."
    outdoors, low_from = found
    vapour = saturation_kpa(c_from_f(last.f)) * last.rh / 100
    offset = own_offset(farm, day)
    if offset is not None:
        nights, above = offset
        low = min(last.f, outdoors + max(above, 0.0))
        because = f"on {nights} of your nights the shed stayed about {max(above, 0.0):.0f} F above outdoors"
    else:
        low = last.f - FOLLOWS * max(0.0, last.f - outdoors)
        because = f"a closed shed is taken to cool half of the way to {outdoors:g} F outdoors (assumed)"
    rh, open_rh = rh_at(vapour, c_from_f(low)), rh_at(vapour, c_from_f(min(outdoors, last.f)))
    warns = rh >= MOLD_RH
    return NightAir(
        outdoor_low_f=outdoors,
        low_from=low_from,
        shed_low_f=low,
        rh=rh,
        open_rh=open_rh,
        dew_point_f=f_from_c(dew_point_c(vapour)),
        warns=warns,
        says=_night_says(rh, open_rh, low, outdoors),
        because=f"if the air keeps the water it holds now; {because}; {low_from}",
    )


def forecast_low(farm: Farm, day: date) -> ExpectedLow | None:
    """Tonight's low as she wrote the forecast."""
    forecast = farm.weather.get(day.isoformat(), {}).get("tonight")
    return None if forecast is None else (forecast, f"forecast low {forecast:g} F")


def own_offset(farm: Farm, day: date) -> tuple[int, float] | None:
    """(nights, F that the shed's low usually stood above that outdoors), of nights whose lows are both written.

    The shed's low of a night is that of a max-min thermometer read on two mornings running; None for too few.
    """
    above = [
        low - farm.weather[on]["low"]
        for on, since, low, *_ in _ranges(farm, SHED, day)
        if low is not None
        and since == (date.fromisoformat(on) - timedelta(days=1)).isoformat()
        and "low" in farm.weather.get(on, {})
    ]
    if len(above) < OWN_NIGHTS:
        return None
    return len(above), middle(above)


def _night_says(rh: float, open_rh: float, low: float, outdoors: float) -> str:
    closed = "dew" if rh >= 100 else f"about {rh:.0f} % RH"
    wide_open = "dew" if open_rh >= 100 else f"{open_rh:.0f} %"
    if rh >= MOLD_RH:
        return (
            f"tonight the air gives water back: {closed} at {low:.0f} F in the shed ({wide_open} if it is open to "
            f"{outdoors:.0f} F). Close up at night and in wet weather [S55 S115]."
        )
    if open_rh >= MOLD_RH:
        return (
            f"tonight about {rh:.0f} % RH in a closed shed, but {wide_open} in one open to {outdoors:.0f} F: "
            "close up at night and in wet weather [S55 S115]."
        )
    return f"tonight about {rh:.0f} % RH at {low:.0f} F in the shed: it keeps drying."


# what suffers first


def first_at_risk(farm: Farm, day: date, hanging: Sequence[ShelfRow] | None = None) -> list[FirstAtRisk]:
    """What hangs that damp air hurts first: those with most reasons, then the newest."""
    found = []
    for row in shelf_rows(farm, day) if hanging is None else hanging:
        lot = farm.lots.get(row.lot)
        if why := tuple(_why(row, farm_sheet(farm, row.crop, lot.way if lot else None))):
            found.append((-len(why), row.days_hung, FirstAtRisk(
                row.lot, row.crop, row.variety, row.line, row.stems, why)))  # fmt: skip
    return [one for *_, one in sorted(found, key=lambda each: (each[0], each[1], each[2].lot))]


def _why(row: ShelfRow, sheet: Sheet | None) -> Iterable[str]:
    if row.status == "dry":
        yield "dry, and takes water back: box it"
        return
    if row.days_hung <= NEWEST_DAYS:
        yield "hung today" if row.days_hung == 0 else f"hung {plural(row.days_hung, 'day')} ago"
    if sheet is not None and sheet.drying_days is not None and sheet.drying_days.value[1] >= THICK_DAYS:
        yield f"thick: may take {sheet.drying_days.value[1]:g} days"
    usual = sheet.stems_per_dried_bunch.value[1] if sheet is not None and sheet.stems_per_dried_bunch else 0
    if row.per > max(BIG_BUNCH, usual):
        yield f"bunches of {row.per}"
