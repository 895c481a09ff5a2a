"""The chain of a plan, reckoned backward: stems promised, stems cut, plants, bed, cells, seeds, and every
day.

The day of setting out is chosen inside the crop's window so that the promised day falls in the middle of the flush.
The count of plants is the least with which the promise is kept with the chance asked for, all that may go otherwise
taken together (`core.plans.seasons`); days and stems by the week are those of a usual season.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from statistics import fmean

from core.crops.calendar import crop_dates
from core.crops.sheet import Sheet, Span
from core.crops.spacing import feet_for_plants
from core.crops.windows import Calendar
from core.plans.cells import cells_that_suit
from core.plans.crop_season import Course, drying_days, lacking, ready_on, that_live
from core.plans.defaults import SPARE
from core.plans.plan import CutWeek, Plan, Promise, by_week, stems_a_bunch, times_in_100
from core.plans.planting_date import allowed, choose
from core.plans.seasons import (
    FEW,
    SEASONS,
    Season,
    Sown,
    chance_of,
    chance_with_seed,
    chances_with_seed,
    columns_of,
    doubt_of,
    least_plants,
    most_plants,
    of_plants,
    seasons_of,
    usual_season,
)
from core.plans.standing import beside_standing, given_beside, plan_of_standing, why_not_counted
from core.plans.steps import steps_of
from core.plans.wish import USES, Ask, day_problem
from core.problems import Problem
from core.reckon.counts import SEEDS_SOURCE, Seeds, seeds_for
from core.reckon.spreads import usual
from core.units import long_day, number, weeks

SUREST = 0.99
MOST_FOR_SEED = 1.2
"""No more plants than so many times those of a full bed make up for seed that came up badly."""
MOST_ALIKE = 0.5
_LATELY: deque[tuple[Ask, bool, Plan | Problem]] = deque(maxlen=8)
MOST_DAYS = 366
"""No stem waits longer, and no crop takes longer to its first cut, of those that are planned by the year."""


def plan_back(ask: Ask, *, briefly: bool = False) -> Plan | Problem:
    """The plan that meets the wish, or why it cannot be met and what would do instead. What stands already counts
    first: where it is enough, or nothing can be planted in time, there is nothing to plant (`plants_out` 0).

    `briefly`: its numbers and days alone, without its steps and what it doubts, for one of many that are tried.

    It is made of its ask alone, so the last few are kept: a wish that is typed is read anew, and shown, key by key.
    """
    for known, in_brief, plan in _LATELY:
        if in_brief == briefly and known == ask:
            return plan
    plan = _plan_back(ask, briefly)
    _LATELY.append((ask, briefly, plan))
    return plan


def _plan_back(ask: Ask, briefly: bool) -> Plan | Problem:
    for make in (_wrong_days, _wrong_wish, _wrong_figures):
        if problem := make(ask):
            return problem
    standing = plan_of_standing(ask)
    if standing is not None and standing.promise.chance >= ask.given.sure.value:
        return standing
    made = _planted(ask, briefly)
    if isinstance(made, Problem):
        return standing or why_not_counted(ask) or made
    return made if standing is None else beside_standing(made)


def _planted(ask: Ask, briefly: bool) -> Plan | Problem:
    course = Course.of(ask)
    if isinstance(course, Problem):
        return course
    chosen = choose(ask, course)
    if isinstance(chosen, Problem):
        return chosen
    return _count(ask, course, *chosen, briefly=briefly)


def gone_by(ask: Ask, day: date) -> Problem | None:
    """Why nothing can be promised for a day before today."""
    if ask.today is None or day >= ask.today:
        return None
    return Problem(f"{long_day(day)} has gone by: a plan is for a day to come.", "impossible")


def share_in_time(plan: Plan, by: date, days: int) -> float:
    """The share of a plant's stems that the same planting gives for the `days` that end with `by`."""
    course = Course.of(replace(plan.ask, wish=replace(plan.wish, by=by), only_days=days))
    return 0.0 if isinstance(course, Problem) else course.share(plan.in_bed_from)


