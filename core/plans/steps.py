"""A plan said link by link: what each comes to, why, and whose word that is."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from math import ceil

from core.crops.frost_dates import spring_bound
from core.crops.sheet import Figure
from core.crops.spacing import feet_for_plants, plants_per_foot
from core.dialect import told_a_foot, told_degrees, told_feet, told_size
from core.plans import flushes as flush
from core.plans.crop_season import Course, that_live
from core.plans.in_turns import plantings_step
from core.plans.plan import Plan, Step, times_in_100
from core.plans.poor_yield import best_day_step, costly_step, many_step, promise_step
from core.reckon.counts import Seeds
from core.reckon.spreads import usual
from core.text import named
from core.units import long_day, number, plural, short_day

SAFE_LATER = timedelta(days=20)
"""From the day of 32 F one year in two to that of one year in ten: 20 and 27 days at two stations [S64]."""


def steps_of(
    plan: Plan,
    course: Course,
    share: float,
    years: float,
    seeds: Seeds | None,
    spacing: Figure[float],
) -> tuple[Step, ...]:
    """Every link of a plan, the last first, then what else is to be known of it.

    `share` of a plant's stems counts in a usual season; `years` the stems lie in store; `spacing` in inches.
    """
    found = [
        best_day_step(plan),
        _ready_step(plan, course),
        promise_step(plan, course),
        many_step(plan, course),
        _cull_step(plan, course, years),
        _share_step(plan, course, share),
        _plants_step(plan, course, share),
        _bed_step(plan, spacing),
        None if seeds is None else _seeds_step(plan, course, seeds),
        _trays_step(plan),
        *_datesteps_of(plan, course),
        _singles_step(plan, course),
        plantings_step(plan, course),
        costly_step(plan),
        _late_frost_step(plan, course),
        *_remarks(plan, course),
    ]
    return tuple(step for step in found if step is not None)


def _plants_step(plan: Plan, course: Course, share: float) -> Step:
    loss = plan.ask.given.bed_loss
    return Step(
        "plants to set out" if not course.drilled else "plants in the bed",
        plural(plan.plants_out, "plant"),
        f"the fewest that keep the promise {times_in_100(plan.promise.chance)}: {course.stems.text} stems a plant, "
        f"of which {number(round(100 * share))} % count in a usual season; "
        f"{number(100 * loss.value)} % of the plants are lost in the bed",
        f"{course.stems.source}; spread from plant to plant: {course.sd.source}; {loss.source}",
    )


def _bed_step(plan: Plan, spacing: Figure[float]) -> Step:
    width = plan.ask.given.bed_width_in.value
    return Step(
        "bed",
        told_feet(plan.feet),
        f"{told_a_foot(plants_per_foot(width, spacing.value), 'plants')} of a bed {told_size(width)} wide, "
        f"{told_size(spacing.value)} apart",
        spacing.source,
    )


def _seeds_step(plan: Plan, course: Course, seeds: Seeds) -> Step:
    return Step("seeds", _seeds_say(plan), " ".join(seeds.because), _seeds_source(plan, course, seeds))


def _trays_step(plan: Plan) -> Step | None:
    if plan.trays is None:
        return None
    cells = plan.ask.given.cells_per_tray
    return Step(
        "trays",
        f"{plural(plan.trays, 'tray')} of {plan.cell_size}",
        f"{plan.cells} cells, one seed to each",
        cells.source if cells else "cells that suit the crop: from memory",
    )


def _remarks(plan: Plan, course: Course) -> Iterator[Step]:
    """What is no link of the chain: a frost that is not known, a caution, a day that has gone by."""
    ask, sheet = plan.ask, plan.ask.sheet
    if course.ends is None and not ask.frost.autumn and sheet.hardiness_class != "hardy":
        yield Step(
            "first frost",
            "not known",
            "cutting is counted on as if none came before: write it, such as 'first frost 28 sept'",
            "this plan",
        )
    if ask.wish.use != "fresh" and sheet.caution is not None:
        yield Step("caution", sheet.caution.text, "when it is handled", sheet.caution.source)
    if ask.today is not None and plan.sow_on == ask.today and not course.drilled:
        yield Step("late", "sow today", "the day it should have been sown has gone by", "this plan")


def _ready_step(plan: Plan, course: Course) -> Step:
    ask, wish = plan.ask, plan.wish
    name = named(wish.crop, wish.variety)
    if course.dries is not None:
        days = ask.sheet.drying_days
        assert days is not None
        more = number(ask.given.finish_days.value)
        because = f"it dries in {days.text} days, {number(plan.drying_days or 0)} in a usual season, and {more} more"
        source = f"{days.source}; {ask.given.finish_days.source}"
    else:
        waits = plural(round(course.hold.value), "day")
        because = f"what is cut waits in water in the cooler, at {told_degrees(34, 38)}, {waits} at most"
        source = course.hold.source
    if course.ends is not None and course.count_by == course.ends[0]:
        because += f"; cutting ends by {course.ends[1]}"
    promised = f"{plural(wish.stems, 'stem')} of {name}, {wish.use}, by {short_day(wish.by)}"
    return Step(
        "promised",
        f"{promised}: cut by {short_day(plan.cut_to)}",
        because,
        source,
    )


def _cull_step(plan: Plan, course: Course, years: float) -> Step:
    given = plan.ask.given
    parts = [f"{number(100 * given.cull.value)} % culled"]
    sources = [given.cull.source]
    if course.dries is not None:
        stored = 100 * (1 - (1 - given.storage_loss.value) ** years)
        parts.append(f"{number(100 * given.drying_loss.value)} % lost in drying")
        parts.append(f"{number(stored)} % in {plural(round(365 * years), 'day')} of store")
        sources += [given.drying_loss.source, given.storage_loss.source]
    return Step("stems to cut", plural(plan.to_cut, "stem"), ", ".join(parts), "; ".join(sources))


def _share_step(plan: Plan, course: Course, share: float) -> Step:
    cutting = (
        f"{course.weeks.text} weeks of cutting from about {short_day(course.first_cut(plan.in_bed_from))}"
    )
    each = ", ".join(number(round(course.stems_each() * part.share, 1)) for part in course.flushes)
    days = f"{short_day(plan.cut_from)} to {short_day(plan.cut_to)}"
    return Step(
        "stems in time",
        f"{number(round(100 * share))} % of a plant's stems in a usual season, cut {days}",
        f"{cutting}; stems a plant by flush: {each}",
        f"{course.weeks.source}; {flush.SOURCE}",
    )


def _late_frost_step(plan: Plan, course: Course) -> Step | None:
    """That a tender crop goes out while frost is likely still, where only the average last frost is known."""
    ask = plan.ask
    average, kind = ask.frost.last_frost, ask.sheet.hardiness_class
    if course.drilled or kind != "tender" or average is None:
        return None
    own = (ask.bounds or {}).get(kind, ())
    if spring_bound(kind, ask.frost, own) is not None or plan.in_bed_from >= average + SAFE_LATER:
        return None
    return Step(
        "late frost",
        f"one year in two it freezes after {short_day(average)}: have a cover by",
        f"a tender crop, and only the average last frost is known: the day after which {told_degrees(32)} comes one "
        "year in ten is some 20 to 27 days later; the odds of a station tell it",
        "S64",
    )


def _singles_step(plan: Plan, course: Course) -> Step | None:
    """What the bed must hold where singles cannot be told from doubles before they flower."""
    doubles = usual(course.doubles.value) if course.doubles is not None else 1.0
    if course.doubles is None or doubles == 1 or plan.seeds is None:
        return None
    given = plan.ask.given
    spacing = given.spacing_in or plan.ask.sheet.spacing_in
    assert spacing is not None  # the bed was reckoned from it
    all_out = ceil(plan.plants_out / doubles - 1e-9)
    feet = feet_for_plants(all_out, given.bed_width_in.value, spacing.value)
    where = "bed" if course.drilled else "tray"
    return Step(
        "singles",
        f"thrown out in the {where}; told only in flower, {all_out} plants and {told_feet(feet)}",
        f"of those that live {number(round(100 * doubles))} % are doubles; the bed above holds doubles alone, "
        "which not every strain shows as a seedling",
        f"{course.doubles.source}; telling them apart: from memory",
    )


def _seeds_say(plan: Plan) -> str:
    grams = plan.grams
    if grams is None:
        return plural(plan.seeds or 0, "seed")
    least, most = (f"{gram:.2g}" if gram < 0.1 else number(gram) for gram in grams)
    span = least if least == most else f"{least} to {most}"
    return f"{plural(plan.seeds or 0, 'seed')}, about {span} g"


def _seeds_source(plan: Plan, course: Course, seeds: Seeds) -> str:
    given, sheet = plan.ask.given, plan.ask.sheet
    lives = that_live(plan.ask, course.drilled)[0]
    sources = [f"germination: {given.germination.source}", f"those that live: {lives.source}"]
    if course.doubles is not None:
        sources.append(f"doubles: {course.doubles.source}")
    if plan.grams is not None:
        weighed = sheet.seeds_per_gram or sheet.grams_per_1000_plants
        sources.append(f"grams: {weighed.source if weighed else ''}")
    return "; ".join([*sources, seeds.source])


def _datesteps_of(plan: Plan, course: Course) -> list[Step]:
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
            f"hangs on {course.anchor}" if course.anchor else "this plan",
        )
    )
    early, late = (short_day(day) for day in plan.first_cut)
    what = "drilling" if course.drilled else "setting out"
    steps.append(
        Step(
            "first cut",
            f"{early} to {late}" if early != late else f"about {early}",
            f"{course.lag.text} days after {what}; the middle of them in a usual season",
            course.lag.source,
        )
    )
    return steps
