"""From when to when a planting can be cut, and why: by its sheet, by warmth, by what it did before, until frost."""

from __future__ import annotations

from datetime import date, timedelta

from core.beds.bloom import first_cut_in_bloom
from core.crops.calendar import crop_dates, cutting_ends
from core.crops.course import (
    first_season,
    flowers_again,
    flowers_next_year,
    is_biennial,
    stays,
    summer_year,
)
from core.crops.frost_dates import Frost
from core.crops.sheet import Figure, MonthDay, Sheet
from core.crops.windows import Window
from core.farm import Farm, Planting
from core.problems import Problem
from core.settings.sheets import frosts, in_south, planting_sheet, season_year, year_of
from core.units import short_day

COMES_AGAIN_WEEKS = 6
"""From so many weeks of cutting on, a crop that is not hardy goes on until frost (common practice)."""
UNSEEN_DAYS = 28
"""Days past the usual first frost after which a crop is taken to be over where no low was written since then (ours)."""


def days_of_cutting(
    farm: Farm, sheet: Sheet | None, planting: Planting, out: date, day: date, warm: Window | Problem | None
) -> tuple[date | None, date | None, str]:
    """(first day to cut, last day, why). Its own first cut, once written, stands in place of the reckoned one."""
    if sheet is None:
        return None, None, f"the library has no {planting.crop}"
    south = in_south(farm)
    if (figure := sheet.first_cut_year) is not None and planting.first_cut is None and stays(sheet):
        first_year = first_season(sheet, out, south=south)
        if summer_year(day, south=south) < first_year:
            return (
                None,
                None,
                f"first cut in year {figure.text} from planting [{figure.source}]: in {first_year}",
            )
    is_later = summer_year(out, south=south) < summer_year(day, south=south)
    if flowers_again(sheet) and (is_later or flowers_next_year(sheet, out, south=south)):
        return _by_own_record(farm, sheet, planting, day)
    return _in_first_season(farm, sheet, planting, out, day, warm)


def is_at_stage(farm: Farm, planting: Planting, day: date) -> bool:
    """Whether a planting is in its days of cutting, by its sheet and its record."""
    sheet, out = planting_sheet(farm, planting), date.fromisoformat(planting.out_on)
    first, last, _ = days_of_cutting(farm, sheet, planting, out, day, None)
    return first is not None and last is not None and first <= day <= last


def _in_first_season(
    farm: Farm, sheet: Sheet, planting: Planting, out: date, day: date, warm: Window | Problem | None
) -> tuple[date | None, date | None, str]:
    """As `days_of_cutting`, for what flowers in the season in which it was set out on `out`."""
    frost = frosts(farm, season_year(farm, out))
    if planting.drilled:
        calendar = crop_dates(sheet, frost, sown=out, direct=True)
    else:
        calendar = crop_dates(sheet, frost, set_out=out)
    first, last = calendar.windows.get("first_cut"), calendar.windows.get("last_cut")
    start = first.start if first else None
    end = last.end if last else None
    if end is not None and day > end and start is not None:
        end = _until_frost(farm, sheet, frost, start, day, end)
    because = first.because if first else "no days to the first cut on the sheet"
    if isinstance(warm, Problem):
        because = f"{because} Not by heat units: {warm.sentence}"
    elif warm is not None:
        start, because = warm.start, warm.because
        if sheet.cut_weeks is not None:
            weeks_end = warm.end + timedelta(weeks=sheet.cut_weeks.value[1])
            ends = cutting_ends(sheet, frost)
            usual = min(weeks_end, ends[0]) if ends and ends[0] > start else weeks_end
            end = usual if day <= usual else _until_frost(farm, sheet, frost, start, day, usual)
    if planting.first_cut:
        start = date.fromisoformat(planting.first_cut)
        because = f"first cut {short_day(start)}"
        if sheet.cut_weeks is not None:
            weeks_end = start + timedelta(weeks=sheet.cut_weeks.value[1])
            usual = min(end, weeks_end) if end and end > start and frost.autumn else weeks_end
            end = usual if day <= usual else _until_frost(farm, sheet, frost, start, day, usual)
            because += f", cut for {sheet.cut_weeks.text} weeks [{sheet.cut_weeks.source}]"
    return start, end or (start + timedelta(weeks=4) if start else None), because


