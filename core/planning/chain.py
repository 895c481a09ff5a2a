"""The chain of a plan, reckoned backward: stems promised, stems cut, plants, bed, cells, seeds, and every
day.

The day of setting out is chosen inside the crop's window so that most of a plant's stems are cut in time; the
count of plants follows from the share that is. Days to the first cut are taken at their longest, stems a
plant and weeks of cutting at their least: a promise is reckoned from what is sure, and says so.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from typing import Any

from core.crops.library import sheet as library_sheet
from core.crops.library import ways
from core.crops.sheet import Figure, Sheet, Span
from core.growing.calendar import Calendar, crop_dates, cutting_ends, days_from_bed_sowing
from core.growing.spacing import feet_for_plants, plants_per_foot
from core.planning import flushes as flush
from core.planning import succession
from core.planning.counts import Plants, Seeds, plants_for_stems, seeds_for
from core.planning.wish import COMMON, USES, Ask, Wish
from core.problems import Problem
from core.units import long_day, number, plural, short_day, weeks

USUAL_BUNCH = 10
"""Stems in a bunch where the sheet does not say: the florist's count (common practice)."""
SD_OF_RANGE = 4
"""A range is about four times the spread (a rule of thumb of statistics): 10 to 25 stems, spread 3.75."""
LATER_DAYS = 90
"""Days past its window after which nothing more is set out, where no autumn frost is known (common
practice)."""
MORE_HARDY_DAYS = 42
"""As `LATER_DAYS`, for a hardy crop that is sown in succession: it dislikes the heat (common practice)."""

DEAR_SHARE = 0.2
"""Below so much of what could come in time, the plan says that it is a dear one."""

CELLS: dict[str, int] = {
    "lisianthus": 200,
    "feverfew": 200,
    "snapdragon": 162,
    "stock": 162,
    "ammi": 98,
    "scabiosa": 98,
    "zinnia": 72,
    "cosmos": 72,
    "sunflower": 72,
    "amaranth": 72,
    "sweet pea": 50,
}
"""Cells to a 1020 tray that suit a crop (from memory)."""
USUAL_CELLS = 128


@dataclass(frozen=True, slots=True)
class Step:
    """One link of the chain: what it is called, what it comes to, why, and whose word that is."""

    name: str
    says: str
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class CutWeek:
    """Stems expected to be cut in the week that begins on `monday`, of those that count."""

    monday: date
    stems: int


@dataclass(frozen=True, slots=True)
class Plan:
    """A wish reckoned back to the seed.

    `plants` are those that must stand to be cut, `plants_out` those to set out, `seeds` for so many plants.
    Where the crop is drilled there is no `set_out_on`, and no cells; where it is planted as a tuber or bought
    plant no `sow_on` and no seeds. `cut_from` to `cut_to` are the days whose stems count; `grams` are (least,
    most). `occupied_to` is the last day in the bed.
    """

    ask: Ask
    to_cut: int
    plants: int
    plants_out: int
    seeds: int | None
    cells: int | None
    cell_size: int | None
    trays: int | None
    grams: Span | None
    feet: float
    sow_on: date | None
    harden_on: date | None
    set_out_on: date | None
    first_cut: tuple[date, date]
    cut_from: date
    cut_to: date
    ready_on: date
    occupied_to: date
    drying_days: int | None
    per_bunch: int
    by_week: tuple[CutWeek, ...]
    steps: tuple[Step, ...]
    calendar: Calendar

    @property
    def wish(self) -> Wish:
        return self.ask.wish

    @property
    def in_bed_from(self) -> date:
        """The day from which it takes its feet of bed."""
        day = self.set_out_on or self.sow_on
        assert day is not None
        return day


def plan_back(ask: Ask) -> Plan | Problem:
    """The plan that meets the wish, or why it cannot be met and what would do instead."""
    for make in (_wrong_wish, _wrong_figures):
        if problem := make(ask):
            return problem
    course = _Course.of(ask)
    if isinstance(course, Problem):
        return course
    chosen = _choose(ask, course)
    if isinstance(chosen, Problem):
        return chosen
    return _count(ask, course, *chosen)


def share_in_time(plan: Plan, by: date) -> float:
    """The share of a plant's stems that would count of the same planting, were they wanted by another day."""
    course = _Course.of(replace(plan.ask, wish=replace(plan.wish, by=by)))
    return 0.0 if isinstance(course, Problem) else course.share(plan.in_bed_from)


