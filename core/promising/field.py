"""What stands in the field, in trays, or only in plans: each as it grows, and as a source of stems."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import partial

from core.beds.bloom import first_cut_in_bloom
from core.crops.calendar import crop_dates
from core.crops.course import stays
from core.crops.sheet import Sheet
from core.cutting.intervals import usual_days
from core.dialect import told_degrees
from core.farm import Farm, Planting, Tray
from core.plan_rows import Kept
from core.plans.crop_season import Course, hold_of
from core.plans.save_plan import ask_on
from core.plans.standing import of_kept, stands, why_not_counted
from core.plans.wish import Ask, Wish
from core.problems import Problem
from core.promising.cuts_to_come import CutsToCome
from core.promising.growth import Growth, Wanted
from core.promising.so_far import SoFar
from core.promising.source import Source, SourceKind, place_of_crop
from core.settings.sheets import farm_sheet, planting_sheet
from core.units import plural, short_day
from core.weather.night import killed_on

YEAR = 366
OFF_BY = 0.1
"""Where its cuts so far say so much more or less than its sheet, it is told."""
ORDER: tuple[SourceKind, ...] = ("in the field", "in trays", "planned")
LATE_DAYS = 30
"""So many days after its weeks of cutting as usual, what was never cut in them is no longer waited for (ours)."""


def in_field(
    farm: Farm,
    day: date,
    wanted: Wanted,
    crops: Sequence[str] | None,
    *,
    as_of_morning: bool = False,
) -> list[Growth]:
    """What grows or is to grow of these crops (None: of all) and may be cut by the last day that is wanted; also
    what was cut today already, where it is asked `as_of_morning`. What comes again stands for each of its years."""
    every = (
        *(planting.crop for planting in farm.plantings.live()),
        *(tray.crop for tray in farm.trays.live()),
        *(plan.crop for plan in farm.plans.values()),
    )
    each = [crop for crop in dict.fromkeys(every) if crops is None or crop in crops]
    # what stood so this morning as well is not reckoned twice
    cut_since = {p.crop for p in farm.plantings.live() if as_of_morning and _stood_otherwise(p, day)}
    found: list[Growth] = []
    codes: set[str] = set()
    for by in _seasons(day, wanted.last):
        grown = [growth for crop in each for growth in farm.kept(_grown, crop, day, by, crop in cut_since)]
        # a tray or a plan is set out once
        found += [
            growth
            for growth in sorted(grown, key=lambda growth: ORDER.index(growth.kind))
            if (growth.kind == "in the field" or growth.code not in codes) and _is_cut_in(growth, by.year)
        ]
        codes = {growth.code for growth in found}
    return found


def _grown(farm: Farm, crop: str, day: date, by: date, as_of_morning: bool) -> tuple[Growth, ...]:
    """All plantings, trays and plans of a crop as they grow until a day."""
    so_far = SoFar()
    each = [
        *(_standing(farm, p, day, by, as_of_morning) for p in farm.plantings.live() if p.crop == crop),
        *(_in_tray(farm, tray, day, by) for tray in farm.trays.live() if tray.crop == crop),
        *(_planned(farm, plan, day, by) for plan in farm.plans.values() if plan.crop == crop),
    ]
    found = tuple(replace(growth, so_far=so_far) for growth in each if growth is not None)
    so_far.growths.extend(found)
    return found


def _stood_otherwise(planting: Planting, day: date) -> bool:
    """Whether a planting may have stood otherwise on the morning of a day than it does now."""
    today, last = day.isoformat(), planting.last_cut
    if (last is not None and last >= today) or any(cut.on >= today for cut in planting.lately):
        return True
    return bool(planting.lately) and planting.lately[-1].on != last


def _seasons(day: date, last: date) -> Iterator[date]:
    """The last day of each year, as far as it is wanted: the frosts and the stems of a planting are those of a year,
    and a promise for the next must not take this year's out of the sum."""
    for year in range(day.year, last.year + 1):
        yield min(date(year, 12, 31), max(last, day))


def _is_cut_in(growth: Growth, year: int) -> bool:
    """Whether it is cut in that year, as usual; what has been cut already is of this one."""
    return not growth.awaited or date.fromordinal(round(growth.begins(growth.usual))).year == year


def uses_of(sheet: Sheet) -> tuple[str, ...]:
    """What a crop is cut for, by its sheet."""
    uses = []
    if sheet.fresh_stage is not None:
        uses.append("fresh")
    if sheet.drying_days is not None:
        uses += ["dry"] if sheet.dry_stage is not None else []
        uses += ["wire"] if sheet.wire_stage is not None else []
    return tuple(uses)


