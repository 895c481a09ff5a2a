"""How often a crop is usually cut again: days between two cuts of the same planting.

No table was found in print; all of it is common practice: what opens fast and spoils on the plant (sweet pea,
sunflower, cosmos) is walked every day or every other, what stands (statice, grasses, hydrangea) once a week or less.
"""

from __future__ import annotations

USUAL_DAYS = 4
"""For a crop that the table does not have."""

DAYS: dict[str, int] = {
    "sunflower": 1,
    "sweet pea": 1,
    "tulip": 1,
    "peony": 1,
    "poppy": 1,
    "cosmos": 2,
    "zinnia": 2,
    "calendula": 2,
    "bachelor's button": 2,
    "strawflower": 2,
    "starflower": 2,
    "stock": 2,
    "dahlia": 3,
    "snapdragon": 3,
    "larkspur": 3,
    "ammi": 3,
    "nigella": 3,
    "scabiosa": 3,
    "baby's breath": 3,
    "globe amaranth": 5,
    "celosia, crested": 7,
    "celosia, plume": 5,
    "celosia, wheat": 5,
    "statice": 5,
    "yarrow": 5,
    "lavender": 5,
    "amaranth": 7,
    "bells of Ireland": 5,
    "craspedia": 5,
    "bunny tail grass": 7,
    "quaking grass": 7,
    "ornamental millet": 7,
    "broom corn": 10,
    "hydrangea": 14,
    "eucalyptus": 14,
}


def usual_days(crop: str) -> int:
    """Days after which a crop that was cut is usually to be cut again."""
    return DAYS.get(crop, USUAL_DAYS)