def may_begin(plan: Plan) -> tuple[date, date]:
    """(the day its window opens, the first day from today on which it can go into the bed)."""
    course = _Course.of(plan.ask)
    assert not isinstance(course, Problem)  # it gave the plan
    return course.window[0], _allowed(plan.ask, course)[0]


def stems_a_bunch(sheet: Sheet, use: str) -> int:
    """Stems in a bunch of that use: the fewest of the sheet's range."""
    bunch = sheet.stems_per_fresh_bunch if use == "fresh" else sheet.stems_per_dried_bunch
    return round(bunch.value[0]) if bunch is not None else USUAL_BUNCH


def plan_json(plan: Plan) -> dict[str, Any]:
    """The plan as plain values; dates as "YYYY-MM-DD"."""
    wish = plan.wish

    def day(value: date | None) -> str | None:
        return value.isoformat() if value is not None else None

    return {
        "crop": wish.crop,
        "way": wish.way,
        "variety": wish.variety,
        "use": wish.use,
        "stems": wish.stems,
        "by": day(wish.by),
        "bunches": ceil(wish.stems / plan.per_bunch),
        "stems_to_cut": plan.to_cut,
        "plants": plan.plants,
        "plants_to_set_out": plan.plants_out,
        "feet": plan.feet,
        "seeds": plan.seeds,
        "cells": plan.cells,
        "cell_size": plan.cell_size,
        "trays": plan.trays,
        "grams": list(plan.grams) if plan.grams else None,
        "sow": day(plan.sow_on),
        "harden": day(plan.harden_on),
        "set_out": day(plan.set_out_on),
        "cut_from": day(plan.cut_from),
        "cut_to": day(plan.cut_to),
        "ready": day(plan.ready_on),
        "cut_by_week": [{"week": day(week.monday), "stems": week.stems} for week in plan.by_week],
        "because": [f"{s.name}: {s.says}; {s.because} ({s.source})" for s in plan.steps],
    }


# What cannot be asked


def _wrong_wish(ask: Ask) -> Problem | None:
    wish, sheet = ask.wish, ask.sheet
    if wish.use not in USES:
        return Problem(f"A cut is for {', '.join(USES[:-1])} or {USES[-1]}.", "unknown", USES)
    if wish.stems < 1:
        return Problem("At least one stem must be wished for.", "impossible")
    stages = {"fresh": sheet.fresh_stage, "dry": sheet.dry_stage, "wire": sheet.wire_stage}
    can = tuple(
        use for use in USES if stages[use] is not None and (use == "fresh" or sheet.drying_days is not None)
    )
    if wish.use not in can:
        instead = f"{' or '.join(can)} would do" if can else "write its stage in the sheet first"
        return Problem(f"The sheet of {sheet.crop} has no {wish.use} use: {instead}.", "impossible", can)
    return None


def _wrong_figures(ask: Ask) -> Problem | None:
    given = ask.given
    for name in ("cull", "drying_loss", "storage_loss", "bed_loss"):
        if not 0 <= getattr(given, name).value < 1:
            what = name.replace("_", " ")
            return Problem(f"The {what} is a share from 0 to below 1: write 10 % as 0.1.", "impossible")
    sizes = (given.bed_width_in, given.cells_per_tray, given.spacing_in, given.cut_weeks)
    if any(figure is not None and figure.value <= 0 for figure in sizes):
        return Problem("Widths, cells, spacing and weeks are above 0.", "impossible")
    if min(given.finish_days.value, given.hold_days.value) < 0:
        return Problem("Days are 0 or more.", "impossible")
    return None


# How the crop goes, and which of its days count


