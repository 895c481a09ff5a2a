"""How much a planting gives, for asking about a number that is a slip: what it gave before, or what it can give."""

from __future__ import annotations

from core.crops.spacing import plants_for_feet
from core.farm import Farm, Planting
from core.settings.sheets import farm_sheet
from core.usual import FEW, SLIP

STEMS_OF_A_PLANT = 80
"""Stems of a plant in a season where its sheet has no figure: the most of any plant of the library."""
UNKNOWN_MOST = 5_000
"""Stems of one cut from an acre that are asked about where nothing is known of the planting (ours)."""


def most_cut(planting: Planting) -> int:
    """The most stems of one cut that the planting gave, `FEW` where they were fewer; 0 before the first."""
    return max(planting.most_cut, FEW) if planting.most_cut else 0


def most_to_cut(farm: Farm, crop: str, bed: str, planting: Planting | None) -> int:
    """Stems that one cut could give at the most: all that its plants give in a season."""
    found = [planting] if planting else [p for p in farm.standing_in(bed) if p.crop == crop]
    if not found:
        return UNKNOWN_MOST
    sheet = farm_sheet(farm, crop, found[0].way, found[0].variety)
    each = sheet.stems_per_plant.value[1] if sheet and sheet.stems_per_plant else STEMS_OF_A_PLANT
    plants = 0.0
    for one in found:
        counted = one.plants
        if counted is None and sheet and sheet.spacing_in and bed in farm.beds:
            counted = plants_for_feet(one.feet, farm.beds[bed].width_in, sheet.spacing_in.value)
        plants += counted if counted is not None else UNKNOWN_MOST / each
    return max(int(plants * each), 1)


def too_many_cut(farm: Farm, crop: str, bed: str, planting: Planting | None, stems: int) -> str | None:
    """Why so many stems of one cut look like a slip: ten times what the planting gave before, or more than it can."""
    most = most_cut(planting) if planting else 0
    if most and stems >= SLIP * most:
        return f"{stems} stems is {stems // most} times what {crop} in bed {bed} gave at the most, {most}"
    limit = most_to_cut(farm, crop, bed, planting)
    if not most and stems > limit:
        return f"{stems} stems is more than the {crop} in bed {bed} can give, some {limit} at the most"
    return None