def _ask(farm: Farm, crop: str, variety: str | None, way: str | None, day: date, last: date) -> Ask | None:
    ask = _ask_or_why(farm, crop, variety, way, day, last)
    return None if isinstance(ask, Problem) else ask


def _ask_or_why(
    farm: Farm, crop: str, variety: str | None, way: str | None, day: date, last: date
) -> Ask | Problem:
    sheet = farm_sheet(farm, crop, way, variety)
    use = "dry" if sheet is not None and sheet.drying_days is not None else "fresh"
    ask = ask_on(farm, Wish(crop, 1, use, max(last, day), variety, way), day)
    return ask if isinstance(ask, Problem) else replace(ask, place=place_of_crop(crop))


def _standing(farm: Farm, planting: Planting, day: date, by: date, as_of_morning: bool) -> Growth | None:
    ask = _ask(farm, planting.crop, planting.variety, planting.way, day, by)
    if ask is None:
        return None
    sheet = planting_sheet(farm, planting) or ask.sheet
    if killed_on(planting, sheet, day, south=ask.frost.in_south) is not None:
        return None
    found = stands(farm, planting, ask)
    if found is None:
        return None
    plants, out, course = found
    seen = first_cut_in_bloom(farm, planting, ask.sheet)
    first = date.fromisoformat(seen) if seen is not None else None
    this_year = first is not None and (day - first).days < 200 and by.year == day.year
    if not this_year and (_has_gone_by(course, out, day) or _is_once_over(ask.sheet, first)):
        return None
    # a perennial's stems of all years stand in one number: it tells nothing of this one
    counts = this_year and (day - date.fromisoformat(planting.out_on)).days < 366
    lately = [cut for cut in planting.lately if not as_of_morning or cut.on < day.isoformat()]
    begun = sum(cut.stems for cut in lately if cut.on == seen)
    cut_before = planting.stems_cut - sum(cut.stems for cut in planting.lately[len(lately) :])
    last = lately[-1].on if as_of_morning and lately else planting.last_cut
    since = 1
    if this_year and last is not None:
        # what was cut this morning had opened since the cut before, about the usual days ago
        gone, every = (day - date.fromisoformat(last)).days, usual_days(planting.crop)
        since = min(gone, every) or (every if as_of_morning else 0)
    return Growth(
        "in the field",
        planting.code,
        f"bed {planting.bed}",
        planting.variety or "",
        ask,
        _with_hold(course, ask),
        plants,
        out,
        day,
        day.toordinal() + 1 - since,
        uses_of(ask.sheet),
        f"{planting.crop} {planting.variety} {planting.bed} {planting.out_on}"
        + f" {by.year}" * (by.year > day.year),
        cut_before if counts else 0,
        not this_year,
        this_year and _was_cut_lately(planting, day),
        lately=tuple(lately) if this_year else (),
        begun=min(begun, cut_before) if counts else 0,
    )


def _was_cut_lately(planting: Planting, day: date) -> bool:
    """Whether its last cut is not longer ago than what is usual between two."""
    last = planting.last_cut
    return last is not None and (day - date.fromisoformat(last)).days <= usual_days(planting.crop)


def _has_gone_by(course: Course, out: date, day: date) -> bool:
    """Whether its weeks of cutting went by, long ago, without a cut."""
    return day > course.last_cut(out) + timedelta(days=LATE_DAYS)


def _is_once_over(sheet: Sheet, first: date | None) -> bool:
    """Whether it was cut in an earlier year and is not counted on to give as much again: a bulb that was cut with its
    leaves has little to flower from (common practice)."""
    return first is not None and sheet.life_cycle is not None and sheet.life_cycle.value.startswith("bulb")


def not_counted(farm: Farm, planting: Planting, day: date, last: date) -> str:
    """Why a planting is counted for nothing until a day; "" where it is counted, or cut later."""
    ask = _ask_or_why(farm, planting.crop, planting.variety, planting.way, day, last)
    if isinstance(ask, Problem):
        return ask.sentence
    sheet = planting_sheet(farm, planting) or ask.sheet
    if (killed := killed_on(planting, sheet, day, south=ask.frost.in_south)) is not None:
        return f"low {told_degrees(killed[1])} on {short_day(killed[0])}"
    found = stands(farm, planting, ask)
    if found is None and not stays(ask.sheet) and (last - date.fromisoformat(planting.out_on)).days > YEAR:
        return ""  # it is over by then
    if found is None:
        why = why_not_counted(of_kept(farm, ask, (planting.code,)))
        return (
            why.sentence.partition("stands already")[2].lstrip(",. ").removeprefix("and ")
            if why is not None
            else ""
        )
    seen = first_cut_in_bloom(farm, planting, ask.sheet)
    first = date.fromisoformat(seen) if seen is not None else None
    if first is None or first.year < day.year:
        if _is_once_over(ask.sheet, first):
            return "bulbs that were cut are counted for one year"
        if _has_gone_by(found[2], found[1], day):
            return "its weeks of cutting have gone by without a cut"
    return ""


