"""Tonight in the drying shed: what the cold makes of the air there is, and which lots damp air hurts first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from core.crops.sheet import Sheet
from core.dialect import told_degrees, told_difference
from core.drying.rows import ShelfRow, shelf_rows
from core.farm import Farm
from core.marked import typed_degrees, typed_low
from core.reckon.climate.air import c_from_f, dew_point_c, f_from_c, saturation_kpa
from core.settings.sheets import farm_sheet
from core.shed.air import FRESH_HOURS, MOLD_BEGINS_RH, AirNow, ranges_of, room_air
from core.shed.kinds import SHED
from core.units import middle, plural
from core.weather.night import forecast_f

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


class NightAir(NamedTuple):
    """What the present air comes to in tonight's cold, if it keeps its water: a warning, not a forecast.

    `shed_low_f` is the low reckoned with in the shed; `rh` the humidity there, `open_rh` that of a shed as cold as
    outdoors. `warns` from `MOLD_BEGINS_RH` on.
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
        return (
            "Tonight's air in the shed needs a reading of degrees and humidity from today: "
            f"'shed {typed_degrees(72)} 55%'."
        )
    found = expected or forecast_low(farm, day)
    if found is None:
        return f"Tonight's air in the shed needs the low that is forecast: 'tonight {typed_low(48)}'."
    outdoors, low_from = found
    vapour = saturation_kpa(c_from_f(last.f)) * last.rh / 100
    offset = own_offset(farm, day)
    if offset is not None:
        nights, above = offset
        low = min(last.f, outdoors + max(above, 0.0))
        because = (
            f"on {nights} of your nights the shed stayed about {told_difference(round(max(above, 0.0)), '.0f')} "
            "above outdoors"
        )
    else:
        low = last.f - FOLLOWS * max(0.0, last.f - outdoors)
        because = (
            f"a closed shed is taken to cool half of the way to {told_degrees(outdoors)} outdoors (assumed)"
        )
    rh, open_rh = rh_at(vapour, c_from_f(low)), rh_at(vapour, c_from_f(min(outdoors, last.f)))
    warns = rh >= MOLD_BEGINS_RH
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
    forecast = forecast_f(farm, day)
    return None if forecast is None else (forecast, f"forecast low {told_degrees(forecast)}")


def own_offset(farm: Farm, day: date) -> tuple[int, float] | None:
    """(nights, F that the shed's low usually stood above that outdoors), of nights whose lows are both written.

    The shed's low of a night is that of a max-min thermometer read on two mornings running; None for too few.
    """
    above = [
        one.reached.low_f - outside
        for one in ranges_of(farm, SHED, day)
        if one.reached.low_f is not None
        and one.reset_on == (date.fromisoformat(one.on) - timedelta(days=1)).isoformat()
        and (outside := farm.weather_on(date.fromisoformat(one.on)).low) is not None
    ]
    if len(above) < OWN_NIGHTS:
        return None
    return len(above), middle(above)


def _night_says(rh: float, open_rh: float, low: float, outdoors: float) -> str:
    closed = "dew" if rh >= 100 else f"about {rh:.0f} % RH"
    wide_open = "dew" if open_rh >= 100 else f"{open_rh:.0f} %"
    if rh >= MOLD_BEGINS_RH:
        return (
            f"tonight the air gives water back: {closed} at {told_degrees(round(low))} in the shed "
            f"({wide_open} if it is open to "
            f"{told_degrees(round(outdoors))}). Close up at night and in wet weather [S55 S115]."
        )
    if open_rh >= MOLD_BEGINS_RH:
        return (
            f"tonight about {rh:.0f} % RH in a closed shed, but {wide_open} in one open to "
            f"{told_degrees(round(outdoors))}: "
            "close up at night and in wet weather [S55 S115]."
        )
    return f"tonight about {rh:.0f} % RH at {told_degrees(round(low))} in the shed: it keeps drying."


# what suffers first


def first_at_risk(farm: Farm, day: date, hanging: Sequence[ShelfRow] | None = None) -> list[FirstAtRisk]:
    """What hangs that damp air hurts first: those with most reasons, then the newest."""
    found = []
    for row in shelf_rows(farm, day) if hanging is None else hanging:
        lot = farm.lots.get(row.lot)
        if why := tuple(_why(row, farm_sheet(farm, row.crop, lot.way if lot else None, row.variety))):
            found.append((-len(why), row.days_hung, FirstAtRisk(
                row.lot, row.crop, row.variety, row.line, row.stems, why)))  # fmt: skip
    return [one for *_, one in sorted(found, key=lambda each: (each[0], each[1], each[2].lot))]


def _why(row: ShelfRow, sheet: Sheet | None) -> Iterable[str]:
    if row.status == "dry":
        yield "dry, and picks up damp: box it"
        return
    if row.days_hung <= NEWEST_DAYS:
        yield "hung today" if row.days_hung == 0 else f"hung {plural(row.days_hung, 'day')} ago"
    if sheet is not None and sheet.drying_days is not None and sheet.drying_days.value[1] >= THICK_DAYS:
        yield f"thick: may take {sheet.drying_days.value[1]:g} days"
    usual = sheet.stems_per_dried_bunch.value[1] if sheet is not None and sheet.stems_per_dried_bunch else 0
    if row.per > max(BIG_BUNCH, usual):
        yield f"bunches of {row.per}"
