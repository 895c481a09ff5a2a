"""How a crop goes on this farm, and which of its days of cutting count for a wish."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from core.crops.calendar import crop_dates, cutting_ends
from core.crops.course import goes_out_before, is_planted
from core.crops.figure_words import lacks
from core.crops.frost_dates import autumn_bound
from core.crops.sheet import Figure, Span, days_from_bed_sowing
from core.crops.windows import Window
from core.plans import flushes as flush
from core.plans import succession
from core.plans.defaults import COMMON, FROST_DAYS, GIVE, LARGE_SEED, LONGEST_HOLD, RANGES, USUAL, about_one
from core.plans.second_year import flowers_from, window_before
from core.plans.wish import Ask
from core.problems import Problem
from core.reckon.spreads import Z, at_chance, even, positive, usual
from core.reckon.vase_life import ageing_factor
from core.reckon.vase_trials import SPREAD, Spell, at_worst, own_share
from core.units import weeks

OF_SEASON = 0.5
"""Of the variance of a sheet's range of stems a plant: half is that of whole seasons and sorts, half that from plant
to plant, which evens out over many (common practice)."""
SPENT = 1 / 3
"""Of its vase life a fresh stem may spend in the cooler: the buyer is left most of it (common practice)."""
COOLER_C = 3.3
"""38 F: the warm end of the 34 to 38 F that stems are kept at [S40 S102]."""
LATER_DAYS = 90
"""Days past its window after which nothing more is set out, where no autumn frost is known (common
practice)."""
MORE_HARDY_DAYS = 42
"""As `LATER_DAYS`, for a hardy crop that is sown in succession: it dislikes the heat (common practice)."""


@dataclass(frozen=True, slots=True)
class Course:
    """How a crop goes on this farm: its window, days to the first cut, and the days whose stems count.

    `lag`, `stems`, `weeks` and `dries` are ranges: what happens lies in them eight times in ten; of `stems` what single
    plants give, of `season_stems` what their mean in a season is, and `sd` the spread from plant to plant. What is said
    of days and shares here is of a usual season, in the middle of them all; `core.plans.seasons` reckons with all
    seasons.
    `count_by` is the last day whose stems can be handed over in a usual season, `frost_days` how far the autumn frost
    that ends the cutting strays from its day.
    """

    drilled: bool
    window: tuple[date, date]
    because: str
    anchor: str
    latest: date
    lag: Figure[Span]
    stems: Figure[Span]
    season_stems: Span
    sd: Figure[float]
    weeks: Figure[Span]
    flushes: tuple[flush.Flush, ...]
    count_from: date
    count_by: date
    ends: tuple[date, str] | None
    frost_days: float
    dries: Span | None
    hold: Figure[float]
    doubles: Figure[Span] | None
    """Of the plants, those worth having; None where all are."""

    @staticmethod
    def of(ask: Ask, seen: Figure[Span] | None = None) -> Course | Problem:
        """The course of the crop; `seen` are days to the first cut of what stands already: it needs no window."""
        sheet, given = ask.sheet, ask.given
        drilled = _is_drilled(ask)
        calendar = crop_dates(sheet, ask.frost, bounds=ask.bounds, direct=drilled)
        window = calendar.windows.get("direct_sow" if drilled else "set_out")
        if goes_out_before(sheet) and seen is None:
            before = window_before(ask)
            if isinstance(before, Problem):
                return before
            window, seen = before, flowers_from(ask, before.start)
        if window is None and seen is not None:
            window = Window(ask.wish.by, ask.wish.by, seen.source)
        if window is None:
            return _no_window(ask, " ".join(calendar.because))
        lag = seen or _days_to_cut(ask, drilled)
        weeks_of_cutting = _said(given.cut_weeks) or _given_way(sheet.cut_weeks, "weeks")
        if lag is None or weeks_of_cutting is None:
            missing = [] if lag is not None else ["days_from_sowing" if drilled else "days_to_first_cut"]
            missing += [] if weeks_of_cutting is not None else ["cut_weeks"]
            return lacking(ask, *missing)
        stems = _said(given.stems_per_plant) or _given_way(sheet.stems_per_plant, "stems")
        if stems is None:
            return lacking(ask, "stems_per_plant")
        hangs = None if ask.wish.use == "fresh" else sheet.drying_days
        dries = None if hangs is None else about_one(hangs.value, "days")
        hold = hold_of(ask)
        ends = cutting_ends(sheet, ask.frost)
        count_by = ask.wish.by - timedelta(days=days_to_dry(ask))
        count_from = date.min
        if ask.only_days is not None:
            count_from = count_by - timedelta(days=ask.only_days - 1)
        elif dries is None:
            count_from = count_by - timedelta(days=round(hold.value))
        if ends is not None:
            count_by = min(count_by, ends[0])
        return Course(
            drilled,
            (window.start, window.end),
            window.because,
            window.anchor,
            window.end if goes_out_before(sheet) else _latest(ask, window.end, ends),
            lag,
            stems,
            _of_a_season(stems.value),
            given.stems_sd or _spread(stems),
            weeks_of_cutting,
            flush.flushes(usual(stems.value), usual(weeks_of_cutting.value)),
            count_from,
            count_by,
            ends,
            _frost_days(ask),
            dries,
            hold,
            _said(given.doubles) or sheet.doubles_share,
        )

    def first_cut(self, out: date) -> date:
        """The day on which cutting begins in a usual season."""
        return out + timedelta(days=round(even(self.lag.value, 0.0)))

    def last_cut(self, out: date) -> date:
        cutting = max(weeks(usual(self.weeks.value)) - timedelta(days=1), timedelta())
        return self.first_cut(out) + cutting

    def share(self, out: date) -> float:
        """The share of a plant's stems that is cut on days that count, in a usual season."""
        return flush.share_between(self.flushes, self.first_cut(out), self.count_from, self.count_by)

    def stems_each(self) -> float:
        """Stems that a plant gives in a usual season."""
        return usual(self.stems.value)


