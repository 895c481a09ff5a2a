"""The figures that a record can speak to: what each is called, how it is reckoned, and where its range is published."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple, TypeAlias

from core.crops.sheet import FIGURES, Figure, Sheet, Span
from core.cutting.intervals import usual_days
from core.learning.flushes import PARTS, range_of_part
from core.plans.defaults import COMMON, GIVE, RANGES
from core.plans.own_shares import ON_SHEET

How: TypeAlias = Literal["days", "share", "count", "alone"]
"""How its seasons are weighed: as days or weeks, as a share, as a count a plant, or with no sheet at all."""


class Learnable(NamedTuple):
    """One figure of a crop that the record can speak to."""

    name: str
    how: How
    of: str
    """What one observation is of."""
    label: str
    unit: str
    give: float = 0.0
    """Where only one number is known: by how much of itself the range about it reaches (common practice)."""

    @property
    def is_on_sheet(self) -> bool:
        """Whether a crop sheet has a place for it."""
        return self.name in FIGURES


_DAYS, _WEEKS, _STEMS = GIVE["days"], GIVE["weeks"], GIVE["stems"]
_INTERVAL_GIVE = 0.5
LEARNABLE: Mapping[str, Learnable] = {
    one.name: one
    for one in (
        Learnable("germination_days", "days", "tray", "days to come up", "days", _STEMS),
        Learnable("comes_up_pct", "share", "tray", "comes up, %", "%"),
        Learnable("weeks_in_tray", "days", "planting", "weeks in the tray", "weeks", _WEEKS),
        Learnable("days_to_first_cut", "days", "planting", "days to first cut", "days", _DAYS),
        Learnable("days_from_sowing", "days", "planting", "days from bed sowing", "days", _DAYS),
        Learnable("flowers_weeks", "days", "planting", "weeks to bloom", "weeks", _WEEKS),
        Learnable("cut_weeks", "days", "planting", "weeks of cutting", "weeks", _WEEKS),
        Learnable("cut_every_days", "days", "planting", "days between cuts", "days", _INTERVAL_GIVE),
        Learnable("stems_per_plant", "count", "planting", "stems a plant", "stems", _STEMS),
        Learnable("stems_first_flush", "count", "planting", "stems, weeks 1-2", "stems"),
        Learnable("stems_second_flush", "count", "planting", "stems, weeks 3-4", "stems"),
        Learnable("stems_later_flushes", "count", "planting", "stems, weeks 5 on", "stems"),
        Learnable("culled_pct", "share", "lot", "culled, %", "%"),
        Learnable("drying_days", "days", "lot", "days to dry", "days", _STEMS),
        Learnable("lost_drying_pct", "share", "lot", "lost in drying, %", "%"),
        Learnable("vase_life_days", "days", "trial", "days in the vase", "days", _STEMS),
        Learnable("minutes_per_100_stems", "alone", "lot", "minutes, 100 stems", "minutes"),
        Learnable("cents_per_stem", "alone", "season", "price of a stem", "cents"),
    )
}
"""Figure -> what it is, in the order of the work."""
OWN_SHEET = "own sheet"
"""How the source of a figure begins that she wrote."""
LEAST_GIVE = 0.3
"""Of days or weeks, the least that a range reaches about its middle where its ends are the same."""
_SHARES = {figure: share for share, figure in ON_SHEET.items()}


def published(figure: Figure[Span]) -> Figure[Span]:
    """The figure that stood there before her own: what she took from her record must not count as known beforehand a
    second time."""
    return figure if figure.instead_of is None else published(figure.instead_of)


def is_hers(figure: Figure[Span]) -> bool:
    """Whether she wrote it into her sheet."""
    return figure.instead_of is not None or figure.source.startswith(OWN_SHEET)


def range_of(one: Learnable, sheet: Sheet | None, crop: str) -> Figure[Span] | None:
    """What is known beforehand: the sheet's published range, else the usual one; None where there is none. A single
    number is the middle of a range (common practice)."""
    found = _range(one, sheet, crop)
    if found is None:
        return None
    low, high = found.value
    if low < high:
        return found
    reach = max(one.give * abs(high), LEAST_GIVE if one.how == "days" else 0.1)
    return Figure((low - reach, high + reach), f"{found.source}; about that: {COMMON}")


def _range(one: Learnable, sheet: Sheet | None, crop: str) -> Figure[Span] | None:
    figure: Figure[Span] | None = getattr(sheet, one.name, None) if one.is_on_sheet else None
    if figure is not None:
        figure = published(figure)
        if not (one.how == "share" and figure.source.startswith(OWN_SHEET)):
            return figure
    if one.name in _SHARES:
        low, high = RANGES[_SHARES[one.name]]
        return Figure((round(100 * low, 1), round(100 * high, 1)), COMMON)
    if one.name == "cut_every_days":
        days = float(usual_days(crop))
        return Figure((days, days), COMMON)
    if one.name in PARTS and sheet is not None:
        known = (sheet.stems_per_plant, sheet.cut_weeks)
        return range_of_part(one.name, *(published(figure) if figure else None for figure in known))
    return None
