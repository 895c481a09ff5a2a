"""The farm's own shares that a plan rests on in place of the usual: what comes up, is culled, is lost in drying."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from core.crops.sheet import Figure, Sheet
from core.plans.defaults import RANGES, USUAL
from core.plans.wish import Given
from core.reckon.spreads import Span

ON_SHEET: Mapping[str, str] = {
    "germination": "comes_up_pct",
    "cull": "culled_pct",
    "drying_loss": "lost_drying_pct",
}
"""Share of a plan -> the figure of a crop sheet in which the farm's own stands, in 100."""
MOST = {"germination": 1.0, "cull": 0.99, "drying_loss": 0.99}


def usual_share(sheet: Sheet, name: str) -> Figure[float]:
    """The share where nobody said one for this plan: the middle of the sheet's range where it has one."""
    own = _own(sheet, name)
    return USUAL[name] if own is None else Figure(min(sum(own.value) / 200, MOST[name]), own.source)


def range_of_share(sheet: Sheet, figure: Figure[float], name: str) -> Span:
    """Where a share lies from season to season; one that was said for this plan stands at her word."""
    own = _own(sheet, name)
    if own is not None and figure == usual_share(sheet, name):
        low, high = own.value
        return low / 100, min(high / 100, MOST[name])
    return RANGES[name] if figure == USUAL[name] else (figure.value, figure.value)


def with_own_shares(given: Given, sheet: Sheet) -> Given:
    """The figures of a plan with the sheet's own shares where none were said."""
    own = {
        name: usual_share(sheet, name)
        for name in ON_SHEET
        if getattr(given, name) == USUAL[name] and _own(sheet, name) is not None
    }
    return replace(given, **own) if own else given


def _own(sheet: Sheet, name: str) -> Figure[tuple[float, float]] | None:
    return getattr(sheet, ON_SHEET[name]) if name in ON_SHEET else None
