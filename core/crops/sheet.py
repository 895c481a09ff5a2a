"""A crop sheet: every figure of one crop grown one way, each beside the source it rests on."""

from __future__ import annotations

from datetime import date
from math import inf
from typing import Any, Generic, Literal, NamedTuple, TypeVar

from core.marked import label_told, size_word, value_told
from core.places import Use
from core.problems import Problem
from core.units import number, short_day, weeks

T = TypeVar("T")
Span = tuple[float, float]
"""Least and most of a figure, both included; the same number twice where a source gives only one."""

HardinessClass = Literal["hardy", "half-hardy", "tender"]
HARDINESS_CLASSES: tuple[HardinessClass, ...] = ("hardy", "half-hardy", "tender")


class Figure(NamedTuple, Generic[T]):
    """One figure and where it comes from.

    `source` is one or more ids of `core.crops.sources` ("S01", or "one of S01 S33" where only the sources of
    the whole sheet are known), "common practice", "from memory", "derived from ..." or "own sheet: ...".
    `instead_of` is the library's figure that the farm's own figure stands in for.
    """

    value: T
    source: str
    instead_of: Figure[T] | None = None

    @property
    def text(self) -> str:
        """The value as it is printed: "7 to 10", "28", "hang upside down"."""
        return value_text(self.value)


class Clash(NamedTuple):
    """One figure on which sources disagree; every reading stands beside its source."""

    figure: str
    readings: tuple[Figure[str], ...]


class MonthDay(NamedTuple):
    """A day of every year."""

    month: int
    day: int

    def __str__(self) -> str:
        return short_day(self.of(2000))

    def of(self, year: int) -> date:
        """The day of that year; 29 February is the 28th in a common one."""
        is_common = (date(year, 3, 1) - date(year, 2, 1)).days == 28
        is_28th = (self.month, self.day) == (2, 29) and is_common
        return date(year, self.month, 28 if is_28th else self.day)

    def of_season(self, last_frost: date) -> date:
        """The day in the season of that last frost: from four months before it on."""
        here = self.of(last_frost.year)
        return here if (last_frost - here).days <= BEFORE_FROST else self.of(last_frost.year + 1)


BEFORE_FROST = 120
"""Days by which the first bloom of a season may come before its average last frost (ours)."""


class CannotWait(NamedTuple):
    """How long a crop may stand in its first cells, in days from sowing."""

    move_from_day: int
    move_by_day: int
    spoiled_after_day: int
    source: str