def stems_by_week(ask: Ask, in_bed_from: date, plants: float) -> tuple[CutWeek, ...] | Problem:
    """What so many plants give in every week that counts for the wish, begun in the bed on that day."""
    course = Course.of(ask)
    if isinstance(course, Problem):
        return course
    cut_from = max(course.first_cut(in_bed_from), course.count_from)
    cut_to = min(course.count_by, course.last_cut(in_bed_from))
    return by_week(course, in_bed_from, cut_from, cut_to, plants)


def chances_by_season(plan: Plan) -> list[float]:
    """For every season the chance that the plan is kept."""
    ask, beside = plan.ask, given_beside(plan.ask)
    if not plan.plants_out:
        return [chance_of(ask.wish.stems, 1, [of]) for of in beside]
    course = Course.of(ask)
    assert not isinstance(course, Problem)  # it gave the plan
    seasons = seasons_of(columns_of(ask, course), usual_season(ask, course))
    each = of_plants(ask, course, plan.in_bed_from, seasons)
    if plan.seeds is None:
        of_all = zip(each, beside, strict=True)
        return [chance_of(ask.wish.stems, plan.plants_out, [of], [more]) for of, more in of_all]
    sown = Sown(plan.seeds, ask.given.rho.value)
    return list(chances_with_seed(ask.wish.stems, plan.plants_out, sown, each, seasons, beside))


def may_begin(plan: Plan) -> tuple[date, date]:
    """(the day its window opens, the first day from today on which it can go into the bed)."""
    course = Course.of(plan.ask)
    assert not isinstance(course, Problem)  # it gave the plan
    return course.window[0], allowed(plan.ask, course)[0]


# What cannot be asked


def _wrong_days(ask: Ask) -> Problem | None:
    return gone_by(ask, ask.wish.by) or day_problem(
        ask.wish.by, ask.set_out_on, ask.today, *ask.frost.spring.values(), *ask.frost.autumn.values()
    )


def _wrong_wish(ask: Ask) -> Problem | None:
    wish, sheet = ask.wish, ask.sheet
    if wish.use not in USES:
        return Problem(f"A cut is for {', '.join(USES[:-1])} or {USES[-1]}.", "unknown", USES)
    if wish.stems < 1:
        return Problem("At least one stem must be wished for.", "impossible")
    can = tuple(
        use for use in USES if sheet.is_for(use) and (use == "fresh" or sheet.drying_days is not None)
    )
    if wish.use in can:
        return None
    if sheet.own_like is not None or not can:
        wants = [] if sheet.is_for(wish.use) else [f"{wish.use}_stage"]
        wants += ["drying_days"] if wish.use != "fresh" and sheet.drying_days is None else []
        return lacking(ask, *wants, can=can)
    instead = f"{' or '.join(can)} would do"
    return Problem(f"The sheet of {sheet.crop} has no {wish.use} use: {instead}.", "impossible", can)


def _wrong_figures(ask: Ask) -> Problem | None:
    given = ask.given
    for name in ("cull", "drying_loss", "storage_loss", "bed_loss"):
        if not 0 <= getattr(given, name).value < 1:
            what = name.replace("_", " ")
            return Problem(f"The {what} is a share from 0 to below 1: write 10 % as 0.1.", "impossible")
    sizes = (given.bed_width_in, given.spacing_in, given.cut_weeks)
    if any(figure is not None and figure.value <= 0 for figure in sizes):
        return Problem("Widths, spacing and weeks are above 0.", "impossible")
    if given.cells_per_tray is not None and given.cells_per_tray.value < 1:
        return Problem("A tray has one cell at least.", "impossible")
    days = (given.finish_days, given.hold_days, given.days_to_first_cut)
    if any(figure is not None and not 0 <= figure.value <= MOST_DAYS for figure in days):
        return Problem(f"Days are from 0 to {MOST_DAYS}.", "impossible")
    if given.cut_weeks is not None and given.cut_weeks.value > MOST_DAYS / 7:
        return Problem(f"Weeks of cutting are {MOST_DAYS // 7} at most.", "impossible")
    return None


