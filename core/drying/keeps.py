"""How much of its fresh weight a crop keeps when it is dry."""

from __future__ import annotations

from core.farm import Farm
from core.reckon.drying.ratio import DryRatio, dry_ratio


def ratio_of(farm: Farm, crop: str) -> DryRatio:
    """How much of its fresh weight a crop keeps, by the library and by this farm's own weighed lots."""
    return dry_ratio(crop, [(row.fresh_g, row.dry_g) for row in farm.dry_ratios.get(crop, [])])
