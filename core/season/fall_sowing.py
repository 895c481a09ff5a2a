"""What is sown in the bed in fall for the flowers of the next year, where the winters of the place allow it."""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple

from core.crops.date_words import cite
from core.farm import Farm
from core.settings.sheets import farm_sheet, frosts, season_year
from core.units import short_day

FIRST_FROST = 32, 50
"""The first frost of fall from which the weeks count back: 32 F in every second year."""


class FallSowing(NamedTuple):
    """The days of this fall on which a crop is sown in the bed; `because` names the winters it needs and the source."""

    crop: str
    first: date
    last: date
    because: str

    @property
    def days(self) -> str:
        """ "20 Aug to 3 Sep"."""
        return f"{short_day(self.first)} to {short_day(self.last)}"


def fall_sowing(farm: Farm, crop: str, day: date, variety: str | None = None) -> FallSowing | None:
    """When a crop is sown this fall; None where its sheet has no such sowing, no first frost is typed, the farm's
    winters are colder than those it lives through, or the last day is past."""
    sheet = farm_sheet(farm, crop, variety=variety)
    frost = frosts(farm, season_year(farm, day)).autumn.get(FIRST_FROST)
    if sheet is None or sheet.fall_sow_weeks is None or frost is None:
        return None
    zone, winters = sheet.fall_sow_zone, farm.settings.winters
    if zone is not None and winters is not None and winters < zone.value:
        return None
    first, last = (frost - timedelta(weeks=weeks) for weeks in reversed(sheet.fall_sow_weeks.value))
    if day > last:
        return None
    why = f"{sheet.fall_sow_weeks.text} weeks before the first frost {cite(sheet.fall_sow_weeks)}"
    if zone is not None and winters is None:
        why += f", where winters are of zone {zone.text} or milder: 'farm winters {zone.text}' tells yours"
    return FallSowing(crop, first, last, why)