def _no_window(ask: Ask, because: str) -> Problem:
    """Why no week for planting is known, with the line that would tell it of a crop of the farm's own."""
    sheet = ask.sheet
    if sheet.own_like is None or ask.frost.last_frost is None:
        return Problem(because, "impossible")
    wants = ["set_out_weeks"]
    if sheet.weeks_in_tray is None and not is_planted(sheet):
        wants.insert(0, "weeks_in_tray")
    return lacking(ask, *wants)


def lacking(ask: Ask, *wants: str, can: tuple[str, ...] = ()) -> Problem:
    """That the sheet has no such figures for a plan; of a crop of the farm's own all are named that a plan needs, with
    one line that gives them. `can`: the uses that it has."""
    sheet, given = ask.sheet, ask.given
    if sheet.own_like is None:
        return Problem(lacks(sheet.crop, *wants), "impossible", can)
    windows = crop_dates(sheet, ask.frost, bounds=ask.bounds).windows
    no_window = not _is_drilled(ask) and "set_out" not in windows
    lag = "days_from_sowing" if _is_drilled(ask) else "days_to_first_cut"
    needs = {
        "weeks_in_tray": no_window and not is_planted(sheet),
        "set_out_weeks": no_window,
        lag: given.days_to_first_cut is None,
        "cut_weeks": given.cut_weeks is None,
        "stems_per_plant": given.stems_per_plant is None,
        "spacing_in": given.spacing_in is None,
        "drying_days": ask.wish.use != "fresh",
        f"{ask.wish.use}_stage": True,
    }
    have = sheet.figures()
    missing = [figure for figure, is_needed in needs.items() if is_needed and figure not in have]
    figures = [*(figure for figure in wants if figure not in missing), *missing]
    return Problem(lacks(sheet.crop, *figures), "impossible", can)


def _is_drilled(ask: Ask) -> bool:
    if ask.direct is not None:
        return ask.direct
    if ask.sheet.weeks_in_tray is None:
        return ask.sheet.direct_sow_weeks is not None
    how = ask.sheet.direct_sow
    return how is not None and how.value in ("preferred", "only", "yes")


def hold_of(ask: Ask) -> Figure[float]:
    """Days that a fresh stem may wait in the cooler: as said; else until a third of its vase life is spent at the
    worst that trials saw there, a week at most, and no longer than its sheet bears.

    A crop of which nobody says how cold it is kept waits a few days, as usual.
    """
    sheet = ask.sheet
    if ask.given.hold_days is not None:
        return ask.given.hold_days
    bears, life = sheet.storage_days_max, sheet.vase_life_days
    if sheet.storage_temp_f is None and bears is None:
        return USUAL["hold_days"]
    hold: Figure[float] = Figure(LONGEST_HOLD, "a few days to a week in the cooler [S22]")
    if life is not None and (days := _days_that_spend(sheet.crop, usual(life.value))) < hold.value:
        source = f"then a third of {life.text} days in the vase is spent at the worst that trials saw ({life.source})"
        hold = Figure(days, source)
    if bears is not None and bears.value < hold.value:
        return Figure(bears.value, f"longest in the cooler: {bears.source}")
    return hold


def _days_that_spend(crop: str, life: float) -> int:
    """The whole days in the cooler, a week at most, that take no more of a vase life of so many days than they may."""
    factor = [ageing_factor(COOLER_C)]
    for days in range(1, LONGEST_HOLD + 1):
        spells = [Spell(24.0 * days, COOLER_C)]
        own = own_share(crop, spells, factor)
        spent = at_worst(spells, factor) / life if own is None else own * (1 + SPREAD)
        if spent > SPENT:
            return days - 1
    return LONGEST_HOLD


