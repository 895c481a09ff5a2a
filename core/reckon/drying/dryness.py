"""The stop rule: from when on a hanging bunch is dry enough, by its weighings, its dry matter and the room's air."""

from __future__ import annotations

from typing import NamedTuple

from core.reckon.drying.fit import DryingFit
from core.reckon.drying.moisture import STORE_DRY, WetBasis
from core.reckon.drying.shapes import DRY_RATIO

STEADY_LOSS = 0.01
"""Dry also means that under 1 % of the weight is lost in a day."""
DAMP_ROOM_RH = 65.0
WATCH_ROOM_RH = 60.0
"""Air over 60 % gives water back, over 65 % feeds mold: the room must be under 60-65 % for a bunch to stay dry."""


class Dryness(NamedTuple):
    """The stop rule at one hour. `dry` only where everything known agrees; `because` says each part in a sentence."""

    dry: bool
    moisture_ratio: float
    loss_in_a_day: float
    because: tuple[str, ...]


def is_dry(
    found: DryingFit,
    at_hours: float,
    *,
    moisture: WetBasis | None = None,
    room_rh: float | None = None,
) -> Dryness:
    """The stop rule at an hour: moisture ratio at most 0.05 and under 1 % lost in the day that follows; where the dry
    matter is known at most 12 % water (wet basis); where the room was read, under 65 % humidity. The snap test wins
    over all of it."""
    ratio = found.ratio_at(at_hours)
    loss = _loss_from(found, at_hours)
    because = [
        f"{100 * ratio:.0f} % of its water is left to lose: at most {100 * DRY_RATIO:.0f} % is dry",
        f"{100 * loss:.1f} % of the weight goes in a day: under {100 * STEADY_LOSS:.0f} % is steady",
    ]
    dry = ratio <= DRY_RATIO * (1 + 1e-9) and loss < STEADY_LOSS
    if moisture is not None:
        because.append(
            f"{100 * moisture:.0f} % of its weight is water: at most {100 * STORE_DRY:.0f} % keeps in a box"
        )
        dry = dry and moisture <= STORE_DRY
    if room_rh is not None:
        words = "under" if room_rh < WATCH_ROOM_RH else "near" if room_rh < DAMP_ROOM_RH else "over"
        because.append(
            f"the room stands at {room_rh:.0f} % humidity, {words} the {WATCH_ROOM_RH:.0f} to {DAMP_ROOM_RH:.0f} % "
            "above which it gives water back"
        )
        dry = dry and room_rh < DAMP_ROOM_RH
    return Dryness(dry, ratio, loss, tuple(because))


def stop_hours(found: DryingFit) -> float:
    """From which hour on both halves of the stop rule hold by the curve: at most 0.05, and under 1 % lost in a day."""
    early, late = found.reckoned_hours, found.hours_to(1e-4) + 24
    if _loss_from(found, early) < STEADY_LOSS:
        return early
    for _ in range(60):
        middle = (early + late) / 2
        if _loss_from(found, middle) < STEADY_LOSS:
            late = middle
        else:
            early = middle
    return late


def _loss_from(found: DryingFit, hours: float) -> float:
    """The share of the weight that goes in the day from that hour on."""
    return 1 - found.grams_at(hours + 24) / found.grams_at(hours)
