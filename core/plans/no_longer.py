"""Plans that can be kept no longer: nothing stands for them any more, or what is sown now comes too late."""

from __future__ import annotations

from datetime import date, timedelta

from core.crops.calendar import crop_dates
from core.dialect import told_degrees
from core.farm import Farm
from core.plan_rows import Kept
from core.plans.defaults import USUAL
from core.settings.sheets import farm_sheet, frosts, in_south, planting_sheet, season_year
from core.units import plural, short_day
from core.weather.night import killed_on


def gone(farm: Farm, plan: Kept, day: date) -> str:
    """That nothing stands for a plan any more, and what ended it; "" where something does, or is still in a tray."""
    if any(t.is_live for s in plan.sown if (t := farm.trays.get(s.code)) is not None):
        return ""
    ended = []
    stood = (farm.plantings.get(out.planting) for out in (*plan.out, *plan.beside))
    for planting in filter(None, stood):
        sheet = planting_sheet(farm, planting)
        killed = killed_on(planting, sheet, day, south=in_south(farm)) if sheet is not None else None
        if planting.is_live and killed is None:
            return ""
        ended.append(
            f"{planting.code} {f'low {told_degrees(killed[1])} on {short_day(killed[0])}' if killed else 'cleared'}"
        )
    return f"nothing stands for it any more ({', '.join(ended)})" if ended else ""


def too_late(farm: Farm, plan: Kept, first_cut: str | None) -> str:
    """The first cut is due after the last day on which stems could still be cut, and dried, for the promise."""
    if plan.first_cut is not None or first_cut is None:
        return ""
    sheet = farm_sheet(farm, plan.crop, plan.way, plan.variety)
    drying = timedelta()
    if plan.use != "fresh" and sheet is not None and sheet.drying_days is not None:
        drying = timedelta(days=round(sheet.drying_days.value[1] + USUAL["finish_days"].value))
    by, first = date.fromisoformat(plan.by), date.fromisoformat(first_cut)
    late = (first + drying - by).days
    if late <= 0:
        return ""
    dried = f", dry {short_day(first + drying)}" if drying else ""
    return f"first cut {short_day(first)}{dried}: {plural(late, 'day')} too late for {short_day(by)}"


def is_hopeless(farm: Farm, plan: Kept, day: date) -> bool:
    """Whether no stem of what is sown today would come in time, were it as early and dried as fast as it may be; the
    calendar has no first cut after the frost that ends it."""
    sheet = farm_sheet(farm, plan.crop, plan.way, plan.variety)
    if sheet is None or plan.sow_on is None or plan.sow_on >= day.isoformat():
        return False
    frost = frosts(farm, season_year(farm, date.fromisoformat(plan.sow_on)))
    window = crop_dates(sheet, frost, sown=day, direct=plan.set_out_on is None).windows.get("first_cut")
    dries = sheet.drying_days.value[0] if plan.use != "fresh" and sheet.drying_days is not None else 0
    return window is None or window.start + timedelta(days=round(dries)) > date.fromisoformat(plan.by)
