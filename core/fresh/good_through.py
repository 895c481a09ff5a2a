"""Until when what is fresh can be handed over: one answer, for what is picked and for what is promised."""

from __future__ import annotations

from datetime import date, timedelta
from math import floor

from core.crops.sheet import Sheet
from core.fresh.rows import FreshRow, buyer_needs
from core.places import COOLER
from core.plans.crop_season import COOLER_C
from core.plans.defaults import LONGEST_HOLD
from core.reckon.vase_life import Q10, ageing_factor

LONGEST_DAYS = 365


def good_through(row: FreshRow, sheet: Sheet | None, day: date) -> date:
    """The last day on which fresh stems can be handed over: they have as much left as a buyer needs then.

    Measured at the middle of what is left, as the page measures what is to be sold first; in the cooler a day takes
    less of it, but no stem stays there longer than its sheet bears, nor, where nobody says what it bears, than is
    counted on for any; out of it what is left of its life counts. Where no vase life is known, tomorrow (ours).
    """
    if row.left_days is None or sheet is None:
        return day + timedelta(days=1)
    over = sum(row.left_days) / 2 - buyer_needs(sheet)
    if over < 0:
        return day - timedelta(days=1)
    if row.place != COOLER:
        return day + timedelta(days=floor(over))
    q10 = sheet.vase_q10.value if sheet.vase_q10 is not None else Q10
    stays = floor(over / ageing_factor(COOLER_C, q10))
    stood = (day - date.fromisoformat(row.since)).days
    if sheet.storage_days_max is not None:
        stays = min(stays, max(round(sheet.storage_days_max.value) - stood, 0))
    else:
        stays = min(stays, max(LONGEST_HOLD - stood, floor(over)))
    return day + timedelta(days=min(stays, LONGEST_DAYS))
