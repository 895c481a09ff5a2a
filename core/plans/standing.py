"""What stands already: the stems that plantings in the ground give for a wish, before anything is sown for it.

A planting of this season is reckoned as a plan's would be, from its own day. A perennial, shrub or bulb comes again
about when it was first cut before; one that was never cut, when she said that it blooms, else in the weeks of its
sheet. Plantings that another plan counts on are left to it. What they give and what is planted for the rest meet
the same seasons: one chance is reckoned of both together.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from core.beds.bloom import first_cut_in_bloom
from core.crops.calendar import crop_dates
from core.crops.color import is_of_color
from core.crops.course import first_season, flowers_next_year, stays, summer_year
from core.crops.sheet import Figure, MonthDay, Sheet, Span
from core.crops.spacing import plants_for_feet
from core.farm import Farm, Planting
from core.plans.crop_season import Course, drying_days, ready_on
from core.plans.plan import CutWeek, Plan, Promise, Step, by_week, stems_a_bunch, times_in_100
from core.plans.seasons import (
    NONE,
    NOTHING_ELSE,
    OfPlant,
    chance_of,
    columns_of,
    of_plants,
    seasons_of,
    together,
    usual_season,
)
from core.plans.second_year import flowers_from
from core.plans.wish import Ask, Standing
from core.problems import Problem
from core.settings.sheets import planting_sheet
from core.units import plural, short_day, weeks

EARLY_OR_LATE = 10
"""A perennial begins within so many days of its day in another year, four years in five (common practice)."""
THIS_SEASON = timedelta(days=366)
NEXT_SEASON = timedelta(days=540)
"""What goes out in the summer before is over by the end of the next year."""


@dataclass(frozen=True, slots=True)
class _Giving:
    """A planting that may give stems for a wish (`ask`: by the sheet of its own way): the day it is reckoned from, and
    how it goes."""

    ask: Ask
    standing: Standing
    out: date
    course: Course

    @property
    def plants(self) -> int:
        return self.standing.plants

    def usually(self) -> float:
        """Stems to hand over of all its plants, in a usual season."""
        usual = usual_season(self.ask, self.course)
        return self.plants * of_plants(self.ask, self.course, self.out, [usual])[0].mean


def with_standing(farm: Farm, ask: Ask, but: Collection[str] = ()) -> Ask:
    """The wish with the plantings of its crop that no other plan counts on, but for those named in `but`."""
    spoken_for = {
        code for plan in farm.plans.values() if plan.is_live for code, _, _ in (*plan.out, *plan.beside)
    }
    free = (p for p in farm.plantings.live() if p.code not in spoken_for and p.code not in but)
    return replace(
        ask, standing=tuple(_standing(farm, planting, ask) for planting in free if _is_of(planting, ask))
    )


def stands(farm: Farm, planting: Planting, ask: Ask) -> tuple[int, date, Course] | None:
    """(plants, the day they are reckoned from, how they go) of one planting, whoever counts on it; None where nothing
    is known of it."""
    found = _giving(replace(ask, standing=(_standing(farm, planting, ask),)))
    return (found[0].plants, found[0].out, found[0].course) if found else None


def of_kept(farm: Farm, ask: Ask, codes: Collection[str]) -> Ask:
    """The wish with those plantings, as far as they still stand."""
    found = (planting for planting in farm.plantings.live() if planting.code in codes)
    return replace(ask, standing=tuple(_standing(farm, planting, ask) for planting in found))


def given_beside(ask: Ask) -> tuple[OfPlant, ...]:
    """What all that stands gives together in each season; it shares the weather of what is planted for the rest.

    Its days are its own: no later sowing comes early or late as it does.
    """
    total = NOTHING_ELSE
    for one in _giving(ask):
        alone = replace(one.ask, steady=frozenset())
        seasons = seasons_of(columns_of(alone, one.course), usual_season(alone, one.course))
        each = of_plants(alone, one.course, one.out, seasons)
        total = tuple(together(before, of, one.plants) for before, of in zip(total, each, strict=True))
    return total


def usually_given(ask: Ask) -> float:
    """Stems to hand over of all that stands, in a usual season."""
    return sum(one.usually() for one in _giving(ask))


def plan_of_standing(ask: Ask) -> Plan | None:
    """The wish met by what stands, and how surely; None where nothing of it is to be expected in a usual season."""
    giving = [one for one in _giving(ask) if one.usually() > 0]
    if not giving:
        return None
    chance = chance_of(ask.wish.stems, 1, given_beside(ask), (NONE,) * len(NOTHING_ELSE))
    first = min(giving, key=lambda one: one.course.first_cut(one.out))
    course, plants = first.course, sum(one.plants for one in giving)
    cut_from = max(course.first_cut(first.out), course.count_from)
    cut_to = max(min(course.count_by, max(one.course.last_cut(one.out) for one in giving)), cut_from)
    least, most = (first.out + timedelta(days=round(days)) for days in course.lag.value)
    expected: dict[date, int] = {}
    for one in giving:
        last = min(one.course.count_by, one.course.last_cut(one.out))
        start = max(one.course.first_cut(one.out), one.course.count_from)
        for week in by_week(one.course, one.out, start, last, one.plants):
            expected[week.monday] = expected.get(week.monday, 0) + week.stems
    plan = Plan(
        ask=ask,
        to_cut=sum(expected.values()),
        plants=plants,
        plants_out=0,
        seeds=None,
        cells=None,
        cell_size=None,
        trays=None,
        grams=None,
        feet=0.0,
        sow_on=None,
        harden_on=None,
        set_out_on=None,
        first_cut=(least, most),
        cut_from=cut_from,
        cut_to=cut_to,
        ready_on=ready_on(ask, cut_to),
        occupied_to=cut_to,
        drying_days=drying_days(ask) or None,
        per_bunch=stems_a_bunch(ask.sheet, ask.wish.use),
        by_week=tuple(CutWeek(monday, stems) for monday, stems in sorted(expected.items())),
        promise=Promise(chance, 0, None),
        steps=(),
        calendar=crop_dates(ask.sheet, ask.frost, bounds=ask.bounds),
        stands=tuple(one.standing.code for one in giving),
    )
    return replace(plan, steps=(_step(ask, giving), *_expected(plan, first)))


def beside_standing(plan: Plan) -> Plan:
    """The plan for a wish of which plantings in the ground give a part: it names them and what they give."""
    ask = plan.ask
    giving = [one for one in _giving(ask) if one.usually() >= 0.5]
    if not giving:
        return plan
    given = min(round(sum(one.usually() for one in giving)), ask.wish.stems)
    says = f"about {given} of {plural(ask.wish.stems, 'stem')}: what is planted makes up the rest"
    step = replace(_step(ask, giving), says=says, because="one chance is reckoned of both together")
    stands = tuple(one.standing.code for one in giving)
    return replace(plan, stands=stands, steps=(step, *plan.steps) if plan.steps else ())


def why_not_counted(ask: Ask) -> Problem | None:
    """Why what stands cannot be reckoned with, and what would tell it; None where nothing stands then, or it can."""
    still = [one for one in ask.standing if stays(one.sheet) or _is_of_its_season(one, ask)]
    if not still or _giving(ask):
        return None
    one = still[0]
    own, named = replace(ask, sheet=one.sheet), f"{one.code}, {ask.sheet.crop} in {one.bed}, stands already"
    if (begun := _begun(one, own)) is None:
        if stays(one.sheet) and (
            year := _bears_from(one.sheet, one.out, south=ask.frost.in_south)
        ) > summer_year(ask.wish.by, south=ask.frost.in_south):
            return Problem(f"{named}, and is not cut before {year}.", "not yet")
        return Problem(f"{named}, and was never cut: its first cut, once written, tells when.", "not yet")
    course = Course.of(replace(own, direct=one.drilled), begun[1])
    return Problem(f"{named}. {course.sentence}", course.code) if isinstance(course, Problem) else None


def _giving(ask: Ask) -> list[_Giving]:
    """What stands, by the day each is reckoned from, less what nothing is known of."""
    found = []
    for standing in ask.standing:
        own = replace(ask, sheet=standing.sheet)
        begun = _begun(standing, own)
        if begun is None or standing.plants < 1:
            continue
        out, lag = begun
        course = Course.of(replace(own, direct=standing.drilled), lag)
        if isinstance(course, Problem):
            continue
        if ask.today is not None:
            course = replace(course, count_from=max(course.count_from, ask.today))
        found.append(_Giving(own, standing, out, course))
    return found


def _step(ask: Ask, giving: Sequence[_Giving]) -> Step:
    of = ", ".join(
        f"{one.standing.code} in {one.standing.bed} ({plural(one.plants, 'plant')})" for one in giving
    )
    lags = "; ".join(dict.fromkeys(one.course.lag.source for one in giving))
    return Step("what stands", f"{plural(ask.wish.stems, 'stem')} of {of}", "it is counted first", lags)


def _expected(plan: Plan, first: _Giving) -> Iterator[Step]:
    sure = plan.ask.given.sure
    says = f"kept {times_in_100(plan.promise.chance)}"
    if plan.promise.chance < sure.value:
        says += f", not {times_in_100(sure.value)}: nothing more can be planted for it in time"
    yield Step("chance", says, f"about {plan.to_cut} stems count in a usual season", sure.source)
    early, late = (short_day(day) for day in plan.first_cut)
    yield Step("first cut", f"{early} to {late}", f"of {first.standing.code}", first.course.lag.source)


def _is_of(planting: Planting, ask: Ask) -> bool:
    """Whether it is what is wished for; whatever its way of growing, where none is said."""
    wish = ask.wish
    is_grown_so = planting.crop == wish.crop and wish.way in (None, planting.way)
    return is_grown_so and is_of_color(planting.variety, wish.variety)


def _standing(farm: Farm, planting: Planting, ask: Ask) -> Standing:
    sheet = planting_sheet(farm, planting) or ask.sheet
    first = first_cut_in_bloom(farm, planting, sheet)
    return Standing(
        planting.code,
        planting.bed,
        sheet,
        _plants(farm, planting, sheet),
        date.fromisoformat(planting.out_on),
        None if first is None else date.fromisoformat(first),
        planting.drilled,
    )


def _plants(farm: Farm, planting: Planting, sheet: Sheet) -> int:
    """The plants alive in a planting: as written, else as many as its feet of bed hold, less those lost."""
    count, bed = planting.plants, farm.beds.get(planting.bed)
    if count is None and bed is not None and sheet.spacing_in is not None:
        count = plants_for_feet(planting.feet, bed.width_in, sheet.spacing_in.value)
    return (count or 0) - sum(planting.lost.values())


def _bears_from(sheet: Sheet, out: date, *, south: bool) -> int:
    """The first year in which what was planted then is cut: a later one, and not before its first."""
    return max(first_season(sheet, out, south=south), summer_year(out, south=south) + 1)


def _bloom_for(ask: Ask, bloom: MonthDay) -> date:
    """Her day of bloom in the season of the day that is wished for."""
    last = ask.frost.last_frost
    return bloom.of(ask.wish.by.year) if last is None else bloom.of_season(last)


def _flowers_next_year(standing: Standing, ask: Ask) -> bool:
    return flowers_next_year(standing.sheet, standing.out, south=ask.frost.in_south)


def _is_of_its_season(standing: Standing, ask: Ask) -> bool:
    """Whether what is over within a season still stands on the day wished for."""
    lasts = NEXT_SEASON if _flowers_next_year(standing, ask) else THIS_SEASON
    return standing.out < ask.wish.by and ask.wish.by - standing.out <= lasts


def _begun(standing: Standing, ask: Ask) -> tuple[date, Figure[Span] | None] | None:
    """(the day it is reckoned from, its days to the first cut where its own record says them); None where unknown."""
    out, by, cut = standing.out, ask.wish.by, standing.first_cut
    if stays(ask.sheet) and cut is not None:
        years = round((by - cut).days / 365.25 - 0.25)
        start = cut - timedelta(days=EARLY_OR_LATE)
        again = start + timedelta(days=round(365.25 * years))
        seen = cut.year == by.year
        give = 0 if seen else EARLY_OR_LATE
        source = f"own record: first cut {short_day(cut)} {cut.year}"
        return again, Figure((float(EARLY_OR_LATE - give), float(EARLY_OR_LATE + give)), source)
    if cut is None and stays(ask.sheet) and (found := _never_cut(standing, ask)) is not None:
        return found
    if _is_of_its_season(standing, ask):
        if cut is None:
            return out, flowers_from(ask, out) if _flowers_next_year(standing, ask) else None
        days = float((cut - out).days)
        return out, Figure((days, days), f"own record: first cut {cut.isoformat()}")
    return None


def _never_cut(standing: Standing, ask: Ask) -> tuple[date, Figure[Span]] | None:
    """As `_begun`, of what has stood for years and was never cut: by the day she said that it blooms, else by the weeks
    of its sheet, which on her ground may be off by as much as one year is from another; None before it bears."""
    south, flowers, last = ask.frost.in_south, ask.sheet.flowers_weeks, ask.frost.last_frost
    if _bears_from(ask.sheet, standing.out, south=south) > summer_year(ask.wish.by, south=south):
        return None
    if (bloom := ask.sheet.bloom) is not None:
        begins, wide, source = (
            _bloom_for(ask, bloom.value),
            0,
            f"blooms here from {bloom.text}: {bloom.source}",
        )
    elif flowers is None or last is None or _planted_last_fall(standing, ask):
        return None
    else:
        begins, end = (last + weeks(count) for count in flowers.value)
        wide = (end - begins).days
        source = f"{flowers.text} weeks from the last frost, never cut yet: {flowers.source}"
    return begins - timedelta(days=EARLY_OR_LATE), Figure((0.0, float(wide + 2 * EARLY_OR_LATE)), source)


def _planted_last_fall(standing: Standing, ask: Ask) -> bool:
    """Whether it flowers for the first time, as a plan would reckon with it."""
    return _flowers_next_year(standing, ask) and _is_of_its_season(standing, ask)
