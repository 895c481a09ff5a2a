"""Tonight: the low to expect beside the forecast she typed, what it puts at risk, and when in the night.

The low is reckoned as in FAO's Frost Protection (Snyder and de Melo-Abreu 2005), from her own clear nights. It
is an estimate for clear, calm nights; the forecast, and the plants, have the last word.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Literal

from core.beds.rows import TONIGHT, bed_rows
from core.dialect import told_about, told_degrees, told_difference, told_time
from core.farm import Farm
from core.happened import NO_READINGS
from core.marked import typed_low
from core.problems import Problem
from core.reckon.climate.night_low import FEWEST_NIGHTS, Course, course
from core.reckon.climate.sun import Sun, sun
from core.settings.local_time import zone
from core.trays.rows import tray_rows
from core.units import plural
from core.weather.ahead import NightAhead, nights_ahead
from core.weather.night import GROUND_COLDER_F, calibrated, estimate, forecast_f, low_ahead, planting_tonight

DAWN = "08:00"
"""By then every night is over, or all but."""


@dataclass(frozen=True, slots=True)
class AtRisk:
    """A tray out tonight, or a planting in a bed without cover, whose guard is reached.

    `guard_f` is the thermometer reading at which to act, `at` when in the night it is crossed ("02:40"; None
    where that cannot be reckoned). `sure` is not set where only the spread of the estimate reaches the guard.
    """

    what: Literal["tray", "planting"]
    code: str
    crop: str
    bed: str | None
    guard_f: float
    at: str | None
    sure: bool
    do: str
    because: str


@dataclass(frozen=True, slots=True)
class Tonight:
    """The night to come. `low_f` is what is reckoned with: the lower of estimate and forecast.

    `nights` clear nights are written, `missing` more are needed for an estimate. `course` are the hours of the
    night, ("21:30", F), where it is clear, and dusk reading and place are known. Every time is the farm's.
    """

    day: str
    forecast_f: float | None
    dusk_f: float | None
    dew_f: float | None
    estimate_f: float | None
    spread_f: float | None
    nights: int
    missing: int
    low_f: float | None
    sunset: str | None
    sunrise: str | None
    course: tuple[tuple[str, float], ...]
    at_risk: tuple[AtRisk, ...]
    says: tuple[str, ...]
    ahead: tuple[NightAhead, ...] = ()
    """The nights after this one whose forecast is written."""


def tonight(farm: Farm, day: date) -> Tonight:
    """The night after `day`, F and the farm's clock, reckoned from the forecast and the readings at dusk."""
    today = farm.weather_on(day)
    forecast, dusk, dew = forecast_f(farm, day), today.dusk, today.dew
    says: list[str] = []
    reckoned, spread = _estimate(farm, day, says)
    lows = [low for low in (forecast, reckoned) if low is not None]
    low = min(lows, default=None)
    if low is None:
        says.append(f"No forecast is written: 'tonight {typed_low(38)}'.")
    night = _night(farm, day, says)
    cooling = _course(night, dusk, low, says) if today.clear else None
    risky = _at_risk(farm, day, night, cooling)
    return Tonight(
        day=day.isoformat(),
        forecast_f=forecast,
        dusk_f=dusk,
        dew_f=dew,
        estimate_f=None if reckoned is None else round(reckoned, 1),
        spread_f=None if spread is None else round(spread, 1),
        nights=len(farm.nights),
        missing=max(0, FEWEST_NIGHTS - len(farm.nights)),
        low_f=None if low is None else round(low, 1),
        sunset=night.clock(0) if night else None,
        sunrise=night.clock(night.hours) if night else None,
        course=_hours(night, cooling),
        at_risk=risky,
        says=tuple(says),
        ahead=tuple(nights_ahead(farm, day)),
    )


def tonight_or_now(farm: Farm, day: date, clock: str | None) -> Tonight:
    """The night to come, or before dawn the one that is on; `clock` None where the book is read as of a day."""
    return tonight(farm, day if clock is None else night_on(farm, day, clock))


def night_on(farm: Farm, day: date, clock: str) -> date:
    """The day whose night is meant at that hour ("01:30"): before dawn, with nothing written of the new day yet,
    that is the night that is still on.
    """
    before = day - timedelta(days=1)
    evening = farm.weather_on(before)
    is_told = evening.dusk is not None or evening.tonight is not None
    is_on = clock < DAWN and is_told and farm.weather_on(day) == NO_READINGS
    return before if is_on else day


def line_for_brief(found: Tonight) -> str:
    """One line of the morning page once the dusk reading is written; "" where there is nothing to say."""
    if found.estimate_f is None and not found.at_risk:
        return ""
    parts = []
    if found.estimate_f is not None:
        beside = "" if found.forecast_f is None else f" (forecast {typed_low(found.forecast_f)})"
        parts.append(f"about {told_about(found.estimate_f)} if it stays clear{beside}")
    if found.at_risk:
        first = min((one.at for one in found.at_risk if one.at), key=_after_noon, default=None)
        trays = sum(one.what == "tray" for one in found.at_risk)
        counts = [
            plural(count, word)
            for count, word in ((trays, "tray"), (len(found.at_risk) - trays, "planting"))
            if count
        ]
        parts.append(f"{' and '.join(counts)} at risk" + (f" from {told_time(first)}" if first else ""))
    return f"tonight {', '.join(parts)}."


