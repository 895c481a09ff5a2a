"""How a crop goes on this farm, and which of its days of cutting count for a wish."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import sqrt

from core.crops.calendar import crop_dates, cutting_ends
from core.crops.sheet import Figure, Sheet, Span, days_from_bed_sowing
from core.plans import flushes as flush
from core.plans import succession
from core.plans.wish import COMMON, Ask
from core.problems import Problem
from core.units import weeks

SD_OF_RANGE = 4
"""A range is about four times the spread (a rule of thumb of statistics): 10 to 25 stems, spread 3.75."""
LATER_DAYS = 90
"""Days past its window after which nothing more is set out, where no autumn frost is known (common
practice)."""
MORE_HARDY_DAYS = 42
"""As `LATER_DAYS`, for a hardy crop that is sown in succession: it dislikes the heat (common practice)."""


@dataclass(frozen=True, slots=True)
class Course:
    """How a crop goes on this farm: its window, days to the first cut, and the days whose stems count."""

    drilled: bool
    window: tuple[date, date]
    because: str
    anchor: str
    latest: date
    lag: Figure[Span]
    stems: Figure[float]
    is_one_stem: bool
    """One stem and the plant is done, so none gives more where another gives less."""
    sd: Figure[float]
    weeks: Figure[float]
    flushes: tuple[flush.Flush, ...]
    count_from: date
    count_by: date
    ends: tuple[date, str] | None
    drying: int
    doubles: Figure[float] | None
    """Of the plants, those worth having; None where all are."""

    @staticmethod
    def of(ask: Ask) -> Course | Problem:
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
        drying = drying_days(ask)
        ends = cutting_ends(sheet, ask.frost)
        count_by = ask.wish.by - timedelta(days=drying + (round(given.finish_days.value) if drying else 0))
        count_from = date.min
        if ask.only_days is not None:
            count_from = count_by - timedelta(days=ask.only_days - 1)
        elif not drying:
            count_from = count_by - timedelta(days=round(given.hold_days.value))
        if ends is not None:
            count_by = min(count_by, ends[0])
        return Course(
            drilled,
            (window.start, window.end),
            window.because,
            window.anchor,
            _latest(ask, window.end, ends),
            lag,
            stems,
            _is_one_stem(ask, stems),
            given.stems_sd or _spread(sheet, stems),
            weeks_of_cutting,
            flush.flushes(stems.value, weeks_of_cutting.value),
            count_from,
            count_by,
            ends,
            drying,
            given.doubles or _least(sheet.doubles_share),
        )

    def first_cut(self, out: date) -> date:
        """The day by which cutting has surely begun."""
        return out + timedelta(days=round(self.lag.value[1]))

    def last_cut(self, out: date) -> date:
        cutting = max(weeks(self.weeks.value) - timedelta(days=1), timedelta())
        return self.first_cut(out) + cutting

    def share(self, out: date) -> float:
        """The share of a plant's stems that is cut on days that count."""
        return flush.share_between(self.flushes, self.first_cut(out), self.count_from, self.count_by)

    def spread(self, share: float) -> float:
        """The spread of the stems a plant gives on days that count, of which `share` are.

        A plant of one stem gives it on those days or not: sqrt(share (1 - share)), as of any yes or no.
        """
        if self.is_one_stem and share < 1:
            return sqrt(self.stems.value * share * (1 - share))
        return self.sd.value * share

    def spread_source(self, share: float) -> str:
        """Whose word the spread is."""
        return "one stem, in time or not" if self.is_one_stem and share < 1 else self.sd.source

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


def _is_one_stem(ask: Ask, stems: Figure[float]) -> bool:
    span = ask.sheet.stems_per_plant
    return stems.value <= 1 and ask.given.stems_sd is None and (span is None or span.value[1] <= 1)


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


def drying_days(ask: Ask) -> int:
    days = ask.sheet.drying_days
    return 0 if ask.wish.use == "fresh" or days is None else round(days.value[1])


def _latest(ask: Ask, window_end: date, ends: tuple[date, str] | None) -> date:
    """The last day on which it is worth while to set the crop out at all."""
    if ask.sheet.hardiness_class == "hardy":
        follows = ask.sheet.crop in succession.PUBLISHED
        return window_end + timedelta(days=MORE_HARDY_DAYS if follows else 0)
    later = window_end + timedelta(days=LATER_DAYS)
    return later if ends is None else max(window_end, min(later, ends[0]))


def ready_on(ask: Ask, cut: date) -> date:
    """The day on which stems cut on `cut` can be handed over."""
    drying = drying_days(ask)
    return cut + timedelta(days=drying + round(ask.given.finish_days.value)) if drying else cut