@dataclass(frozen=True, slots=True)
class _Course:
    """How a crop goes on this farm: its window, days to the first cut, and the days whose stems count."""

    drilled: bool
    window: tuple[date, date]
    because: str
    hangs_on: str
    latest: date
    lag: Figure[Span]
    stems: Figure[float]
    sd: Figure[float]
    weeks: Figure[float]
    flushes: tuple[flush.Flush, ...]
    count_from: date
    count_by: date
    ends: tuple[date, str] | None
    drying: int

    @staticmethod
    def of(ask: Ask) -> _Course | Problem:
        sheet, given = ask.sheet, ask.given
        drilled = _is_drilled(ask)
        calendar = crop_dates(sheet, ask.frost, bounds=ask.bounds, direct=drilled)
        window = calendar.windows.get("direct_sow" if drilled else "set_out")
        if window is None:
            return Problem(" ".join(calendar.because), "impossible")
        lag = _days_to_cut(ask, drilled)
        if lag is None or (given.cut_weeks or sheet.cut_weeks) is None:
            return Problem(
                f"The sheet of {sheet.crop} has no days to the first cut: write them in the sheet first.",
                "impossible",
            )
        stems = given.stems_per_plant or _least(sheet.stems_per_plant)
        weeks_of_cutting = given.cut_weeks or _least(sheet.cut_weeks)
        if stems is None or weeks_of_cutting is None:
            return Problem(
                f"The sheet of {sheet.crop} has no stems a plant: write them in the sheet, or say them.",
                "impossible",
            )
        drying = _drying(ask)
        ends = cutting_ends(sheet, ask.frost)
        count_by = ask.wish.by - timedelta(days=drying + (round(given.finish_days.value) if drying else 0))
        count_from = date.min
        if ask.only_days is not None:
            count_from = count_by - timedelta(days=ask.only_days - 1)
        elif not drying:
            count_from = count_by - timedelta(days=round(given.hold_days.value))
        if ends is not None:
            count_by = min(count_by, ends[0])
        return _Course(
            drilled,
            (window.start, window.end),
            window.because,
            window.hangs_on,
            _latest(ask, window.end, ends),
            lag,
            stems,
            given.stems_sd or _spread(sheet, stems),
            weeks_of_cutting,
            flush.flushes(stems.value, weeks_of_cutting.value),
            count_from,
            count_by,
            ends,
            drying,
        )

    def first_cut(self, out: date) -> date:
        """The day by which cutting has surely begun."""
        return out + timedelta(days=round(self.lag.value[1]))

    def last_cut(self, out: date) -> date:
        return self.first_cut(out) + weeks(self.weeks.value) - timedelta(days=1)

    def share(self, out: date) -> float:
        """The share of a plant's stems that is cut on days that count."""
        found = flush.share_between(self.flushes, self.first_cut(out), self.count_from, self.count_by)
        return round(found, 9)

    def best_share(self) -> float:
        """The share that would count if the day of planting were free."""
        if self.count_from == date.min:
            return 1.0
        length = (self.count_by - self.count_from).days
        firsts = (self.count_by - timedelta(days=i) for i in range(round(self.weeks.value * 7) + length))
        return max(
            (flush.share_between(self.flushes, first, self.count_from, self.count_by) for first in firsts),
            default=0.0,
        )


def _is_drilled(ask: Ask) -> bool:
    if ask.direct is not None:
        return ask.direct
    if ask.sheet.weeks_in_tray is None:
        return ask.sheet.direct_sow_weeks is not None
    how = ask.sheet.direct_sow
    return how is not None and how.value in ("preferred", "only", "yes")


def _least(figure: Figure[Span] | None) -> Figure[float] | None:
    return None if figure is None else Figure(figure.value[0], f"least of {figure.text}, {figure.source}")


def _spread(sheet: Sheet, stems: Figure[float]) -> Figure[float]:
    span = sheet.stems_per_plant
    if span is None or span.value[0] == span.value[1] or stems.value <= 1:
        return Figure(0.0, COMMON)
    least, most = span.value
    return Figure((most - least) / SD_OF_RANGE, f"a quarter of the range {span.text}")


def _days_to_cut(ask: Ask, drilled: bool) -> Figure[Span] | None:
    own = ask.given.days_to_first_cut
    if own is not None:
        return Figure((own.value, own.value), own.source)
    sheet = ask.sheet
    if drilled:
        return days_from_bed_sowing(sheet)
    if sheet.days_to_first_cut is None and sheet.days_from_sowing is not None and sheet.weeks_in_tray:
        least, most = sheet.days_from_sowing.value
        short, long = (weeks(count).days for count in sheet.weeks_in_tray.value)
        source = "derived from days from sowing in the bed, less weeks in the tray"
        return Figure((max(least - long, 0), max(most - short, 0)), source)
    return sheet.days_to_first_cut


