"""Which season's plan is drafted on a day."""

from __future__ import annotations

from datetime import date

from core.farm import Farm
from core.settings.sheets import farm_year, year_of

UNTIL_DAYS = 120
"""So many days into a year in which nothing was sown yet, the plan to be drafted is that year's own (ours)."""


def drafted_from(farm: Farm, day: date) -> int:
    """The season from which the plan of that day is drafted: the one that ended, until the first sowing of the one that
    begins; then the one that is on, for the next."""
    year = year_of(farm, day)
    first = farm_year(farm, year).first
    is_begun = any(tray.sown >= first for tray in farm.trays.all()) or any(
        planting.drilled and planting.out_on >= first for planting in farm.plantings.all()
    )
    is_early = (day - date.fromisoformat(first)).days < UNTIL_DAYS
    return year - 1 if is_early and not is_begun else year