def _with_hold(course: Course, ask: Ask) -> Course:
    """As it is where its stems are sold fresh: how long they keep in the cooler."""
    return replace(course, hold=hold_of(replace(ask, wish=replace(ask.wish, use="fresh"))))


def _in_tray(farm: Farm, tray: Tray, day: date, by: date) -> Growth | None:
    ask = _ask(farm, tray.crop, tray.variety, tray.way, day, by)
    if ask is None:
        return None
    plan = next(
        (p for p in farm.plans.values() if p.is_live and any(s.code == tray.code for s in p.sown)), None
    )
    out = date.fromisoformat(plan.set_out_on) if plan and plan.set_out_on else _out_of(tray, ask)
    out = max(out, day) if out is not None else None
    born = (tray.alive, True) if tray.up is not None else (max(tray.seeds, tray.cells), False)
    plants = min(tray.alive, plan.plants or tray.alive) if plan else tray.alive
    return _to_come("in trays", tray.code, "trays", ask, plants, out, day, born)


def _out_of(tray: Tray, ask: Ask) -> date | None:
    sown = date.fromisoformat(tray.sown)
    window = crop_dates(ask.sheet, ask.frost, sown=sown, bounds=ask.bounds).windows.get("set_out")
    return None if window is None else window.start


def _planned(farm: Farm, plan: Kept, day: date, by: date) -> Growth | None:
    """A plan of which nothing is sown or planted yet."""
    if not plan.is_live or plan.sown or plan.out or plan.dropped_on or not plan.plants:
        return None
    ask = _ask(farm, plan.crop, plan.variety, plan.way, day, by)
    begins = plan.set_out_on or plan.sow_on
    if ask is None or begins is None:
        return None
    out = date.fromisoformat(begins)
    if plan.sow_on is not None and plan.sow_on < day.isoformat():
        out += day - date.fromisoformat(plan.sow_on)  # late by so much, and all of it after that
    born = (plan.seeds, False) if plan.seeds else None
    return _to_come(
        "planned", plan.code, plan.bed or "plan", ask, plan.plants, out, day, born, plan.set_out_on is None
    )


def _to_come(
    kind: SourceKind,
    code: str,
    place: str,
    ask: Ask,
    plants: int,
    out: date | None,
    day: date,
    born: tuple[int, bool] | None,
    drilled: bool = False,
) -> Growth | None:
    if out is None or plants < 1:
        return None
    # what is raised in a tray is counted from the day it goes out, though the crop is mostly drilled
    course = Course.of(replace(ask, direct=drilled))
    if isinstance(course, Problem):
        course = Course.of(ask)
    if isinstance(course, Problem):
        return None
    crop, variety = ask.sheet.crop, ask.wish.variety or ""
    out = max(out, day)
    return Growth(
        kind,
        code,
        place,
        variety,
        ask,
        _with_hold(course, ask),
        plants,
        out,
        day,
        day.toordinal(),
        uses_of(ask.sheet),
        f"{crop} {variety} {kind} {plants} {out}",
        awaited=True,
        born=born,
    )


def sources_of(growths: Sequence[Growth], wanted: Mapping[str, Wanted]) -> Iterator[Source]:
    """What the growths give for the days on which their crop is wanted, as sources."""
    for growth in growths:
        of_crop = wanted[growth.ask.sheet.crop]
        cuts = CutsToCome(growth, of_crop, bool(of_crop.dry))
        yield Source(
            growth.kind,
            growth.code,
            growth.place,
            growth.ask.sheet.crop,
            growth.variety,
            sum(lot.amount for lot in cuts(None)),
            partial(_says, growth),
            growth.sorts,
            cuts,
            growth.cut_between(),
        )


def _says(growth: Growth, amount: int) -> str:
    begins = date.fromordinal(round(growth.begins(growth.usual)))
    if growth.kind == "in the field":
        so_far = f", {growth.cut} cut so far" if growth.cut else ""
        if abs(growth.measure - 1) >= OFF_BY:
            so_far += f" ({round(100 * growth.measure)} in 100 of what its sheet has)"
        when = f", first cut about {short_day(begins)}" if growth.awaited else ""
        return f"about {amount} in {growth.place}{so_far}{when}"
    what = "in a tray" if growth.kind == "in trays" else "not sown yet"
    out = f"out {short_day(growth.out)}, first cut about {short_day(begins)}"
    return f"about {plural(amount, 'stem')}, {plural(growth.plants, 'plant')} {what}, {out}"
