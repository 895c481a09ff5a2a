"""How long lots took to dry, or have hung so far, against the range that is expected of each."""

from __future__ import annotations

from datetime import date

from core.drying.clock import days_for
from core.farm import Farm, Lot
from core.plotted.shapes import Asked, Plotted, Series
from core.settings.sheets import farm_sheet
from core.text import named

MOST_LOTS = 24
"""The newest that are shown: more are no plot (ours)."""
HANGS_STILL = ".."
SNAPS = "snaps"


def drying(farm: Farm, asked: Asked) -> Plotted:
    """Days on the line of the lots that were hung in the year, beside the least and the most by the handbook and, of
    what hangs, by the shed's air."""
    year, day = f"{asked.year:04d}-", asked.day.isoformat()
    lots = [lot for lot in farm.lots.mentioning(year) if asked.crop in ("", lot.crop)]
    told = [
        (hung, lot)
        for lot in lots
        if lot.hung
        and (hung := min(one.on for one in lot.hung)).startswith(year)
        and hung <= day
        and (_snapped(lot, hung) or _hangs(lot))
    ]
    shown = sorted(told, key=lambda one: (one[0], one[1].code))[-MOST_LOTS:]
    labels, days, least, most = [], [], [], []
    for hung, lot in shown:
        snapped = _snapped(lot, hung)
        labels.append(lot.code if snapped else f"{lot.code}{HANGS_STILL}")
        days.append(float((date.fromisoformat(snapped or day) - date.fromisoformat(hung)).days))
        sheet = farm_sheet(farm, lot.crop, lot.way, lot.variety)
        _, _, (low, high) = days_for(farm, lot, sheet, asked.day)
        least.append(round(low, 1))
        most.append(round(high, 1))
    of = f", {asked.crop}" if asked.crop else ""
    newest = f", the newest {len(shown)} of {len(told)}" if len(shown) < len(told) else ""
    title = f"drying{of}{newest}, {HANGS_STILL} hangs still"
    series = (Series("days", tuple(days)), Series("least", tuple(least)), Series("most", tuple(most)))
    notes = tuple(named(lot.crop, lot.variety) for _, lot in shown)
    return Plotted(title, "days on the line", tuple(labels), series, "marks", notes)


def _snapped(lot: Lot, hung: str) -> str | None:
    return min((test.on for test in lot.tests if test.result == SNAPS and test.on >= hung), default=None)


def _hangs(lot: Lot) -> bool:
    return any(place.is_line and held.stems > 0 for place, held in lot.holdings.items())