def _drying(ask: Ask) -> int:
    days = ask.sheet.drying_days
    return 0 if ask.wish.use == "fresh" or days is None else round(days.value[1])


def _latest(ask: Ask, window_end: date, ends: tuple[date, str] | None) -> date:
    """The last day on which it is worth while to set the crop out at all."""
    if ask.sheet.hardiness_class == "hardy":
        follows = ask.sheet.crop in succession.PUBLISHED
        return window_end + timedelta(days=MORE_HARDY_DAYS if follows else 0)
    later = window_end + timedelta(days=LATER_DAYS)
    return later if ends is None else max(window_end, min(later, ends[0]))


# The day to begin


def _choose(ask: Ask, course: _Course) -> tuple[date, float] | Problem:
    """(day of setting out or drilling, share of a plant's stems that counts).

    Dried stems keep: the crop goes out in its own window, later only where that has gone by. Fresh stems must
    come on their day: it may go out later. Of days that do equally well the last, that spares bed and store.
    """
    start, end, last = _allowed(ask, course)
    if ask.set_out_on is not None:
        if not start <= ask.set_out_on <= last:
            return Problem(
                f"{short_day(ask.set_out_on)} lies outside the days on which {ask.sheet.crop} can go into "
                f"the bed, {short_day(start)} to {short_day(last)}: {course.because}",
                "impossible",
                (start.isoformat(),),
            )
        start = end = ask.set_out_on
    if start > end:
        return Problem(
            f"It is too late this season: sown now, {ask.sheet.crop} could go out on {short_day(start)}, and "
            f"{short_day(end)} is the last day for it. Bought plants, or next year, would do.",
            "impossible",
        )
    best, share = _best(course, start, end)
    return (best, share) if share > 0 else _too_late(ask, course, start, end)


def _allowed(ask: Ask, course: _Course) -> tuple[date, date, date]:
    """First and last day to choose from, and the last that would do if it is fixed by hand."""
    start = course.window[0]
    if ask.today is not None:
        tray = ask.sheet.weeks_in_tray
        raising = weeks(tray.value[0]) if tray is not None and not course.drilled else timedelta()
        start = max(start, ask.today + raising)
    last = max(course.latest, course.window[1])
    keeps = course.drying and ask.only_days is None
    return start, min(max(course.window[1], start), last) if keeps else last, last


def _best(course: _Course, start: date, end: date) -> tuple[date, float]:
    """The day on which most stems come in time, the last of equals, and their share."""
    days = [start + timedelta(days=i) for i in range((end - start).days + 1)]
    best = max(days, key=lambda day: (course.share(day), day))
    return best, course.share(best)


def _too_late(ask: Ask, course: _Course, start: date, end: date) -> Problem:
    wish = ask.wish
    first = course.first_cut(start)
    if course.ends is not None and first > course.ends[0]:
        sentence = f"No stem can be cut before {course.ends[1]}: the first cut would be {short_day(first)}"
    elif first > course.count_by:
        ready = first + (wish.by - course.count_by if course.drying else timedelta())
        dried = f", dry and boxed {short_day(_ready(ask, first))}" if course.drying else ""
        sentence = (
            f"The first cut of {wish.crop} is {short_day(first)}{dried}: too late for {short_day(wish.by)}"
        )
        if ready and (course.ends is None or first < course.ends[0]):
            sentence += f". By {long_day(_ready(ask, first + timedelta(days=7)))} would do"
    else:
        last = course.last_cut(end)
        ended = last if course.ends is None else min(last, course.ends[0])
        sentence = (
            f"Cutting of {wish.crop} is over by {short_day(ended)} and fresh stems do not keep until "
            f"{short_day(wish.by)}"
        )
        if ask.sheet.drying_days is not None and ask.sheet.dry_stage is not None:
            sentence += "; dried ones do"
    other = _other_way(ask)
    if other:
        sentence += f"; grown the {other} way it can be had in time"
    return Problem(f"{sentence}.", "impossible", (other,) if other else ())


def _ready(ask: Ask, cut: date) -> date:
    """The day on which stems cut on `cut` can be handed over."""
    drying = _drying(ask)
    return cut + timedelta(days=drying + round(ask.given.finish_days.value)) if drying else cut


