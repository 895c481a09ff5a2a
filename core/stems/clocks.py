"""When things happened in the shed, to the minute: hours between two entries, daylight saving and all."""

from __future__ import annotations

from datetime import date, datetime, time

MORNING = "07:00"
"""What stands for the time of day where none was written: the work of the morning (common practice)."""


def instant(day: str, clock: str | None, zone: str) -> datetime:
    """The instant of a farm-local day ("YYYY-MM-DD") and time ("HH:MM"; seven in the morning where None)."""
    from zoneinfo import ZoneInfo

    at = time.fromisoformat(clock or MORNING)
    return datetime.combine(date.fromisoformat(day), at, ZoneInfo(zone))


def hours_between(day: str, clock: str | None, later_day: str, later_clock: str | None, zone: str) -> float:
    """Hours that went by from one farm-local time to another, by the sun and not by the clock on the wall."""
    from datetime import UTC

    gone = instant(later_day, later_clock, zone).astimezone(UTC) - instant(day, clock, zone).astimezone(UTC)
    return gone.total_seconds() / 3600
