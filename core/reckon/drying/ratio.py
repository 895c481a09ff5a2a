"""How much of its fresh weight a dried bunch keeps: published, usual, and as weighed on this farm."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from core.crops.sheet import Sheet
from core.units import middle

Span = tuple[float, float]

LIBRARY: dict[str, tuple[Span, str]] = {
    "strawflower": ((0.17, 0.21), "S51: lost 81.22 % of its weight in silica, 5.3 to 1"),
    "statice": ((0.25, 0.5), "2 to 4 to 1, from memory"),
    "bunny tail grass": ((0.25, 0.5), "2 to 4 to 1, from memory"),
    "quaking grass": ((0.25, 0.5), "2 to 4 to 1, from memory"),
    "broom corn": ((0.25, 0.5), "2 to 4 to 1, from memory"),
    "ornamental millet": ((0.25, 0.5), "2 to 4 to 1, from memory"),
}
"""crop -> (least and most of the share left, source). Garden chrysanthemum, which the library has no sheet of, is in
tests/drying/test_moisture.py: 12-15 % [S52]."""
SOFT: tuple[Span, str] = ((0.125, 0.2), "5 to 8 to 1 for soft flowers, common practice")
OWN_ENOUGH = 3
"""So many weighed lots of its own before a farm's figure stands in for the library's (common practice)."""


class Prior(NamedTuple):
    """What the crop's sheet and the farm's own lots say beforehand; either may be None.

    `days`: least and most of its drying days. `left`: least and most of the share of the fresh weight that is left.
    """

    days: tuple[float, float] | None = None
    left: tuple[float, float] | None = None


class DryRatio(NamedTuple):
    """The share of its fresh weight a crop keeps. `library` with its source; `own` is the median of `lots` weighed on
    this farm from fresh to dry, None where there are none."""

    library: Span
    source: str
    own: float | None = None
    lots: int = 0
    own_span: Span | None = None

    @property
    def believed(self) -> Span:
        """The range to reckon with: her own lots' where there are enough of them."""
        return self.own_span if self.own_span is not None and self.lots >= OWN_ENOUGH else self.library

    @property
    def text(self) -> str:
        """ "keeps 17 to 21 % of its fresh weight [S51: ...]; here 19 % (4 lots)"."""
        least, most = (round(100 * v) for v in self.library)
        text = f"keeps {least} to {most} % of its fresh weight [{self.source}]"
        if self.own is not None:
            text += f"; here {100 * self.own:.0f} % ({self.lots} {'lot' if self.lots == 1 else 'lots'})"
        return text


def dry_ratio(crop: str, own: Sequence[tuple[float, float]] = ()) -> DryRatio:
    """The ratio of a crop; `own` are (grams fresh, grams dry) of lots weighed on this farm."""
    library, source = LIBRARY.get(crop, SOFT)
    shares = [dry / fresh for fresh, dry in own if 0 < dry < fresh]
    if not shares:
        return DryRatio(library, source)
    own_share = middle(shares)
    span = min(*shares, 0.9 * own_share), max(*shares, 1.1 * own_share)
    return DryRatio(library, source, own_share, len(shares), span)


def prior_of(sheet: Sheet | None, ratio: DryRatio | None) -> Prior:
    """What is known of a crop's drying before its first weighing."""
    days = sheet.drying_days.value if sheet is not None and sheet.drying_days is not None else None
    return Prior(days, None if ratio is None else ratio.believed)