def _other_way(ask: Ask) -> str | None:
    """Another way of growing the crop that meets the wish."""
    if ask.set_out_on is not None:
        return None
    for way in ways(ask.sheet.crop):
        if way == ask.sheet.way:
            continue
        found = library_sheet(ask.sheet.crop, way)
        if isinstance(found, Problem):
            continue
        other = replace(ask, sheet=found, wish=replace(ask.wish, way=way))
        course = _Course.of(other)
        if isinstance(course, Problem):
            continue
        start, end, _ = _allowed(other, course)
        if start <= end and _best(course, start, end)[1] > 0:
            return way
    return None


# How many


def _count(ask: Ask, course: _Course, out: date, share: float) -> Plan | Problem:
    sheet, given, wish = ask.sheet, ask.given, ask.wish
    cut_from = max(course.first_cut(out), course.count_from)
    cut_to = min(course.count_by, course.last_cut(out))
    middle = cut_from + (cut_to - cut_from) / 2
    years = max((wish.by - _ready(ask, middle)).days, 0) / 365
    kept = _kept(ask, course, years)
    to_cut = ceil(wish.stems / kept - 1e-9)
    plants = plants_for_stems(
        to_cut, mean=course.stems.value * share, sd=course.sd.value * share, sure=given.sure.value
    )
    if isinstance(plants, Problem):
        return plants
    plants_out = ceil(plants.plants / (1 - given.bed_loss.value) - 1e-9)
    spacing = given.spacing_in or sheet.spacing_in
    if spacing is None or spacing.value <= 0:
        return Problem(
            f"The sheet of {sheet.crop} has no spacing: write it in the sheet first.", "impossible"
        )
    feet = feet_for_plants(plants_out, given.bed_width_in.value, spacing.value)
    seeds = None
    if course.drilled or sheet.weeks_in_tray is not None:
        seeds = _seeds(ask, course, plants_out)
    if isinstance(seeds, Problem):
        return seeds
    dates = _dates(ask, course, out)
    size = round(given.cells_per_tray.value) if given.cells_per_tray else CELLS.get(sheet.crop, USUAL_CELLS)
    in_tray = seeds is not None and not course.drilled
    plan = Plan(
        ask=ask,
        to_cut=to_cut,
        plants=plants.plants,
        plants_out=plants_out,
        seeds=seeds.seeds if seeds else None,
        cells=seeds.seeds if seeds and in_tray else None,
        cell_size=size if in_tray else None,
        trays=ceil(seeds.seeds / size) if seeds and in_tray else None,
        grams=_grams(sheet, seeds.seeds, plants_out) if seeds else None,
        feet=feet,
        sow_on=dates.sow,
        harden_on=dates.harden,
        set_out_on=None if course.drilled else out,
        first_cut=(out + timedelta(days=round(course.lag.value[0])), course.first_cut(out)),
        cut_from=cut_from,
        cut_to=cut_to,
        ready_on=_ready(ask, cut_to),
        occupied_to=cut_to,
        drying_days=course.drying or None,
        per_bunch=stems_a_bunch(sheet, wish.use),
        by_week=_by_week(course, out, cut_from, cut_to, plants.plants),
        steps=(),
        calendar=dates.calendar,
    )
    steps = _steps(plan, course, share, years, plants, seeds, spacing)
    return replace(plan, steps=steps)


def _kept(ask: Ask, course: _Course, years: float) -> float:
    """The share of stems cut that is left to hand over."""
    given = ask.given
    kept = 1 - given.cull.value
    if course.drying:
        kept *= (1 - given.drying_loss.value) * (1 - given.storage_loss.value) ** years
    return kept


def _seeds(ask: Ask, course: _Course, plants_out: int) -> Seeds | Problem:
    given, doubles = ask.given, ask.sheet.doubles_share
    return seeds_for(
        plants_out,
        germination=given.germination.value,
        sure=given.sure.value,
        survival=(given.bed_emergence if course.drilled else given.survival).value,
        wanted_share=doubles.value[0] if doubles is not None else 1.0,
        rho=given.rho.value,
    )


def _grams(sheet: Sheet, seeds: int, plants: int) -> Span | None:
    if sheet.seeds_per_gram is not None:
        fewest, most = sheet.seeds_per_gram.value
        return round(seeds / most, 2), round(seeds / fewest, 2)
    if sheet.grams_per_1000_plants is not None:
        grams = round(plants * sheet.grams_per_1000_plants.value / 1000, 2)
        return grams, grams
    return None


