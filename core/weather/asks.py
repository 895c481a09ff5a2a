"""What the weather has to say to the morning: the line of readings, the season, and what to take care of."""

from __future__ import annotations

from datetime import date, timedelta

from core.asks import Alert, Sight
from core.dialect import told_degrees, told_time, told_wind
from core.farm import Farm
from core.marked import typed_low
from core.reckon.climate.sky import clock_of_sunrise
from core.settings.local_time import lacks_zone, zone
from core.settings.sheets import frosts, season_year
from core.units import WEEKDAYS, plural, short_day
from core.weather.kinds import AVERAGE
from core.weather.night import FREEZING_F, GROUND_COLDER_F, forecast_f, low_ahead, nights_to_come

HOT_F = 85
"""A high from which a heat caution stands on the page: the usual bands begin at 80 to 90 F (weather service)."""


def sun_up(farm: Farm, day: date) -> str:
    """ "05:08", by the farm's clock; "" where its place is not known."""
    latitude, longitude = farm.settings.latitude, farm.settings.longitude
    if latitude is None or longitude is None or lacks_zone(farm):
        return ""
    return clock_of_sunrise(day, latitude, longitude, zone(farm))


def season(farm: Farm, day: date) -> tuple[str, str]:
    """("12 days to the average last frost, 14 May", "12 d to last frost"); "" twice where no frost date is known, and
    the short one too once nothing is ahead."""
    frost = frosts(farm, season_year(farm, day))
    last, first = frost.last_frost, frost.autumn.get(AVERAGE)
    if last and day < last:
        days = (last - day).days
        return (
            f"{plural(days, 'day')} to the average last frost, {short_day(last)}",
            f"{days} d to last frost",
        )
    if first and day <= first:
        days = (first - day).days
        return (
            f"{plural(days, 'day')} to the average first frost, {short_day(first)}",
            f"{days} d to first frost",
        )
    if last and not first:
        return f"{plural((day - last).days, 'day')} since the average last frost, {short_day(last)}", ""
    return "", ""


def readings(farm: Farm, day: date) -> str:
    """The day's readings in one line, or what to write where there are none."""
    today, before = farm.weather_on(day), farm.weather_on(day - timedelta(days=1))
    parts = []
    if today.low is not None:
        parts.append(f"low last night {told_degrees(today.low)}")
    high = before.high if today.high is None else today.high
    if high is not None:
        parts.append(f"high {'so far' if today.high is not None else 'yesterday'} {told_degrees(high)}")
    if (forecast := forecast_f(farm, day)) is not None:
        parts.append(f"forecast tonight {told_degrees(forecast)}")
    if later := _coldest_later(farm, day):
        parts.append(f"forecast {later}")
    if today.wind is not None:
        parts.append(f"wind {told_wind(today.wind)}")
    if not parts:
        return f"no reading today: write 'low {typed_low(41)}', 'tonight {typed_low(38)}'"
    return ", ".join(parts)


def now_in_short(farm: Farm, day: date) -> str:
    """ "night 51 F, tonight 47 F, yesterday 85 F": the readings as the head of the page tells them."""
    today, before = farm.weather_on(day), farm.weather_on(day - timedelta(days=1))
    tonight, high = forecast_f(farm, day), before.high if today.high is None else today.high
    parts = [
        f"night {told_degrees(today.low)}" if today.low is not None else "",
        f"tonight {told_degrees(tonight)}" if tonight is not None else "",
        _coldest_later(farm, day),
        f"{'high' if today.high is not None else 'yesterday'} {told_degrees(high)}"
        if high is not None
        else "",
        f"wind {told_wind(today.wind)}" if today.wind is not None else "",
    ]
    return (
        ", ".join(filter(None, parts))
        or f"no reading today: write 'low {typed_low(41)}', 'tonight {typed_low(38)}'"
    )


def _coldest_later(farm: Farm, day: date) -> str:
    """ "Sat 31 F": the coldest of the nights after this one whose forecast is written; "" where none is."""
    later = [(low.f, night) for night, low in nights_to_come(farm, day) if night > day]
    if not later:
        return ""
    f, night = min(later)
    return f"{WEEKDAYS[night.weekday()]} {told_degrees(f)}"


def cautions(sight: Sight) -> list[Alert]:
    """What the night, frost and heat ask her to take care of."""
    farm, day = sight.farm, sight.day
    today = farm.weather_on(day)
    alerts: list[Alert] = []
    if today.dusk is not None or _coldest_later(farm, day):
        from core.weather.night_alerts import night_alerts  # loaded only where something is known of a night

        alerts += night_alerts(farm, day)
    high = farm.weather_on(day - timedelta(days=1)).high if today.high is None else today.high
    if high is not None and high >= HOT_F:
        when = cool_until(farm, day)
        until = f"by {told_time(when)}" if when else "at dawn"
        says = f"heat ({told_degrees(high)}): cut {until}, water every 15-20 min, shade; confusion: get help."
        alerts.append(Alert("heat", says))
    return alerts


def cold_ahead(farm: Farm, day: date) -> str:
    """ "frost may come (34 F forecast), low ground first": begins what the night asks; "" where no low is known."""
    low = low_ahead(farm, day)
    if low is None:
        return ""
    word = "frost may come" if low.least <= FREEZING_F + GROUND_COLDER_F else "a cold night"
    return f"{word} ({low.says}), low ground first"


def cool_until(farm: Farm, day: date) -> str:
    """ "08:08": by when to have cut, where the farm's place is known; else ""."""
    latitude, longitude = farm.settings.latitude, farm.settings.longitude
    if latitude is None or longitude is None or lacks_zone(farm):
        return ""
    from core.reckon.climate.sun import Sun, clock, cutting_windows, sun  # only where the place is known

    today = sun(day, latitude, longitude, zone(farm))
    windows = cutting_windows(today) if isinstance(today, Sun) else ()
    return clock(windows[0].end) if windows else ""