# How many


def _count(ask: Ask, course: Course, out: date, share: float, *, briefly: bool) -> Plan | Problem:
    sheet, given, wish = ask.sheet, ask.given, ask.wish
    if not 0 < given.sure.value <= SUREST:
        return Problem(
            f"How sure is a chance above 0 and at most {number(100 * SUREST)} %: ranges tell no more.",
            "impossible",
        )
    cut_from = max(course.first_cut(out), course.count_from)
    cut_to = max(min(course.count_by, course.last_cut(out)), cut_from)
    middle = cut_from + (cut_to - cut_from) / 2
    years = max((wish.by - ready_on(ask, middle)).days, 0) / 365
    kept = _kept(ask, course, years)
    spacing = given.spacing_in or sheet.spacing_in
    if spacing is None or spacing.value <= 0:
        return lacking(ask, "spacing_in")
    counted = _counted(ask, course, out, briefly)
    if isinstance(counted, Problem):
        return counted
    plants_out, seeds, promise = counted
    standing = max(round(plants_out * (1 - given.bed_loss.value)), 1)
    dates = _dates(ask, course, out)
    size = round(given.cells_per_tray.value) if given.cells_per_tray else cells_that_suit(sheet.crop)
    in_tray = seeds is not None and not course.drilled
    plan = Plan(
        ask=ask,
        to_cut=ceil(wish.stems / kept - 1e-9),
        plants=standing,
        plants_out=plants_out,
        seeds=seeds.seeds if seeds else None,
        cells=seeds.seeds if seeds and in_tray else None,
        cell_size=size if in_tray else None,
        trays=ceil(seeds.seeds / size) if seeds and in_tray else None,
        grams=_grams(sheet, seeds.seeds, plants_out) if seeds else None,
        feet=feet_for_plants(plants_out, given.bed_width_in.value, spacing.value),
        sow_on=dates.sow,
        harden_on=dates.harden,
        set_out_on=None if course.drilled else out,
        first_cut=(_after(out, course.lag.value[0]), _after(out, course.lag.value[1])),
        cut_from=cut_from,
        cut_to=cut_to,
        ready_on=ready_on(ask, cut_to),
        occupied_to=cut_to,
        drying_days=drying_days(ask) or None,
        per_bunch=stems_a_bunch(sheet, wish.use),
        by_week=by_week(course, out, cut_from, cut_to, standing),
        promise=promise,
        steps=(),
        calendar=dates.calendar,
    )
    return plan if briefly else replace(plan, steps=steps_of(plan, course, share, years, seeds, spacing))


