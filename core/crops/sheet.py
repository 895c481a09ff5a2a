"""A crop sheet: every figure of one crop grown one way, each beside the source it rests on."""

from __future__ import annotations

import re
from typing import Any, Generic, Literal, NamedTuple, TypeVar

from core.problems import Problem
from core.units import number

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


class CannotWait(NamedTuple):
    """How long a crop may stand in its first cells, in days from sowing."""

    move_from_day: int
    move_by_day: int
    spoiled_after_day: int
    source: str


class Sheet(NamedTuple):
    """All that is known of one crop grown one way. None means not found, never zero.

    Weeks "before" count back from the average last frost; `set_out_weeks` and `direct_sow_weeks` count from
    it (negative = before). Days and weeks in the tray count from sowing, with germination inside them [S01].
    """

    crop: str
    way: str | None
    title: str
    botanical: str
    sources: tuple[str, ...]
    notes: str
    clashes: tuple[Clash, ...]
    hardiness: Figure[HardinessClass]
    life_cycle: Figure[str] | None = None
    hardiness_low_f: Figure[float] | None = None
    direct_sow: Figure[str] | None = None
    direct_sow_weeks: Figure[Span] | None = None
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
    cut_weeks: Figure[Span] | None = None
    stems_per_plant: Figure[Span] | None = None
    doubles_share: Figure[Span] | None = None
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
    grams_per_1000_plants: Figure[float] | None = None
    hazard: Figure[str] | None = None
    caution: Figure[str] | None = None

    @property
    def hardiness_class(self) -> HardinessClass:
        """ "hardy", "half-hardy" or "tender"."""
        return self.hardiness.value

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


LABELS: dict[str, str] = {
    "hardiness": "hardiness",
    "life_cycle": "kind of plant",
    "hardiness_low_f": "lowest once hardened, F",
    "direct_sow": "sown straight in the bed",
    "direct_sow_weeks": "sown in the bed, weeks from last frost",
    "germination_days": "days to germinate",
    "germination_temp_f": "germinates at, F",
    "light": "light to germinate",
    "needs": "seed needs",
    "weeks_in_tray": "weeks in the tray",
    "sow_weeks_before": "sow, weeks before last frost",
    "set_out_weeks": "set out, weeks from last frost",
    "leave_tray_days": "leave the cells, days from sowing",
    "spoiled_after_days": "spoiled in the cells after, days",
    "spacing_in": "spacing, in",
    "spacing_range_in": "spacing seen, in",
    "pinch": "pinch",
    "netting": "netting",
    "days_to_first_cut": "setting out to first cut, days",
    "days_from_sowing": "bed sowing to first cut, days",
    "heat_units_to_first_cut": "to first cut, degree days F",
    "heat_base_f": "counted above, F",
    "heat_upper_f": "counted up to, F",
    "first_cut_method": "first cut",
    "cut_weeks": "weeks of cutting",
    "stems_per_plant": "stems a plant",
    "doubles_share": "share of doubles",
    "fresh_stage": "cut fresh when",
    "dry_stage": "cut for drying when",
    "wire_stage": "cut for wiring when",
    "too_early": "too early",
    "too_late": "too late",
    "drying_method": "drying",
    "drying_days": "days to dry",
    "dried_result": "once dry",
    "prime_months": "boxed, at its prime for, months",
    "discount_months": "boxed, at a discount after, months",
    "compost_months": "boxed, sold no more after, months",
    "stems_per_fresh_bunch": "stems in a fresh bunch",
    "stems_per_dried_bunch": "stems in a dried bunch",
    "vase_life_days": "days in the vase",
    "storage_temp_f": "cooler, F",
    "storage_days_max": "days in the cooler at most",
    "cooler": "whether in the cooler",
    "store": "stored wet or dry",
    "stand": "how it stands",
    "ethylene": "hurt by ethylene",
    "vase_q10": "ages faster by 10 C, times",
    "seeds_per_gram": "seeds a gram",
    "grams_per_1000_plants": "grams of seed for 1,000 plants",
    "hazard": "hazard",
    "caution": "caution",
}
"""What each figure is called on paper, in the order of the sheet."""


OWN_ONLY = (
    "heat_units_to_first_cut",
    "heat_base_f",
    "heat_upper_f",
    "discount_months",
    "compost_months",
)
"""Figures for which no published value was found for any crop: only the farm's own record can give them."""


BOUNDS: dict[str, tuple[float, float]] = {"vase_q10": (1, 6)}
"""Between which numbers a figure can lie at all, where a slip would make nonsense of what is reckoned with it."""


def _kind(annotation: str) -> str:
    for kind in ("Span", "float", "HardinessClass"):
        if f"[{kind}]" in annotation:
            return kind
    return "str"


KINDS: dict[str, str] = {
    name: _kind(str(hint)) for name, hint in Sheet.__annotations__.items() if "Figure[" in str(hint)
}
"""Name of each figure -> "Span", "float", "HardinessClass" or "str", read off `Sheet` itself."""

_NUMBER = r"-?\d+(?:\.\d+)?"
_SPAN = re.compile(rf"({_NUMBER})\s*(?:(?:to|-|–)\s*({_NUMBER}))?")


def read_value(name: str, text: str) -> Span | float | str | Problem:
    """The value of figure `name` in `text`: "7 to 10" or "7-10" for a range, "28" for a number, or words."""
    kind = KINDS[name]
    text = text.strip()
    if kind == "Span":
        found = _SPAN.fullmatch(text)
        if not found:
            return Problem(f'"{text}" is not a range: write {LABELS[name]} as one number or as "7 to 10".')
        least, most = _plain(found[1]), _plain(found[2] or found[1])
        if least > most:
            return Problem(f'"{text}" runs backwards: write the smaller number first.')
        return least, most
    if kind == "float":
        if not re.fullmatch(_NUMBER, text):
            return Problem(f'"{text}" is not a number: write {LABELS[name]} as one number.')
        least, most = BOUNDS.get(name, (float("-inf"), float("inf")))
        if not least <= float(text) <= most:
            return Problem(f"{LABELS[name]} lies between {least:g} and {most:g}: check {text}.", "impossible")
        return _plain(text)
    if kind == "HardinessClass" and text not in HARDINESS_CLASSES:
        sentence = f'"{text}" is no hardiness: write hardy, half-hardy or tender.'
        return Problem(sentence, nearest=HARDINESS_CLASSES)
    if not text:
        return Problem(f"Nothing is written for {LABELS[name]}: write what it should say.")
    return text


def value_text(value: object) -> str:
    """A figure's value as it is printed; a range of one number prints as that number."""
    if isinstance(value, tuple):
        least, most = value
        return number(least) if least == most else f"{number(least)} to {number(most)}"
    return number(value) if isinstance(value, int | float) else str(value)


def _plain(text: str) -> float:
    value = float(text)
    return int(value) if value.is_integer() else value