def _after_noon(clock: str) -> tuple[bool, str]:
    """Evening before morning."""
    return clock < "12:00", clock


# The low


def _estimate(farm: Farm, day: date, says: list[str]) -> tuple[float | None, float | None]:
    """The low and its spread, F, from the dusk reading; None, and why, where it cannot be reckoned."""
    today = farm.weather_on(day)
    if today.dusk is None:
        says.append(
            f"No dusk reading yet: two hours after sunset write 'dusk {typed_low(52)} dew {typed_low(44)} clear' "
            f"({plural(len(farm.nights), 'clear night')} written so far)."
        )
        return None, None
    if not today.clear:
        says.append("The night is not marked clear: the low is not reckoned, keep to the forecast.")
        return None, None
    fit = calibrated(farm)
    if isinstance(fit, Problem):
        missing = FEWEST_NIGHTS - len(farm.nights)
        more = f" {missing} more, each with its low next morning." if missing > 0 else ""
        says.append(f"{fit.sentence}{more}")
        return None, None
    found = estimate(farm, day)
    if found is None:
        says.append("Your nights say it would not cool below the dusk reading: keep to the forecast.")
        return None, None
    says.append(
        f"From {fit.nights} of your clear nights, two in three within {told_difference(found[1])} "
        "(two-step regression, FAO Frost Protection 2005); an estimate beside the forecast, not in its place."
    )
    return found


# The night


@dataclass(frozen=True, slots=True)
class _Night:
    sunset: datetime
    hours: float
    there: datetime

    def clock(self, after_sunset: float) -> str:
        """The farm's clock so many hours after sunset, to the minute."""
        moment = self.sunset + timedelta(hours=after_sunset, seconds=30)
        return moment.astimezone(self.there.tzinfo).strftime("%H:%M")


def _night(farm: Farm, day: date, says: list[str]) -> _Night | None:
    latitude, longitude = farm.settings.latitude, farm.settings.longitude
    if latitude is None or longitude is None:
        says.append("When in the night needs the farm's place: 'farm latitude 44.1 longitude -72.6'.")
        return None
    evening, morning = (sun(one, latitude, longitude, zone(farm)) for one in (day, day + timedelta(days=1)))
    if not isinstance(evening, Sun) or not isinstance(morning, Sun):
        return None
    if evening.sunset is None or morning.sunrise is None:
        says.append("The sun does not set, or does not rise, at this time of the year.")
        return None
    down, up = evening.sunset.astimezone(UTC), morning.sunrise.astimezone(UTC)
    return _Night(down, (up - down) / timedelta(hours=1), evening.sunset)


def _course(night: _Night | None, dusk: float | None, low: float | None, says: list[str]) -> Course | None:
    if night is None or dusk is None or low is None:
        return None
    found = course(dusk, low, night.hours)
    if isinstance(found, Problem):
        says.append(found.sentence)
        return None
    return found


def _hours(night: _Night | None, cooling: Course | None) -> tuple[tuple[str, float], ...]:
    if night is None or cooling is None:
        return ()
    hours = [float(h) for h in range(2, int(night.hours) + 1)]
    return tuple((night.clock(h), round(cooling.at(h), 1)) for h in (*hours, night.hours))


# What is at risk


def _at_risk(farm: Farm, day: date, night: _Night | None, cooling: Course | None) -> tuple[AtRisk, ...]:
    """Trays first, then beds, each from the one that is reached first; `core.weather.night` says what is at risk."""
    low = low_ahead(farm, day)
    if low is None:
        return ()

    def crossed(guard: float) -> str | None:
        hours = cooling.crosses(guard) if cooling is not None else None
        return night.clock(hours) if night is not None and hours is not None else None

    rows = [
        AtRisk(
            "tray", tray.tray, tray.crop, None, tray.guard_f, crossed(tray.guard_f), low.f < tray.guard_f,
            "bring in", f"hardening: not left out below {told_degrees(tray.guard_f)}",
        )
        for tray in tray_rows(farm, day)
        if tray.tonight == "bring in"
    ]  # fmt: skip
    for bed in bed_rows(farm, day):
        for row in bed.plantings:
            if row.job not in TONIGHT:
                continue
            planting = farm.plantings.get(row.planting)
            assert planting is not None
            _, guard = planting_tonight(farm, planting, farm.beds.get(bed.bed), low, day)
            assert guard is not None
            why = f"{row.because}; leaves may be {told_difference(GROUND_COLDER_F, 'g')} colder than the air"
            rows.append(
                AtRisk(
                    "planting", row.planting, row.crop, bed.bed, guard, crossed(guard), low.f < guard,
                    TONIGHT[row.job], why,
                )
            )  # fmt: skip
    return tuple(sorted(rows, key=lambda row: (row.what != "tray", -row.guard_f, row.code)))
