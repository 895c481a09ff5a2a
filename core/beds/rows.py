"""The beds as she walks them: what stands in each, how old it is, what it needs next, and what is at stage."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from datetime import date, timedelta
from typing import Literal, NamedTuple, TypeAlias

from core.beds.days_of_cutting import days_of_cutting
from core.beds.kinds import Declined, free_feet
from core.crops.course import (
    flowers_again,
    is_lifted,
    jobs_from,
    stays,
)
from core.crops.sheet import Sheet
from core.crops.windows import Window
from core.dialect import told_degrees, told_size
from core.farm import Bed, Farm, Planting
from core.places import USES
from core.problems import Problem
from core.settings.sheets import in_south, planting_sheet
from core.text import named, natural
from core.units import short_day
from core.weather.night import (
    UNREAD_DAYS,
    UNREAD_MOST_DAYS,
    YOUNG_DAYS,
    Low,
    frost_unread,
    killed_on,
    low_ahead,
    may_kill,
    planting_tonight,
)

Job: TypeAlias = Literal[
    "",
    "cut all tonight",
    "cover tonight",
    "cover again tonight",
    "look",
    "lift",
    "net",
    "pinch",
    "cut",
    "clear",
]
"""What a planting needs next. "cut all tonight": frost may end it tonight, and it has stems worth cutting; "look":
frost came, what is black?; "lift": its tubers."""
JobToDo: TypeAlias = tuple[Job, date | None, str]
"""A job, the day for it (None: none), and why."""
NO_JOB: JobToDo = ("", None, "")

TONIGHT: dict[Job, str] = {
    "cut all tonight": "cut all",
    "cover tonight": "cover",
    "cover again tonight": "cover again",
}
"""The jobs that the night asks, and what is to be done, where "tonight" is said beside it."""

PINCH_DAYS = 21
"""Days after setting out when most are about 12 in tall, the height to pinch at [S44]; the days are common practice."""
NET_DAYS = 14
"""Days after setting out to have the net up: late nets bend stems (common practice)."""
TOO_LATE_DAYS = 28
"""Days after which a net or a pinch that was not written is asked for no more: the stems are up (ours)."""
DONE_AFTER_DAYS = 14
"""Days past its last cut after which a planting is asked to be cleared (common practice)."""
LIFT_DAYS = 7, 14
"""Days from the frost that blackens them within which dahlias are lifted: one to two weeks (common practice)."""
LIFTED_DAYS = 42
"""So long after that nothing can be lifted any more (ours)."""
LOOK_DAYS = 3
"""Days for which it is asked what a frost has taken (ours)."""


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
    also: tuple[tuple[Job, str], ...] = ()
    """The other jobs that are due, each with why."""
    first_cut_because: str = ""
    """Why it is expected then, or why heat units cannot tell; "" where the sheet has none."""
    apart: str = ""
    """The day it was planted ("14 May"), where another of its crop and variety stands in the bed."""

    @property
    def called(self) -> str:
        """Crop and variety, and what tells it from another such in its bed."""
        return " ".join(filter(None, (named(self.crop, self.variety), self.apart)))


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
    low = low_ahead(farm, day)
    rows = [_planting_row(farm, bed, p, day, low, by_warmth) for p in farm.standing_in(bed.code)]
    sorts = [(row.crop, row.variety) for row in rows]
    told = tuple(
        row._replace(apart=short_day(date.fromisoformat(row.since))) if sorts.count(sort) > 1 else row
        for row, sort in zip(rows, sorts, strict=True)
    )
    return BedRow(bed.code, bed.feet, bed.width_in, max(free_feet(farm, bed), 0.0), bed.covered_on, told)


def _planting_row(
    farm: Farm, bed: Bed, planting: Planting, day: date, low: Low | None, by_warmth: ByWarmth | None
) -> PlantingRow:
    sheet = planting_sheet(farm, planting)
    out = date.fromisoformat(planting.out_on)
    warm = _first_cut_by_warmth(sheet, planting, out, day, by_warmth)
    cut_from, cut_to, because = days_of_cutting(farm, sheet, planting, out, day, warm)
    killed = killed_on(planting, sheet, day, south=in_south(farm)) if sheet else None
    if killed is not None and cut_to is not None:
        cut_to = min(cut_to, killed[0] - timedelta(days=1))
    at_stage = _at_stage(sheet) if cut_from and cut_to and cut_from <= day <= cut_to else ()
    done = (*planting.jobs, *farm.part(Declined).jobs(planting))
    case = _Case(farm, planting, done, bed, day, out, cut_from, cut_to, low, killed)
    (job, job_on, why), *more = (case.jobs(sheet) if sheet else None) or [NO_JOB]
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
        also=tuple((job, why) for job, on, why in more if on is not None and on <= day and job != "cut"),
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
    return None if flowers_again(sheet) else by_warmth(sheet, out, day)


def _at_stage(sheet: Sheet | None) -> tuple[str, ...]:
    if sheet is None:
        return ()
    return tuple(use for use in USES if sheet.is_for(use))


class _Case(NamedTuple):
    """What is known of one planting: its days of cutting, the low of the night ahead, and the frost that ended it."""

    farm: Farm
    planting: Planting
    done: Collection[str]
    """The jobs that are done, and those she declined."""
    bed: Bed
    day: date
    out: date
    cut_from: date | None
    cut_to: date | None
    low: Low | None
    killed: tuple[date, float] | None

    def jobs(self, sheet: Sheet) -> list[JobToDo]:
        """What it needs: the night ahead, or frost that came, alone; else each job, what is due first before others."""
        if self.killed is not None:
            return [self._after_frost(sheet, *self.killed)]
        asks, guard = planting_tonight(self.farm, self.planting, self.bed, self.low, self.day)
        if asks and self.low is not None and guard is not None:
            why = f"{self.low.says}; below {told_degrees(guard)} it may be hurt"
            if self._is_last_chance(sheet):
                return [("cut all tonight", self.day, f"{why}: cut what is worth it, or cover")]
            return [("cover tonight" if asks == "cover" else "cover again tonight", self.day, why)]
        return [(job, on, why) for on, job, why in sorted(self._jobs(sheet))]

    def _after_frost(self, sheet: Sheet, on: date, low: float) -> JobToDo:
        came = f"low {told_degrees(low)} on {short_day(on)}"
        if (self.day - on).days < LOOK_DAYS:
            return "look", self.day, f"{came}: what is black? Write what is lost, or clear it"
        if is_lifted(sheet):
            first, last = (on + timedelta(days=n) for n in LIFT_DAYS)
            when = f"from {short_day(first)} to {short_day(last)} (common practice)"
            says = f"{came}: lift it {when}, and write: lift {self.planting.code}"
            if self.day <= last + timedelta(days=LIFTED_DAYS):
                return "lift", first, says
            return "clear", self.day, f"{came}: lifted or lost by now"
        return "clear", self.day, f"{came}, more than it bears"

    def _is_last_chance(self, sheet: Sheet) -> bool:
        """Whether it is fall, the night may end it, and there are stems to cut."""
        in_cut = self.cut_from is not None and self.cut_to is not None
        if not in_cut or not may_kill(sheet, self.low) or (self.day - self.out).days <= YOUNG_DAYS:
            return False
        return bool(self.cut_from and self.cut_to and self.cut_from <= self.day <= self.cut_to)

    def _jobs(self, sheet: Sheet) -> Iterator[tuple[date, Job, str]]:
        planting, day = self.planting, self.day
        if planting.last_cut is None and planting.first_cut is None:
            net, pinch = (
                jobs_from(sheet, self.out, days, south=in_south(self.farm)) for days in (NET_DAYS, PINCH_DAYS)
            )
            if _wanted(sheet.netting) and "netted" not in self.done and self._in_time(net):
                yield net, "net", "late nets bend stems (common practice)"
            can_pinch = _wanted(sheet.pinch) and "pinched" not in self.done and not planting.drilled
            if can_pinch and self._in_time(pinch):
                yield pinch, "pinch", f"at about {told_size(12)} tall [S44]"
        is_over = self.cut_to is not None and day > self.cut_to
        unread = frost_unread(self.farm, self.out, day) if is_lifted(sheet) else None
        if unread is not None:
            yield self._lifted_unread(unread)
        elif is_over and not stays(sheet):
            seen = date.fromisoformat(planting.last_cut) if planting.last_cut else self.cut_to
            if seen is not None and day > seen + timedelta(days=DONE_AFTER_DAYS):
                yield day, "lift" if is_lifted(sheet) else "clear", "past its cutting weeks"
        elif self.cut_from and not is_over:
            yield self.cut_from, "cut", ""

    def _lifted_unread(self, first: date) -> tuple[date, Job, str]:
        """Tubers after the usual first frost, where no low says whether it came."""
        since = f"no low is written since the usual first frost, {short_day(first)}"
        if (self.day - first).days > UNREAD_MOST_DAYS:
            return self.day, "clear", f"{since}: lifted or lost by now"
        says = f"{since}: lift it before the ground freezes, and write: lift {self.planting.code}"
        return first + timedelta(days=UNREAD_DAYS), "lift", says

    def _in_time(self, due: date) -> bool:
        """Whether a job due on that day is still worth asking for."""
        return self.day <= due + timedelta(days=TOO_LATE_DAYS)


def _wanted(figure: object) -> bool:
    return str(getattr(figure, "value", "")).startswith("y")
