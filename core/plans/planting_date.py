"""The day on which a plan begins in the bed: inside the crop's window, so that most stems come in time."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from core.crops.library import sheet as library_sheet
from core.crops.library import ways
from core.plans.crop_season import Course, ready_on
from core.plans.seasons import FEW, columns_of, of_plants, seasons_of, serves, usual_season
from core.plans.wish import Ask
from core.problems import Problem
from core.units import long_day, short_day, weeks

LEAST_SHARE = 1e-9
"""A share below this is none, but for the rounding of its sum."""
AS_GOOD = 0.002
"""A day that serves so little worse is as good."""
COARSE_DAYS = 4
"""Days are first tried so far apart, then one by one about the best."""


def choose(ask: Ask, course: Course) -> tuple[date, float] | Problem:
    """(day of setting out or drilling, share of a plant's stems that counts in a usual season).

    Dried stems keep: the crop goes out in its own window, later only where that has gone by. Fresh stems must
    come on their day: it may go out later. The day is the one that serves best over all seasons, so that the promised
    day falls in the middle of the flush; of days that do equally well the last, that spares bed and store.
    """
    start, end, last = allowed(ask, course)
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
        return Problem(_too_late_out(ask, course, start, end), "impossible")
    best = _best(ask, course, start, end)
    return (best, course.share(best)) if best is not None else _too_late(ask, course, start, end)


def _too_late_out(ask: Ask, course: Course, start: date, end: date) -> str:
    """That the last day for going out is over, or comes before anything sown now would be ready for it."""
    crop = ask.sheet.crop
    if ask.today is not None and end < ask.today:
        verb = "to sow" if course.drilled else "to set out"
        return (
            f"It is too late this season {verb} {crop}: the last day was {short_day(end)}. Stems bought in, or next "
            "year, would do."
        )
    return (
        f"It is too late this season: sown now, {crop} could go out on {short_day(start)}, and {short_day(end)} is "
        "the last day for it. Bought plants, or next year, would do."
    )


def allowed(ask: Ask, course: Course) -> tuple[date, date, date]:
    """First and last day to choose from, and the last that would do if it is fixed by hand."""
    start = course.window[0]
    if ask.today is not None:
        tray = ask.sheet.weeks_in_tray
        raising = weeks(tray.value[0]) if tray is not None and not course.drilled else timedelta()
        start = max(start, ask.today + raising)
    last = max(course.latest, course.window[1])
    keeps = course.dries is not None and ask.only_days is None
    return start, min(max(course.window[1], start), last) if keeps else last, last


def _best(ask: Ask, course: Course, start: date, end: date) -> date | None:
    """The day that serves best, the last of equals; None where in a usual season no stem comes in time."""
    days = [start + timedelta(days=i) for i in range((end - start).days + 1)]
    usual = usual_season(ask, course)
    each = {day: of_plants(ask, course, day, [usual])[0].mean for day in days}
    most = max(each.values())
    days = [day for day in days if each[day] > LEAST_SHARE]
    if not days:
        return None
    seasons = seasons_of(columns_of(ask, course, FEW), usual)
    found: dict[date, float] = {}

    def best_of(some: list[date]) -> date:
        for day in some:
            if day not in found:
                found[day] = serves(ask, course, day, seasons, most)
        best = max(found.values())
        return max(day for day in found if found[day] >= best - AS_GOOD)

    near = best_of([*days[::COARSE_DAYS], days[-1]])
    return best_of([day for day in days if abs((day - near).days) < COARSE_DAYS])


def _too_late(ask: Ask, course: Course, start: date, end: date) -> Problem:
    wish = ask.wish
    first = course.first_cut(start)
    if course.ends is not None and first > course.ends[0]:
        sentence = f"No stem can be cut before {course.ends[1]}: the first cut would be {short_day(first)}"
    elif first > course.count_by:
        dried = f", dry and boxed {short_day(ready_on(ask, first))}" if course.dries is not None else ""
        sentence = (
            f"The first cut of {wish.crop} is to be expected {short_day(first)}{dried}: too late for "
            f"{short_day(wish.by)}"
        )
        if (day := _day_that_would_do(ask, course, first)) is not None:
            sentence += f". By {long_day(day)} would do"
    else:
        last = course.last_cut(end)
        ended = last if course.ends is None else min(last, course.ends[0])
        sentence = f"Cutting of {wish.crop} is over by {short_day(ended)}"
        if course.dries is not None:
            sentence += f": nothing is cut any more to be dry by {short_day(wish.by)}"
        else:
            sentence += f" and fresh stems do not keep until {short_day(wish.by)}"
            if _meets(replace(ask, wish=replace(wish, use="dry"))):
                sentence += "; dried ones do"
    other = _other_way(ask)
    if other:
        sentence += f"; grown the {other} way it can be had in time"
    return Problem(f"{sentence}.", "impossible", (other,) if other else ())


def _day_that_would_do(ask: Ask, course: Course, first: date) -> date | None:
    """A day to promise, with a week of cutting before it where the season has one; None where there is none."""
    last = first + timedelta(days=7)
    if course.ends is not None:
        last = min(last, course.ends[0])
    day = ready_on(ask, last)
    return day if _meets(replace(ask, wish=replace(ask.wish, by=day))) else None


def _meets(ask: Ask) -> bool:
    """Whether any stem would come in time."""
    sheet = ask.sheet
    if ask.wish.use == "dry" and (sheet.dry_stage is None or sheet.drying_days is None):
        return False
    course = Course.of(ask)
    if isinstance(course, Problem):
        return False
    start, end, _ = allowed(ask, course)
    if ask.set_out_on is not None:
        start = end = ask.set_out_on
    return start <= end and _best(ask, course, start, end) is not None


def _other_way(ask: Ask) -> str | None:
    """Another way of growing the crop that meets the wish."""
    if ask.set_out_on is not None:
        return None
    for way in ways(ask.sheet.crop):
        found = library_sheet(ask.sheet.crop, way)
        if way == ask.sheet.way or isinstance(found, Problem):
            continue
        if _meets(replace(ask, sheet=found, wish=replace(ask.wish, way=way))):
            return way
    return None