@dataclass(frozen=True, slots=True)
class _Dates:
    sow: date | None
    harden: date | None
    calendar: Calendar


def _dates(ask: Ask, course: _Course, out: date) -> _Dates:
    """The day to sow and to begin hardening, counted back from setting out."""
    sheet = ask.sheet
    if course.drilled:
        return _Dates(out, None, crop_dates(sheet, ask.frost, sown=out, direct=True))
    tray = sheet.weeks_in_tray
    if tray is None:
        return _Dates(None, None, crop_dates(sheet, ask.frost, set_out=out))
    longest = weeks(tray.value[1]).days
    if sheet.cannot_wait is not None:
        longest = max(min(longest, sheet.cannot_wait.spoiled_after_day), weeks(tray.value[0]).days)
    sow = out - timedelta(days=longest)
    if ask.today is not None:
        sow = max(sow, ask.today)
    calendar = crop_dates(sheet, ask.frost, sown=sow, set_out=out, bounds=ask.bounds)
    harden = calendar.windows.get("harden")
    return _Dates(sow, harden.start if harden else None, calendar)


def _by_week(course: _Course, out: date, cut_from: date, cut_to: date, plants: int) -> tuple[CutWeek, ...]:
    """Stems expected a week; rounded as a running sum, so that they add up."""
    first = course.first_cut(out)
    found, given, total = [], 0, 0.0
    monday = cut_from - timedelta(days=cut_from.weekday())
    while monday <= cut_to:
        start, end = max(monday, cut_from), min(monday + timedelta(days=6), cut_to)
        total += plants * course.stems.value * flush.share_between(course.flushes, first, start, end)
        found.append(CutWeek(monday, round(total) - given))
        given = round(total)
        monday += timedelta(days=7)
    return tuple(found)


# Saying it


def _steps(
    plan: Plan,
    course: _Course,
    share: float,
    years: float,
    plants: Plants,
    seeds: Seeds | None,
    spacing: Figure[float],
) -> tuple[Step, ...]:
    ask, given, sheet, wish = plan.ask, plan.ask.given, plan.ask.sheet, plan.wish
    steps = [_ready_step(plan, course), _cull_step(plan, course, years), _share_step(plan, course, share)]
    steps.append(
        Step(
            "plants to cut",
            plural(plan.plants, "plant"),
            f"{plants.because}; of {number(course.stems.value)} stems a plant {number(100 * share)} % count",
            f"{course.stems.source}; spread: {course.sd.source}; {plants.source}",
        )
    )
    steps.append(
        Step(
            "plants to set out" if not course.drilled else "plants in the bed",
            plural(plan.plants_out, "plant"),
            f"{number(100 * given.bed_loss.value)} % are lost in the bed",
            given.bed_loss.source,
        )
    )
    width = given.bed_width_in.value
    steps.append(
        Step(
            "bed",
            f"{number(plan.feet)} ft",
            f"{number(plants_per_foot(width, spacing.value))} plants a foot of a {number(width)} in bed, "
            f"{number(spacing.value)} in apart",
            spacing.source,
        )
    )
    if seeds is not None:
        steps.append(
            Step("seeds", _seeds_say(plan), " ".join(seeds.because), _seeds_source(plan, course, seeds))
        )
    if plan.trays is not None:
        steps.append(
            Step(
                "trays",
                f"{plural(plan.trays, 'tray')} of {plan.cell_size}",
                f"{plan.cells} cells, one seed to each",
                given.cells_per_tray.source
                if given.cells_per_tray
                else "cells that suit the crop: from memory",
            )
        )
    steps.extend(_date_steps(plan, course))
    if share < DEAR_SHARE * course.best_share():
        steps.append(
            Step(
                "dear",
                f"only {number(100 * share)} % of a plant's stems come in time",
                "a later day, or an earlier planting, needs far fewer plants",
                "this plan",
            )
        )
    if wish.use != "fresh" and sheet.caution is not None:
        steps.append(Step("caution", sheet.caution.text, "when it is handled", sheet.caution.source))
    if ask.today is not None and plan.sow_on == ask.today and not course.drilled:
        steps.append(Step("late", "sow today", "the day it should have been sown has gone by", "this plan"))
    return tuple(steps)