def _until_frost(farm: Farm, sheet: Sheet, frost: Frost, start: date, day: date, usual: date) -> date:
    """The last day to cut, once the usual one has gone by: frost that came ends a crop, not the average of years.

    What is cut again and again, and is not hardy, goes on until then; all else for the weeks of its sheet. Where no low
    was written since the usual frost, nobody can tell, and it is taken to be over some weeks later.
    """
    most = start + timedelta(weeks=sheet.cut_weeks.value[1]) if sheet.cut_weeks is not None else usual
    if sheet.hardiness_class != "hardy" and sheet.cut_weeks and sheet.cut_weeks.value[1] >= COMES_AGAIN_WEEKS:
        most = max(most, day)
    ends = cutting_ends(sheet, frost)
    since = ends[0] if ends else usual
    read = any(seen.low is not None for on, seen in farm.weather.items() if since.isoformat() < on)
    if ends and not read:
        most = min(most, since + timedelta(days=UNSEEN_DAYS))
    return max(most, usual)


def _by_own_record(
    farm: Farm, sheet: Sheet, planting: Planting, day: date
) -> tuple[date | None, date | None, str]:
    """As `days_of_cutting`, for what has stood since an earlier year, of which days from setting out tell nothing: its
    own first cut says when, else that of others of its crop here, else the weeks of its sheet."""
    weeks_of_cutting = timedelta(weeks=sheet.cut_weeks.value[1] if sheet.cut_weeks else 4)
    seen, of = first_cut_in_bloom(farm, planting, sheet), ""
    if sheet.bloom is not None and (
        seen is None or year_of(farm, date.fromisoformat(seen)) != year_of(farm, day)
    ):
        return _by_bloom(sheet.bloom, date.fromisoformat(planting.out_on), day, weeks_of_cutting)
    if seen is None:
        others = [
            p
            for p in farm.plantings.live()
            if (p.crop, p.way) == (planting.crop, planting.way)
            and _goes_as(farm, p, sheet)
            and first_cut_in_bloom(farm, p, sheet)
        ]
        if others:
            like = [p for p in others if p.variety == planting.variety] or others
            first = min(like, key=lambda p: (p.first_cut or "")[5:])
            seen, of = first.first_cut, f" of {first.code} in {first.bed}"
    if seen is not None:
        on, this = date.fromisoformat(seen), year_of(farm, day)
        before, start = (
            on + timedelta(days=round(365.25 * (year - year_of(farm, on)))) for year in (this - 1, this)
        )
        if on <= before and day <= before + weeks_of_cutting:  # what began in December goes on in January
            start = before
        because = f"first cut{of} {short_day(on)}" + ("" if on.year == day.year else f" {on.year}")
        return start, start + weeks_of_cutting, because
    flowers, out = sheet.flowers_weeks, date.fromisoformat(planting.out_on)
    for year in (season_year(farm, day), season_year(farm, day) + 1):
        last = frosts(farm, year).last_frost
        if last is None or flowers is None:
            break
        least, most = (last + timedelta(weeks=count) for count in flowers.value)
        if out < least:  # what was planted after it flowers in the next
            because = f"{flowers.text} weeks from the last frost [{flowers.source}]"
            return least, most + weeks_of_cutting, f"{because}; its own first cut, once written, tells it"
    return None, None, f"no day known: its first cut tells it, or '{sheet.crop} blooms 1 july'"


def _goes_as(farm: Farm, other: Planting, sheet: Sheet) -> bool:
    """Whether another planting stood the winter too, or did not: what is sown in spring tells nothing of it."""
    found = planting_sheet(farm, other)
    return found is not None and is_biennial(found) == is_biennial(sheet)


def _by_bloom(
    bloom: Figure[MonthDay], out: date, day: date, weeks_of_cutting: timedelta
) -> tuple[date, date, str]:
    """As `days_of_cutting`, by the day on which she said that it blooms: the one that is on, or the next."""
    years = (year for year in (day.year - 1, day.year, day.year + 1) if out < bloom.value.of(year))
    start = next(
        (on for on in map(bloom.value.of, years) if day <= on + weeks_of_cutting),
        bloom.value.of(day.year + 1),
    )
    return start, start + weeks_of_cutting, f"blooms here from {bloom.text} [{bloom.source}]"
