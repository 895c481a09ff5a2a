"""The farm's zone, and the day it is there."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from core.clocks import instant
from core.dialect import BRITISH
from core.farm import Farm
from core.units import local_day, zone_of_machine


def zone(farm: Farm) -> str:
    """The farm's time zone: as written, else the machine's."""
    return farm.settings.zone or zone_of_machine()


def lacks_zone(farm: Farm) -> bool:
    """Whether nobody said the zone of a farm whose place is known: neither the farm nor this machine, which has UTC."""
    s = farm.settings
    return s.latitude is not None and s.longitude is not None and not s.zone and zone_of_machine() == "UTC"


def example_zone(farm: Farm) -> str:
    """A zone as it is written, of no other country than the farm may lie in."""
    s = farm.settings
    if (s.latitude or 0) < 0:
        return "REGION/CITY"
    return "Europe/London" if s.words == BRITISH else "America/New_York"


def day_there(farm: Farm) -> date:
    """The day it is on the farm now, by this machine's clock."""
    return local_day(datetime.now(UTC), zone(farm))


def day_ends(farm: Farm, day: date) -> datetime:
    """When that day is over on the farm."""
    return instant((day + timedelta(days=1)).isoformat(), "00:00", zone(farm))