class Sheet(NamedTuple):
    """All that is known of one crop grown one way. None means not found, never zero.

    Weeks "before" count back from the average last frost; `set_out_weeks` and `direct_sow_weeks` count from
    it (negative = before), as do `flowers_weeks`, after which what stands for years begins to be cut. Days and weeks in
    the tray count from sowing, with germination inside them [S01]. `first_cut_year` counts from planting: 1 is the
    year it goes in. `zone` is the coldest zone of the USDA map of hardiness in which it stands the winter.
    `fall_sow_weeks` count back from the average first frost of fall, for flowers the next year, and `fall_sow_zone` is
    the coldest zone in which what comes up lives through the winter.
    """

    crop: str
    way: str | None
    title: str
    botanical: str
    sources: tuple[str, ...]
    notes: str
    clashes: tuple[Clash, ...]
    hardiness: Figure[HardinessClass]
    own_like: str | None = None
    """Of a crop of the farm's own the crop it is like, "" where it is like none; None for one of the library."""
    uses: Figure[str] | None = None
    color: Figure[str] | None = None
    height_in: Figure[Span] | None = None
    form: Figure[str] | None = None
    flowering_group: Figure[str] | None = None
    life_cycle: Figure[str] | None = None
    hardiness_low_f: Figure[float] | None = None
    zone: Figure[float] | None = None
    direct_sow: Figure[str] | None = None
    direct_sow_weeks: Figure[Span] | None = None
    fall_sow_weeks: Figure[Span] | None = None
    fall_sow_zone: Figure[float] | None = None
    germination_days: Figure[Span] | None = None
    germination_temp_f: Figure[str] | None = None
    light: Figure[str] | None = None
    needs: Figure[str] | None = None
    weeks_in_tray: Figure[Span] | None = None
    sow_weeks_before: Figure[Span] | None = None
    set_out_weeks: Figure[Span] | None = None
    leave_tray_days: Figure[Span] | None = None
    spoiled_after_days: Figure[float] | None = None
    spacing_in: Figure[float] | None = None
    spacing_range_in: Figure[Span] | None = None
    pinch: Figure[str] | None = None
    netting: Figure[str] | None = None
    days_to_first_cut: Figure[Span] | None = None
    days_from_sowing: Figure[Span] | None = None
    heat_units_to_first_cut: Figure[Span] | None = None
    heat_base_f: Figure[float] | None = None
    heat_upper_f: Figure[float] | None = None
    first_cut_method: Figure[str] | None = None
    flowers_weeks: Figure[Span] | None = None
    bloom: Figure[MonthDay] | None = None
    cut_weeks: Figure[Span] | None = None
    stems_per_plant: Figure[Span] | None = None
    first_cut_year: Figure[Span] | None = None
    bears_years: Figure[Span] | None = None
    divide_years: Figure[Span] | None = None
    chill_weeks: Figure[Span] | None = None
    forcing_weeks: Figure[Span] | None = None
    winter_store: Figure[str] | None = None
    doubles_share: Figure[Span] | None = None
    comes_up_pct: Figure[Span] | None = None
    culled_pct: Figure[Span] | None = None
    lost_drying_pct: Figure[Span] | None = None
    fresh_stage: Figure[str] | None = None
    dry_stage: Figure[str] | None = None
    wire_stage: Figure[str] | None = None
    too_early: Figure[str] | None = None
    too_late: Figure[str] | None = None
    drying_method: Figure[str] | None = None
    drying_days: Figure[Span] | None = None
    dried_result: Figure[str] | None = None
    prime_months: Figure[float] | None = None
    discount_months: Figure[float] | None = None
    compost_months: Figure[float] | None = None
    stems_per_fresh_bunch: Figure[Span] | None = None
    stems_per_dried_bunch: Figure[Span] | None = None
    vase_life_days: Figure[Span] | None = None
    storage_temp_f: Figure[str] | None = None
    storage_days_max: Figure[float] | None = None
    cooler: Figure[str] | None = None
    store: Figure[str] | None = None
    stand: Figure[str] | None = None
    ethylene: Figure[str] | None = None
    vase_q10: Figure[float] | None = None
    seeds_per_gram: Figure[Span] | None = None
    seed_years: Figure[Span] | None = None
    grams_per_1000_plants: Figure[float] | None = None
    hazard: Figure[str] | None = None
    caution: Figure[str] | None = None

    @property
    def hardiness_class(self) -> HardinessClass:
        """ "hardy", "half-hardy" or "tender"."""
        return self.hardiness.value

    def is_for(self, use: Use) -> bool:
        """Whether the crop is cut for that use: its uses say so, or the stage for it is known (and that it dries)."""
        if self.uses is not None and use in self.uses.value.lower():
            return True
        stage = {"fresh": self.fresh_stage, "dry": self.dry_stage, "wire": self.wire_stage}[use]
        return stage is not None and (use != "dry" or self.drying_days is not None)

    @property
    def cannot_wait(self) -> CannotWait | None:
        """How long the crop may stand in its cells, for the few that are spoiled by waiting; else None."""
        if self.leave_tray_days is None or self.spoiled_after_days is None:
            return None
        first, last = self.leave_tray_days.value
        sources = dict.fromkeys((self.leave_tray_days.source, self.spoiled_after_days.source))
        return CannotWait(int(first), int(last), int(self.spoiled_after_days.value), "; ".join(sources))

    def figures(self) -> dict[str, Figure[Any]]:
        """The figures that were found, by name, in the order of the sheet."""
        found = ((name, getattr(self, name)) for name in KINDS)
        return {name: figure for name, figure in found if figure is not None}


