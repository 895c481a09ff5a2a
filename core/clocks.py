"""When things happened in the shed, to the minute: hours between two entries, daylight saving and all."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, tzinfo
from functools import cache

MORNING = "07:00"
"""What stands for the time of day where none was written: the work of the morning (common practice)."""


def instant(day: str, clock: str | None, zone: str) -> datetime:
    """The instant of a farm-local day ("YYYY-MM-DD") and time ("HH:MM"; seven in the morning where None)."""
    at = time.fromisoformat(clock or MORNING)
    return datetime.combine(date.fromisoformat(day), at, zone_called(zone))


@cache
def zone_called(name: str) -> tzinfo:
    """The time zone of that name; one that this machine does not know counts as UTC, as everywhere."""
    if name == "UTC":
        return UTC
    from zoneinfo import ZoneInfo  # where a zone really has to be looked up

    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return UTC


def hours_between(day: str, clock: str | None, later_day: str, later_clock: str | None, zone: str) -> float:
    """Hours that went by from one farm-local time to another, with a change to or from daylight saving counted in."""
    gone = instant(later_day, later_clock, zone).astimezone(UTC) - instant(day, clock, zone).astimezone(UTC)
    return gone.total_seconds() / 3600
