"""Cells to a tray: the sizes that suit a crop, and the trays that so many cells fill."""

from __future__ import annotations

from math import ceil

SIZES = (50, 72, 98, 128, 162, 200, 288)
"""Cells of the 1020 trays that are usually to be had (from memory)."""
CLOSER = 2
"""A crop is not put into cells of less than half the room that suits it (common practice)."""
SUIT: dict[str, int] = {
    "lisianthus": 200,
    "feverfew": 200,
    "snapdragon": 162,
    "stock": 162,
    "ammi": 98,
    "scabiosa": 98,
    "zinnia": 72,
    "cosmos": 72,
    "sunflower": 72,
    "amaranth": 72,
    "sweet pea": 50,
}
"""Cells to a 1020 tray that suit a crop (from memory)."""
USUAL = 128


def cells_that_suit(crop: str) -> int:
    """Cells to a 1020 tray that suit the crop."""
    return SUIT.get(crop, USUAL)


def closer_sizes(crop: str, size: int) -> list[int]:
    """Trays of more cells than `size` that would still do for the crop, those with fewest first."""
    return [other for other in SIZES if size < other <= CLOSER * cells_that_suit(crop)]


def trays_for(crop: str, cells: int, size: int | None = None) -> int:
    """1020 trays that so many cells fill, of `size` cells each; where that is not known, of the size that suits."""
    return ceil(cells / (size or cells_that_suit(crop)))
