"""Moisture on the wet and on the dry basis, kept apart by name and type.

Wet basis: water / (water + dry matter), always under 1. Dry basis: water / dry matter, 3 is common in fresh flowers.
"""

from __future__ import annotations

from typing import NewType

from core.problems import Problem

WetBasis = NewType("WetBasis", float)
"""Water as a share of the whole weight, 0 to under 1."""
DryBasis = NewType("DryBasis", float)
"""Water as a share of the dry matter alone, 0 or more."""

STORE_DRY = WetBasis(0.12)
"""The most water a bunch may hold when it is boxed, wet basis: 11-12 % [checks of the trade]; herbs keep below a
water activity of 0.60 (UMES Extension)."""


def wet_basis(share: float) -> WetBasis | Problem:
    """A share of the whole weight, 0 to under 1, taken as wet basis."""
    if not 0 <= share < 1:
        return Problem(
            "Moisture on the wet basis is a share of the whole weight: from 0 to under 1, such as 0.75."
        )
    return WetBasis(share)


def dry_basis(ratio: float) -> DryBasis | Problem:
    """Water over dry matter, 0 or more, taken as dry basis."""
    if not 0 <= ratio < float("inf"):
        return Problem("Moisture on the dry basis is water over dry matter: 0 or more, such as 3.")
    return DryBasis(ratio)


def dry_basis_from_wet(moisture: WetBasis) -> DryBasis:
    """Mdb = Mwb / (1 - Mwb)."""
    return DryBasis(moisture / (1 - moisture))


def wet_basis_from_dry(moisture: DryBasis) -> WetBasis:
    """Mwb = Mdb / (1 + Mdb)."""
    return WetBasis(moisture / (1 + moisture))


def final_weight(weight: float, now: WetBasis, then: WetBasis) -> float:
    """What `weight` comes to when its moisture goes from `now` to `then`: W (1 - M0) / (1 - Mf); any unit of weight."""
    return weight * (1 - now) / (1 - then)


def moisture_left(weight: float, dry_matter: float) -> WetBasis | Problem:
    """The moisture of `weight`, wet basis, where its dry matter is known; both in one unit."""
    if not 0 < dry_matter <= weight:
        return Problem("The dry matter cannot weigh more than the bunch it is in: check both weights.")
    return WetBasis(1 - dry_matter / weight)