def _counted(
    ask: Ask, course: Course, out: date, briefly: bool
) -> tuple[int, Seeds | None, Promise] | Problem:
    """Plants to set out, the seeds for them, and how sure the promise is.

    Seed that comes up badly and plants that give little are one chance: room is left for a few plants more than would
    do if all of it were filled, and the seeds are the fewest with which the promise is kept.
    """
    stems, sure = ask.wish.stems, ask.given.sure.value
    as_usual = usual_season(ask, course)
    seasons = seasons_of(columns_of(ask, course, FEW if ask.only_days is not None else SEASONS), as_usual)
    each = of_plants(ask, course, out, seasons)
    most = most_plants(stems, of_plants(ask, course, out, [as_usual])[0])
    beside = given_beside(ask)
    plants, chance = least_plants(stems, sure, each, most, beside)
    even = least_plants(stems, min(chance, 0.5), each, plants, beside)[0]
    doubt = None
    if not briefly and ask.only_days is None:
        doubt = doubt_of(ask, course, out, as_usual, plants, min(sure, chance), beside)
    if not course.drilled and ask.sheet.weeks_in_tray is None:
        return plants, None, Promise(chance, even, doubt)
    rho = ask.given.rho.value
    wanted, room, last = min(sure, chance), ceil(plants * (1 + SPARE)), ceil(plants * MOST_FOR_SEED)
    while True:
        # as surely filled as the promise is to be kept mostly does; more room where it does not
        filled = _seeds(ask, course, room, _alike(ask, seasons))
        if isinstance(filled, Problem):
            return filled
        chance = chance_with_seed(stems, room, Sown(filled.seeds, rho), each, seasons, beside)
        if chance >= wanted or room >= last:
            break
        room += max(plants // 20, 1)
    low, high = 0, filled.seeds
    while high - low > 1 and chance >= wanted:
        middle = (low + high) // 2
        if chance_with_seed(stems, room, Sown(middle, rho), each, seasons, beside) >= wanted:
            high = middle
        else:
            low = middle
    chance = chance_with_seed(stems, room, Sown(high, rho), each, seasons, beside)
    return room, _fewest_seeds(filled, high, chance), Promise(chance, even, doubt)


def _fewest_seeds(filled: Seeds, count: int, chance: float) -> Seeds:
    """So many seeds in place of those that fill the room, and why."""
    if count == filled.seeds:
        return filled
    up, share = filled.because[0], filled.share
    why = (
        f"{count} are the fewest with which the promise is kept {times_in_100(chance)}, and make about "
        f"{round(count * share)} plants for {filled.plants} places."
    )
    return replace(
        filled, seeds=count, because=(up, why), source=f"{SEEDS_SOURCE}; all chances together: this plan"
    )


def _after(out: date, days: float) -> date:
    return out + timedelta(days=round(days))


def _kept(ask: Ask, course: Course, years: float) -> float:
    """The share of stems cut that is left to hand over, in a usual season."""
    given = ask.given
    kept = 1 - given.cull.value
    if course.dries is not None:
        kept *= (1 - given.drying_loss.value) * (1 - given.storage_loss.value) ** years
    return kept


def _alike(ask: Ask, seasons: Sequence[Season]) -> float:
    """How alike the seeds of one lot fare (0 to 1): as the wish says, else by how far the seasons drawn differ."""
    if ask.given.rho.value:
        return ask.given.rho.value
    shares = [season.germinate * season.live * season.doubles for season in seasons]
    mean = fmean(shares)
    return fmean((share - mean) ** 2 for share in shares) / (mean * (1 - mean)) if 0 < mean < 1 else 0.0


def _seeds(ask: Ask, course: Course, plants_out: int, rho: float) -> Seeds | Problem:
    """Seeds that fill the room for the plants: one lot comes up well or badly together."""
    given, doubles = ask.given, course.doubles
    lives = that_live(ask, course.drilled)[0]
    wanted = usual(doubles.value) if doubles is not None else 1.0
    return seeds_for(
        plants_out,
        germination=given.germination.value,
        sure=given.sure.value,
        survival=lives.value,
        wanted_share=wanted,
        rho=min(rho, MOST_ALIKE),
    )


def _grams(sheet: Sheet, seeds: int, plants: int) -> Span | None:
    if sheet.seeds_per_gram is not None:
        fewest, most = sheet.seeds_per_gram.value
        return _weighed(seeds / most), _weighed(seeds / fewest)
    if sheet.grams_per_1000_plants is not None:
        grams = _weighed(plants * sheet.grams_per_1000_plants.value / 1000)
        return grams, grams
    return None


def _weighed(grams: float) -> float:
    """To the hundredth of a gram, and of a pinch still two figures."""
    return round(grams, 2) if grams >= 0.1 else float(f"{grams:.2g}")


@dataclass(frozen=True, slots=True)
class _Dates:
    sow: date | None
    harden: date | None
    calendar: Calendar


def _dates(ask: Ask, course: Course, out: date) -> _Dates:
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
