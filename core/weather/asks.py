"""What the weather has to say to the morning: the line of readings, the season, and what to take care of."""

from __future__ import annotations

from datetime import date, timedelta

from core.asks import Sight
from core.beds.rows import GROUND_COLDER_F
from core.farm import Farm
from core.settings.kinds import zone
from core.settings.sheets import frosts, season_year
from core.units import plural, short_day
from core.weather.kinds import AVERAGE

HOT_F = 85
"""A high from which a heat caution stands on the page: the usual bands begin at 80 to 90 F (weather service)."""


def sun_up(farm: Farm, day: date) -> str:
    """ "5:08", by the farm's clock; "" where its place is not known."""
    latitude, longitude = farm.settings.get("latitude"), farm.settings.get("longitude")
    if latitude is None or longitude is None:
        return ""
    from core.reckon.climate.sky import clock_of_sunrise  # the sun costs nothing where no place is known

    return clock_of_sunrise(day, latitude, longitude, zone(farm))


def season(farm: Farm, day: date) -> str:
    """ "12 days to the average last frost, 14 May"; "" where no frost date is known."""
    frost = frosts(farm, season_year(farm, day))
    last, first = frost.last_frost, frost.autumn.get(AVERAGE)
    if last and day < last:
        return f"{plural((last - day).days, 'day')} to the average last frost, {short_day(last)}"
    if first and day <= first:
        return f"{plural((first - day).days, 'day')} to the average first frost, {short_day(first)}"
    if last and not first:
        return f"{plural((day - last).days, 'day')} since the average last frost, {short_day(last)}"
    return ""


def readings(farm: Farm, day: date) -> str:
    """The day's readings in one line, or what to write where there are none."""
    today, before = _weather(farm, day), _weather(farm, day - timedelta(days=1))
    parts = []
    if "low" in today:
        parts.append(f"low last night {today['low']:g} F")
    high = today.get("high", before.get("high"))
    if high is not None:
        parts.append(f"high {'so far' if 'high' in today else 'yesterday'} {high:g} F")
    if "tonight" in today:
        parts.append(f"forecast tonight {today['tonight']:g} F")
    if "wind" in today:
        parts.append(f"wind {today['wind']:g} mph")
    if not parts:
        return "no readings yet today: write 'low 41', 'tonight 38'"
    return ", ".join(parts)


def cautions(sight: Sight) -> list[str]:
    """What the night, frost and heat ask her to take care of."""
    farm, day = sight.farm, sight.day
    today, lines = _weather(farm, day), []
    if "dusk" in today:
        # reckoning a night is loaded on evenings only
        from core.weather.tonight import line_for_brief, tonight

        if line := line_for_brief(tonight(farm, day)):
            lines.append(line)
    forecast = today.get("tonight")
    if forecast is not None and forecast <= 32 + GROUND_COLDER_F:
        lines.append(
            f"frost may come tonight ({forecast:g} F), low ground first: bring trays in, cover the tender."
        )
    high = today.get("high", _weather(farm, day - timedelta(days=1)).get("high", 0))
    if high >= HOT_F:
        when = _cool_until(farm, day)
        lines.append(f"heat ({high:g} F): cut {when}, water every 15-20 min, shade; confusion: get help.")
    return lines


def _weather(farm: Farm, day: date) -> dict[str, float]:
    return farm.weather.get(day.isoformat(), {})


def _cool_until(farm: Farm, day: date) -> str:
    """By when to have cut on a hot day, where the farm's place is known: "by 8:08"; else "at dawn"."""
    latitude, longitude = farm.settings.get("latitude"), farm.settings.get("longitude")
    if latitude is None or longitude is None:
        return "at dawn"
    from core.reckon.climate.sun import Sun, clock, cutting_windows, sun  # on hot days only

    today = sun(day, latitude, longitude, zone(farm))
    windows = cutting_windows(today) if isinstance(today, Sun) else ()
    return f"by {clock(windows[0].end).lstrip('0')}" if windows else "at dawn"