def days_to_dry(ask: Ask) -> int:
    """Days from the cut until a stem can be handed over, in a usual season; 0 where it is sold fresh."""
    drying = drying_days(ask)
    return drying + round(ask.given.finish_days.value) if drying else 0


def that_live(ask: Ask, drilled: bool) -> tuple[Figure[float], Span]:
    """Of the good seed, the share that becomes plants, in the tray or where it is drilled; and its range from season to
    season. What she has said stands at her word."""
    name = "bed_emergence" if drilled else "survival"
    figure: Figure[float] = getattr(ask.given, name)
    count = ask.sheet.seeds_per_gram
    if drilled and figure == USUAL[name] and count is not None and usual(count.value) <= LARGE_SEED:
        name = "large_emergence"
        figure = USUAL[name]
    return figure, RANGES[name] if figure == USUAL[name] else (figure.value, figure.value)


def _said(figure: Figure[float] | None) -> Figure[Span] | None:
    """A figure at her word: a range of one number."""
    return None if figure is None else Figure((figure.value, figure.value), figure.source)


def _given_way(figure: Figure[Span] | None, sort: str) -> Figure[Span] | None:
    """A sheet's range; about a single number the usual give, but for the one stem of a plant that has no other."""
    if figure is None or figure.value[0] < figure.value[1] or (sort == "stems" and figure.value[1] <= 1):
        return figure
    source = f"{figure.source}; {round(100 * GIVE[sort])} % more or less: common practice"
    return Figure(about_one(figure.value, sort), source)


def _of_a_season(stems: Span) -> Span:
    """The middle 80 % of what plants give in the mean of a season, by the range of what single plants give.

    It is no narrower than the usual give (the means of six sorts of China aster in one year's trial, 3.2 to 7.3 stems,
    lie about so far from their middle), and no wider than the range.
    """
    middle, z = usual(stems), Z * OF_SEASON**0.5
    low, high = middle * (1 - GIVE["stems"]), middle * (1 + GIVE["stems"])
    return max(min(positive(stems, -z), low), stems[0]), min(max(positive(stems, z), high), stems[1])


def _spread(stems: Figure[Span]) -> Figure[float]:
    """The standard deviation of stems from plant to plant within one season."""
    least, most = stems.value
    if least == most:
        return Figure(0.0, COMMON)
    spread = (most - least) / 2 / Z * (1 - OF_SEASON) ** 0.5
    return Figure(spread, f"half of the variance that {stems.text} comes to: common practice")


def _frost_days(ask: Ask) -> float:
    """How many days the frost that ends cutting strays from its average, four years in five."""
    odds = autumn_bound(ask.sheet.hardiness_class, ask.frost)
    if odds is None:
        return FROST_DAYS
    threshold, risk = odds
    day, z = ask.frost.autumn[odds], at_chance(risk / 100)
    others = [
        (abs((other - day).days), abs(at_chance(chance / 100) - z))
        for (at, chance), other in ask.frost.autumn.items()
        if at == threshold and chance != risk and 0 < chance < 100
    ]
    return max((Z * days / away for days, away in others), default=FROST_DAYS)


def _days_to_cut(ask: Ask, drilled: bool) -> Figure[Span] | None:
    own = ask.given.days_to_first_cut
    if own is not None:
        return _given_way(_said(own), "days")
    sheet = ask.sheet
    if drilled:
        return _given_way(days_from_bed_sowing(sheet), "days")
    if sheet.days_to_first_cut is None and sheet.days_from_sowing is not None and sheet.weeks_in_tray:
        least, most = sheet.days_from_sowing.value
        short, long = (weeks(count).days for count in sheet.weeks_in_tray.value)
        source = "derived from days from sowing in the bed, less weeks in the tray"
        return Figure((max(least - long, 0), max(most - short, 0)), source)
    return _given_way(sheet.days_to_first_cut, "days")


def drying_days(ask: Ask) -> int:
    """Days that its stems hang, in a usual season; 0 where they are sold fresh."""
    days = ask.sheet.drying_days
    return 0 if ask.wish.use == "fresh" or days is None else round(usual(days.value))


def _latest(ask: Ask, window_end: date, ends: tuple[date, str] | None) -> date:
    """The last day on which it is worth while to set the crop out at all."""
    if ask.sheet.hardiness_class == "hardy":
        follows = ask.sheet.crop in succession.PUBLISHED
        return window_end + timedelta(days=MORE_HARDY_DAYS if follows else 0)
    later = window_end + timedelta(days=LATER_DAYS)
    return later if ends is None else max(window_end, min(later, ends[0]))


def ready_on(ask: Ask, cut: date) -> date:
    """The day on which stems cut on `cut` can be handed over."""
    return cut + timedelta(days=days_to_dry(ask))
