"""One lot's own page: what became of its stems, where they are, how it dries, and its story."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from core.clocks import MORNING, instant
from core.codes import canonical
from core.drying.clock import days_for
from core.drying.keeps import ratio_of
from core.drying.rows import ShelfRow, shelf_rows
from core.drying.weighed import day_at, fit_of
from core.farm import Farm, Lot
from core.fresh.rows import FreshRow, fresh_rows
from core.happened import Loss
from core.marks import UNMARKED, Marks, listed
from core.places import Place
from core.problems import Problem
from core.reckon.drying.faults import Weighing
from core.reckon.drying.fit import DryingFit
from core.reckon.drying.plot import drying_plot
from core.settings.local_time import zone
from core.settings.sheets import farm_sheet
from core.stems.kinds import MISCOUNTED
from core.text import clean

if TYPE_CHECKING:
    from core.book.entry import Entry


@dataclass(frozen=True, slots=True)
class PlaceNow:
    """Stems of the lot in one place: `unit` of the count is "stems", "heads" or "bunches"."""

    place: Place
    form: str
    stems: int
    per: int
    on_hand: int
    unit: str
    since: str
    grade: str


@dataclass(frozen=True, slots=True)
class WeighedLine:
    """One weighing of its marked bunch; `hours` since the first, `left` as a share of the first."""

    on: str
    clock: str
    place: str
    grams: float
    hours: float
    left: float


@dataclass(frozen=True, slots=True)
class Drying:
    """What the weighings say: see core.reckon.drying.fit.

    `dry_about` is None where they date nothing yet; `says` in one sentence, also why they say nothing.
    """

    says: str
    enough: bool
    form: str | None
    final_g: float | None
    rate_per_hour: float | None
    water_left: float | None
    dry_about: str | None
    dry_from: str | None
    dry_by: str | None


@dataclass(frozen=True, slots=True)
class StoryLine:
    """One entry about the lot or what it came from, as a sentence; `struck` where it counts no more, `corrected` where
    something in it was."""

    on: str
    by: str
    id: str
    says: str
    struck: bool
    corrected: bool = False

    @property
    def mark(self) -> str:
        """What is told beside the sentence; "" for nothing."""
        return "taken back" if self.struck else "corrected" if self.corrected else ""


@dataclass(frozen=True, slots=True)
class LotPage:
    """All about one lot. `cut` = `on_hand` + `sold` + `used` + `lost` where `balanced`, as it must be.

    `stage` is what was seen at the cut, to be held against what was lost "blown". `keeps` says how much of its fresh
    weight the crop keeps, by the library and by the farm's own lots.
    """

    lot: str
    crop: str
    variety: str | None
    way: str | None
    bed: str
    planting: str | None
    use: str
    cut_on: str
    cut_at: str | None
    stage: str | None
    insisted: str | None
    cut: int
    on_hand: int
    sold: int
    used: int
    lost: int
    balanced: bool
    places: tuple[PlaceNow, ...]
    losses: tuple[Loss, ...]
    lost_by_cause: dict[str, int]
    tests: tuple[tuple[str, str, str], ...]
    hanging: tuple[ShelfRow, ...]
    fresh: tuple[FreshRow, ...]
    weighings: tuple[WeighedLine, ...]
    drying: Drying | None
    keeps: str
    plot: tuple[str, ...]
    story: tuple[StoryLine, ...]

    @property
    def adds_up(self) -> str:
        """ "40 cut = 30 on hand + 4 sold + 0 used + 6 lost"; what a count found more stands on the left."""
        found = max(-self.lost_by_cause.get(MISCOUNTED, 0), 0)
        more = f" + {found} found" if found else ""
        equals = "=" if self.balanced else "IS NOT"
        return (
            f"{self.cut} cut{more} {equals} {self.on_hand} on hand + {self.sold} sold + {self.used} used + "
            f"{self.lost + found} lost"
        )


AS_KEPT = (
    *("crop", "variety", "way", "bed", "planting", "use", "cut_on", "cut_at", "stage", "insisted"),
    *("cut", "on_hand", "sold", "used"),
)
"""What the page has as the lot itself has it."""


def lot_called(farm: Farm, code: str) -> Lot | Problem:
    """The lot of a code ("l41" will do)."""
    found = farm.lots.get(canonical(code) or code)
    if found is not None:
        return found
    live = [lot.code for lot in farm.lots.live()]
    hint = f" There is {', '.join(live[-3:])}." if live else ""
    return Problem(f"There is no lot {clean(code)}.{hint}", "unknown", tuple(live[-3:]))


def lot_page(
    farm: Farm,
    lot: Lot,
    day: date,
    *,
    story: Sequence[Entry] = (),
    marks: Marks = UNMARKED,
    clock: str | None = None,
) -> LotPage:
    """The page of a lot as of `day`; `story` are the entries about it, `marks` what became of them."""
    place, hung_on, days = days_for(farm, lot, farm_sheet(farm, lot.crop, lot.way, lot.variety), day)
    found = fit_of(farm, lot, place, hung_on, days, day)
    weighed = tuple(_weighed(farm, lot, day))
    start = instant(weighed[0].on, weighed[0].clock, zone(farm)) if weighed else None
    lost = sum(lot.lost.values())
    of_shape = found if isinstance(found, DryingFit) else None
    return LotPage(
        lot=lot.code,
        **{name: getattr(lot, name) for name in AS_KEPT},
        lost=lost,
        balanced=lot.cut == lot.on_hand + lot.sold + lot.used + lost,
        places=tuple(
            PlaceNow(place, h.form, h.stems, h.per, h.on_hand, h.unit, h.since, h.grade)
            for place, h in lot.holdings.items()
        ),
        losses=tuple(lot.losses),
        lost_by_cause=lot.lost,
        tests=tuple((test.on, test.result, test.line) for test in lot.tests),
        hanging=tuple(shelf_rows(farm, day, [lot])),
        fresh=tuple(fresh_rows(farm, day, clock, [lot])),
        weighings=weighed,
        drying=None if found is None or start is None else _drying(found, start),
        keeps=ratio_of(farm, lot.crop).text,
        plot=drying_plot([Weighing(w.hours, w.grams) for w in weighed], start, of_shape) if start else (),
        story=tuple(_story(story, marks, day)),
    )


def _weighed(farm: Farm, lot: Lot, day: date) -> Iterator[WeighedLine]:
    first: tuple[datetime, float] | None = None
    for on, clock, place, grams in lot.weighings:
        if on > day.isoformat():
            return
        at = instant(on, clock, zone(farm))
        first = first or (at, grams)
        hours = (at.timestamp() - first[0].timestamp()) / 3600
        yield WeighedLine(on, clock or MORNING, place, grams, round(hours, 2), round(grams / first[1], 4))


def _drying(found: DryingFit | Problem, start: datetime) -> Drying:
    if isinstance(found, Problem):
        return Drying(found.sentence, False, None, None, None, None, None, None, None)
    about = day_at(start, found.reckoned_hours).isoformat() if found.enough else None
    return Drying(
        found.says_on(lambda hours: day_at(start, hours)),
        found.enough,
        found.form,
        round(found.curve.final_g, 1),
        round(found.curve.rate_per_hour, 4),
        round(found.now_moisture_ratio, 3),
        about,
        day_at(start, found.low_hours).isoformat(),
        day_at(start, found.high_hours).isoformat(),
    )


def _story(entries: Sequence[Entry], marks: Marks, day: date) -> Iterator[StoryLine]:
    for entry in entries:
        if entry.on <= day.isoformat():
            is_struck, is_corrected = entry.id in marks.struck, entry.id in marks.corrected
            yield StoryLine(entry.on, entry.by, entry.id, listed(entry, marks), is_struck, is_corrected)