def _ready_step(plan: Plan, course: _Course) -> Step:
    ask, wish = plan.ask, plan.wish
    name = " ".join(filter(None, (wish.crop, wish.variety)))
    if course.drying:
        days = ask.sheet.drying_days
        assert days is not None
        more = number(ask.given.finish_days.value)
        because = f"it dries in {days.text} days, the longest counted, and {more} more"
        source = f"{days.source}; {ask.given.finish_days.source}"
    else:
        because = f"fresh stems wait {number(ask.given.hold_days.value)} days at most"
        source = ask.given.hold_days.source
    if course.ends is not None and course.count_by == course.ends[0]:
        because += f"; cutting ends by {course.ends[1]}"
    promised = f"{plural(wish.stems, 'stem')} of {name}, {wish.use}, by {short_day(wish.by)}"
    return Step(
        "promised",
        f"{promised}: cut by {short_day(plan.cut_to)}",
        because,
        source,
    )


def _cull_step(plan: Plan, course: _Course, years: float) -> Step:
    given = plan.ask.given
    parts = [f"{number(100 * given.cull.value)} % culled"]
    sources = [given.cull.source]
    if course.drying:
        stored = 100 * (1 - (1 - given.storage_loss.value) ** years)
        parts.append(f"{number(100 * given.drying_loss.value)} % lost in drying")
        parts.append(f"{number(stored)} % in {plural(round(365 * years), 'day')} of store")
        sources += [given.drying_loss.source, given.storage_loss.source]
    return Step("stems to cut", plural(plan.to_cut, "stem"), ", ".join(parts), "; ".join(sources))


def _share_step(plan: Plan, course: _Course, share: float) -> Step:
    cutting = f"{number(course.weeks.value)} weeks of cutting from {short_day(plan.first_cut[1])}"
    each = ", ".join(number(course.stems.value * part.share) for part in course.flushes)
    days = f"{short_day(plan.cut_from)} to {short_day(plan.cut_to)}"
    return Step(
        "stems in time",
        f"{number(100 * share)} % of a plant's stems, cut {days}",
        f"{cutting}; stems a plant by flush: {each}",
        f"{course.weeks.source}; {flush.SOURCE}",
    )


def _seeds_say(plan: Plan) -> str:
    grams = plan.grams
    if grams is None:
        return plural(plan.seeds or 0, "seed")
    span = number(grams[0]) if grams[0] == grams[1] else f"{number(grams[0])} to {number(grams[1])}"
    return f"{plural(plan.seeds or 0, 'seed')}, about {span} g"


def _seeds_source(plan: Plan, course: _Course, seeds: Seeds) -> str:
    given, sheet = plan.ask.given, plan.ask.sheet
    lives = given.bed_emergence if course.drilled else given.survival
    sources = [f"germination: {given.germination.source}", f"those that live: {lives.source}"]
    if sheet.doubles_share is not None:
        sources.append(f"doubles: {sheet.doubles_share.source}")
    if plan.grams is not None:
        weighed = sheet.seeds_per_gram or sheet.grams_per_1000_plants
        sources.append(f"grams: {weighed.source if weighed else ''}")
    return "; ".join([*sources, seeds.source])


def _date_steps(plan: Plan, course: _Course) -> list[Step]:
    sheet = plan.ask.sheet
    steps = []
    if plan.sow_on is not None and not course.drilled:
        tray = sheet.weeks_in_tray
        assert tray is not None
        steps.append(
            Step(
                "sow", long_day(plan.sow_on), f"{tray.text} weeks in the tray before setting out", tray.source
            )
        )
    if plan.harden_on is not None:
        because = plan.calendar.windows["harden"].because
        steps.append(Step("harden", long_day(plan.harden_on), because, "common practice"))
    steps.append(
        Step(
            "drill" if course.drilled else "set out",
            long_day(plan.in_bed_from),
            course.because,
            f"hangs on {course.hangs_on}" if course.hangs_on else "this plan",
        )
    )
    early, late = (short_day(day) for day in plan.first_cut)
    what = "drilling" if course.drilled else "setting out"
    steps.append(
        Step(
            "first cut",
            f"{early} to {late}" if early != late else f"about {early}",
            f"{course.lag.text} days after {what}; the later day is counted on",
            course.lag.source,
        )
    )
    return steps


__all__ = ["CutWeek", "Plan", "Step", "may_begin", "plan_back", "plan_json", "share_in_time"]
