"""The beds as she walks them: what stands in each, how old it is, what it needs next, and what is at stage."""

from __future__ import annotations

from collections.abc import Callable, Collection
from datetime import date, timedelta
from typing import Literal, NamedTuple, TypeAlias

from core.beds.kinds import Declined, free_feet
from core.crops.calendar import crop_dates, cutting_ends
from core.crops.sheet import Sheet
from core.crops.windows import Window
from core.farm import Bed, Farm, Planting
from core.problems import Problem
from core.settings.sheets import farm_sheet, frosts, season_year
from core.text import natural
from core.units import short_day

Job: TypeAlias = Literal["", "cover tonight", "net", "pinch", "cut", "clear"]
"""What a planting needs next."""

PINCH_DAYS = 21
"""Days after setting out when most are about 12 in tall, the height to pinch at [S44]; the days are common practice."""
NET_DAYS = 14
"""Days after setting out to have the net up: late nets bend stems (common practice)."""
GROUND_COLDER_F = 3
"""How much colder a leaf may be than the thermometer on a clear still night (common practice)."""
LOW_BY_CLASS = {"hardy": 26.0, "half-hardy": 30.0, "tender": 33.0}
"""Lowest a hardened plant bears where its sheet has no figure [S109 S110 S111]."""
SUMMER_MONTH = 7
DONE_AFTER_DAYS = 14
"""Days past its last cut after which a planting is asked to be cleared (common practice)."""


class PlantingRow(NamedTuple):
    """One crop in a bed. `job` is the next thing it needs and `job_on` the day for it; `at_stage` the uses it can
    be cut for today by the calendar or by its own first cut: the plant has the last word."""

    planting: str
    crop: str
    variety: str | None
    way: str | None
    feet: float
    plants: int | None
    since: str
    age_days: int
    job: Job
    job_on: str | None
    due: bool
    at_stage: tuple[str, ...]
    cut_from: str | None
    cut_to: str | None
    last_cut: str | None
    stems_cut: int
    because: str
    first_cut_range: tuple[str, str] | None = None
    """By heat units: the days by which one and nine years in ten come to the first cut, where it is still awaited."""
    first_cut_because: str = ""
    """Why it is expected then, or why heat units cannot tell; "" where the sheet has none."""


class BedRow(NamedTuple):
    """One bed: feet long, inches wide, feet free, covered since when, and its plantings, oldest first."""

    bed: str
    feet: float
    width_in: float
    free_feet: float
    covered_on: str | None
    plantings: tuple[PlantingRow, ...]


ByWarmth = Callable[[Sheet, date, date], Window | Problem]
"""(sheet with heat units, the day it was set out or drilled, today) -> the days to expect its first cut, or why not."""


def bed_rows(farm: Farm, day: date, by_warmth: ByWarmth | None = None) -> list[BedRow]:
    """Every bed, in the order of its name (b2 before b10).

    `by_warmth` reckons a first cut from heat units, for crops whose sheet has them.
    """
    return [_bed_row(farm, farm.beds[code], day, by_warmth) for code in sorted(farm.beds, key=natural)]


def _bed_row(farm: Farm, bed: Bed, day: date, by_warmth: ByWarmth | None) -> BedRow:
    tonight = farm.weather.get(day.isoformat(), {}).get("tonight")
    rows = tuple(_planting_row(farm, bed, p, day, tonight, by_warmth) for p in farm.standing_in(bed.code))
    return BedRow(bed.code, bed.feet, bed.width_in, max(free_feet(farm, bed), 0.0), bed.covered_on, rows)


def _planting_row(
    farm: Farm, bed: Bed, planting: Planting, day: date, tonight: float | None, by_warmth: ByWarmth | None
) -> PlantingRow:
    sheet = farm_sheet(farm, planting.crop, planting.way)
    out = date.fromisoformat(planting.out_on)
    warm = _first_cut_by_warmth(sheet, planting, out, day, by_warmth)
    cut_from, cut_to, because = _cutting(farm, sheet, planting, out, day, warm)
    at_stage = _at_stage(sheet) if cut_from and cut_to and cut_from <= day <= cut_to else ()
    done = (*planting.jobs, *farm.part(Declined).jobs(planting))
    job, job_on, why = _next_job(sheet, planting, done, bed, day, out, cut_from, cut_to, tonight)
    return PlantingRow(
        planting=planting.code,
        crop=planting.crop,
        variety=planting.variety,
        way=planting.way,
        feet=planting.feet,
        plants=None if planting.plants is None else planting.plants - sum(planting.lost.values()),
        since=planting.out_on,
        age_days=(day - out).days,
        job=job,
        job_on=job_on.isoformat() if job_on else None,
        due=job_on is not None and job_on <= day,
        at_stage=at_stage,
        cut_from=cut_from.isoformat() if cut_from else None,
        cut_to=cut_to.isoformat() if cut_to else None,
        last_cut=planting.last_cut,
        stems_cut=planting.stems_cut,
        because=why or because,
        first_cut_range=(warm.start.isoformat(), warm.end.isoformat()) if isinstance(warm, Window) else None,
        first_cut_because=because if warm is not None else "",
    )


def _first_cut_by_warmth(
    sheet: Sheet | None, planting: Planting, out: date, day: date, by_warmth: ByWarmth | None
) -> Window | Problem | None:
    """The first cut by heat units; None where the sheet has none, or where it has been cut or stood the winter."""
    if sheet is None or sheet.heat_units_to_first_cut is None or by_warmth is None or planting.first_cut:
        return None
    return None if _flowers_again(sheet) else by_warmth(sheet, out, day)