class About(NamedTuple):
    """What a figure is called on paper and, where it is a number, what it counts and its least and most.

    The bounds, both included, are far wider than any crop is, and narrow enough that what is reckoned with a slip of
    the pen still ends on a day of a calendar. `whole`: a fraction of it means nothing.
    """

    label: str
    unit: str = ""
    least: float = -inf
    most: float = inf
    whole: bool = False

    def problem(self, *values: float) -> Problem | None:
        """Why one of the numbers cannot be this figure, and what would do; None where all can."""
        wrong = next((v for v in values if not self.least <= v <= self.most or (self.whole and v % 1)), None)
        if wrong is None:
            return None
        counted = size_word() if self.unit == INCHES else self.unit or "a number"
        of = " ".join(filter(None, ("whole" if self.whole else "", counted)))
        least, most, told = (
            value_told(self.label, said) for said in (*map(number, (self.least, self.most)), _short(wrong))
        )
        return Problem(f"{self.told} cannot be {told}: write {of} between {least} and {most}.", "impossible")

    @property
    def told(self) -> str:
        """What it is called, with the farm's own unit."""
        return label_told(self.label)


INCHES = "inches"
FIGURES: dict[str, About] = {
    "hardiness": About("hardiness"),
    "uses": About("grown for"),
    "color": About("color"),
    "height_in": About("height, in", INCHES, 1, 400),
    "form": About("form"),
    "flowering_group": About("flowering group or day length"),
    "life_cycle": About("kind of plant"),
    "hardiness_low_f": About("lowest once hardened, F", "degrees", -60, 60),
    "zone": About("stands the winter to zone", "", 1, 13),
    "direct_sow": About("sown straight in the bed"),
    "direct_sow_weeks": About("sown in the bed, weeks from last frost", "weeks", -52, 52),
    "fall_sow_weeks": About("sown in fall, weeks before first frost", "weeks", -12, 26),
    "fall_sow_zone": About("sown in fall, to zone", "", 1, 13),
    "germination_days": About("days to germinate", "days", 1, 730),
    "germination_temp_f": About("germinates at, F"),
    "light": About("light to germinate"),
    "needs": About("seed needs"),
    "weeks_in_tray": About("weeks in the tray", "weeks", 0.5, 104),
    "sow_weeks_before": About("sow, weeks before last frost", "weeks", -52, 156),
    "set_out_weeks": About("set out, weeks from last frost", "weeks", -52, 52),
    "leave_tray_days": About("leave the cells, days from sowing", "days", 1, 730, whole=True),
    "spoiled_after_days": About("spoiled in the cells after, days", "days", 1, 730, whole=True),
    "spacing_in": About("spacing, in", INCHES, 0.25, 240),
    "spacing_range_in": About("spacing seen, in", INCHES, 0.25, 240),
    "pinch": About("pinch"),
    "netting": About("netting"),
    "days_to_first_cut": About("setting out to first cut, days", "days", 1, 1830),
    "days_from_sowing": About("bed sowing to first cut, days", "days", 1, 1830),
    "heat_units_to_first_cut": About("to first cut, degree days F", "degree days", 1, 20_000),
    "heat_base_f": About("counted above, F", "degrees", 0, 100),
    "heat_upper_f": About("counted up to, F", "degrees", 40, 150),
    "first_cut_method": About("first cut"),
    "flowers_weeks": About("each year begins to flower, weeks from last frost", "weeks", -52, 52),
    "bloom": About("blooms here from"),
    "cut_weeks": About("weeks of cutting", "weeks", 0.25, 52),
    "stems_per_plant": About("stems a plant", "stems", 0.1, 1000),
    "first_cut_year": About("first cut in year", "years", 1, 30, whole=True),
    "bears_years": About("bears for, years", "years", 1, 150),
    "divide_years": About("divided or cut back every, years", "years", 0.5, 60),
    "chill_weeks": About("kept cold before it flowers, weeks", "weeks", 0, 52),
    "forcing_weeks": About("from the cold to flowers, weeks", "weeks", 0.5, 52),
    "winter_store": About("lifted and stored"),
    "doubles_share": About("share of doubles", "", 0.1, 1),
    "comes_up_pct": About("comes up, of 100 seeds", "seeds", 1, 100),
    "culled_pct": About("culled at the cut, of 100 stems", "stems", 0, 95),
    "lost_drying_pct": About("drying losses, of 100 stems", "stems", 0, 95),
    "fresh_stage": About("cut fresh when"),
    "dry_stage": About("cut for drying when"),
    "wire_stage": About("cut for wiring when"),
    "too_early": About("too early"),
    "too_late": About("too late"),
    "drying_method": About("drying method"),
    "drying_days": About("days to dry", "days", 1, 180),
    "dried_result": About("once dry"),
    "prime_months": About("boxed, at its prime for, months", "months", 0.25, 240),
    "discount_months": About("boxed, at a discount after, months", "months", 0.25, 240),
    "compost_months": About("boxed, sold no more after, months", "months", 0.25, 240),
    "stems_per_fresh_bunch": About("stems in a fresh bunch", "stems", 1, 1000, whole=True),
    "stems_per_dried_bunch": About("stems in a dried bunch", "stems", 1, 1000, whole=True),
    "vase_life_days": About("days in the vase", "days", 0.5, 180),
    "storage_temp_f": About("cooler, F"),
    "storage_days_max": About("days in the cooler at most", "days", 0, 730),
    "cooler": About("whether in the cooler"),
    "store": About("stored wet or dry"),
    "stand": About("how it stands"),
    "ethylene": About("hurt by ethylene"),
    "vase_q10": About("Q10 of aging, times faster", "", 1, 6),
    "seeds_per_gram": About("seeds a gram", "seeds", 0.01, 2_000_000),
    "seed_years": About("seed keeps, years", "years", 1, 50, whole=True),
    "grams_per_1000_plants": About("grams of seed for a thousand plants", "grams", 0.01, 1_000_000),
    "hazard": About("hazard"),
    "caution": About("caution"),
}
"""Every figure, in the order of the sheet."""