def _cutting(
    farm: Farm, sheet: Sheet | None, planting: Planting, out: date, day: date, warm: Window | Problem | None
) -> tuple[date | None, date | None, str]:
    """(first day to cut, last day, why). Its own first cut, once written, stands in place of the reckoned one."""
    if sheet is None:
        return None, None, f"the library has no {planting.crop}"
    if _flowers_again(sheet) and (out.year < day.year or _flowers_next_year(sheet, out)):
        return _by_own_record(sheet, planting, day)
    frost = frosts(farm, season_year(farm, out))
    if planting.drilled:
        calendar = crop_dates(sheet, frost, sown=out, direct=True)
    else:
        calendar = crop_dates(sheet, frost, set_out=out)
    first, last = calendar.windows.get("first_cut"), calendar.windows.get("last_cut")
    start = first.start if first else None
    end = last.end if last else None
    because = first.because if first else "no days to the first cut on the sheet"
    if isinstance(warm, Problem):
        because = f"{because} Not by heat units: {warm.sentence}"
    elif warm is not None:
        start, because = warm.start, warm.because
        if sheet.cut_weeks is not None:
            weeks_end = warm.end + timedelta(weeks=sheet.cut_weeks.value[1])
            ends = cutting_ends(sheet, frost)
            end = min(weeks_end, ends[0]) if ends and ends[0] > start else weeks_end
    if planting.first_cut:
        start = date.fromisoformat(planting.first_cut)
        because = f"first cut {short_day(start)}"
        if sheet.cut_weeks is not None:
            weeks_end = start + timedelta(weeks=sheet.cut_weeks.value[1])
            end = min(end, weeks_end) if end and end > start and frost.autumn else weeks_end
            because += f", cut for {sheet.cut_weeks.text} weeks [{sheet.cut_weeks.source}]"
    return start, end or (start + timedelta(weeks=4) if start else None), because


def _by_own_record(sheet: Sheet, planting: Planting, day: date) -> tuple[date | None, date | None, str]:
    """As `_cutting`, for what has stood since an earlier year, of which days from setting out tell nothing."""
    if planting.first_cut is None:
        return None, None, "standing since an earlier year: its first cut, once written, tells the day"
    seen = date.fromisoformat(planting.first_cut)
    start = seen + timedelta(days=round(365.25 * (day.year - seen.year)))
    weeks_of_cutting = sheet.cut_weeks.value[1] if sheet.cut_weeks else 4
    because = f"first cut {short_day(seen)}" + ("" if seen.year == day.year else f" {seen.year}")
    return start, start + timedelta(weeks=weeks_of_cutting), because


def _stays(sheet: Sheet) -> bool:
    """Perennials, shrubs and bulbs stand for years; those "grown as annual" do not."""
    cycle = sheet.life_cycle.value if sheet.life_cycle else ""
    return cycle.startswith(("perennial", "shrub", "bulb")) and " as " not in cycle


def _flowers_again(sheet: Sheet) -> bool:
    return _stays(sheet) or _is_biennial(sheet)


def _is_biennial(sheet: Sheet) -> bool:
    return sheet.life_cycle is not None and sheet.life_cycle.value.startswith("biennial")


def _flowers_next_year(sheet: Sheet, out: date) -> bool:
    """A biennial set out in summer flowers in its second year (common practice)."""
    return _is_biennial(sheet) and out.month >= SUMMER_MONTH


def _at_stage(sheet: Sheet | None) -> tuple[str, ...]:
    if sheet is None:
        return ()
    uses = []
    if sheet.fresh_stage is not None:
        uses.append("fresh")
    if sheet.dry_stage is not None and sheet.drying_days is not None:
        uses.append("dry")
    if sheet.wire_stage is not None:
        uses.append("wire")
    return tuple(uses)


def _next_job(
    sheet: Sheet | None,
    planting: Planting,
    done: Collection[str],
    bed: Bed,
    day: date,
    out: date,
    cut_from: date | None,
    cut_to: date | None,
    tonight: float | None,
) -> tuple[Job, date | None, str]:
    """(job, day for it, why): frost first, then what is due, then what comes next; `done` are not asked for."""
    if sheet is None:
        return "", None, ""
    low = bears_f(sheet)
    if tonight is not None and low is not None and not bed.covered_on and tonight <= low + GROUND_COLDER_F:
        return "cover tonight", day, f"forecast {tonight:g} F; it bears {low:g} F once hardened"
    jobs: list[tuple[date, Job, str]] = []
    if planting.last_cut is None:
        if _wanted(sheet.netting) and "netted" not in done:
            jobs.append((out + timedelta(days=NET_DAYS), "net", "late nets bend stems (common practice)"))
        if _wanted(sheet.pinch) and "pinched" not in done and not planting.drilled:
            jobs.append((out + timedelta(days=PINCH_DAYS), "pinch", "at about 12 in tall [S44]"))
    is_over = cut_to is not None and day > cut_to
    if is_over and not _stays(sheet):
        seen = date.fromisoformat(planting.last_cut) if planting.last_cut else cut_to
        if seen is not None and day > seen + timedelta(days=DONE_AFTER_DAYS):
            jobs.append((day, "clear", "past its cutting weeks"))
    elif cut_from and not is_over:
        jobs.append((cut_from, "cut", ""))
    if not jobs:
        return "", None, ""
    when, job, why = min(jobs)
    return job, when, why


def bears_f(sheet: Sheet) -> float | None:
    """The lowest a crop bears once hardened, F; None for what stands the winter out."""
    if _flowers_again(sheet) and sheet.hardiness_class == "hardy":
        return None
    return sheet.hardiness_low_f.value if sheet.hardiness_low_f else LOW_BY_CLASS[sheet.hardiness_class]


def _wanted(figure: object) -> bool:
    return str(getattr(figure, "value", "")).startswith("y")