OWN_ONLY = (
    "uses",
    "color",
    "height_in",
    "form",
    "flowering_group",
    "bloom",
    "heat_units_to_first_cut",
    "heat_base_f",
    "heat_upper_f",
    "discount_months",
    "compost_months",
    "comes_up_pct",
    "culled_pct",
    "lost_drying_pct",
    "seed_years",
)
"""Figures that the library has of no crop: only the farm's own record can give them."""


def _kind(annotation: str) -> str:
    for kind in ("Span", "float", "HardinessClass", "MonthDay"):
        if f"[{kind}]" in annotation:
            return kind
    return "str"


KINDS: dict[str, str] = {
    name: _kind(str(hint)) for name, hint in Sheet.__annotations__.items() if "Figure[" in str(hint)
}
"""Name of each figure -> "Span", "float", "HardinessClass", "MonthDay" or "str", read off `Sheet` itself."""


def _short(value: float) -> str:
    """A number that may be of any length, for a sentence."""
    return number(value) if abs(value) < 1e9 else "so much"


def value_text(value: object) -> str:
    """A figure's value as it is printed; a range of one number prints as that number."""
    if isinstance(value, MonthDay):
        return str(value)
    if isinstance(value, tuple):
        least, most = value
        return number(least) if least == most else f"{number(least)} to {number(most)}"
    return number(value) if isinstance(value, int | float) else str(value)


def days_from_bed_sowing(sheet: Sheet) -> Figure[Span] | None:
    """Days from sowing in the bed to the first cut: found, or the tray and field days together."""
    if sheet.days_from_sowing is not None:
        return sheet.days_from_sowing
    tray, field_days = sheet.weeks_in_tray, sheet.days_to_first_cut
    if tray is None or field_days is None:
        return None
    least, most = (weeks(count).days + days for count, days in zip(tray.value, field_days.value, strict=True))
    return Figure((least, most), "derived from weeks in the tray and days from setting out")
