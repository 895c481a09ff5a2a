"""How much to sow for the plants that are wanted: seeds = plants / (germination x survival in the tray)."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from core.crops.sheet import Figure, Sheet, Span
from core.problems import Problem
from core.units import number, plural


@dataclass(frozen=True, slots=True)
class Sowing:
    """What to sow; `grams` is (least, most) where seeds a gram are known, `because` how it was reckoned."""

    plants: int
    seeds: int
    cells_per_tray: int
    trays: int
    cells: int
    grams: Span | None
    because: str


def seeds_to_sow(
    plants: int,
    *,
    germination: float,
    survival: float,
    cells_per_tray: int,
    wanted_share: float = 1.0,
    seeds_per_cell: int = 1,
    seeds_per_gram: Figure[Span] | None = None,
) -> Sowing | Problem:
    """Seeds and trays for `plants` wanted plants.

    `germination` and `survival` are shares (0.80); `wanted_share` is the share of seedlings that are worth
    planting, such as the doubles of stock (0.50 to 0.60 [S98]). A Problem says which number cannot be.
    """
    shares = {"germination": germination, "survival": survival, "the share of doubles": wanted_share}
    for what, share in shares.items():
        if not 0 < share <= 1:
            return Problem(f"{what.capitalize()} must be above 0 and at most 100 %.", "impossible")
    if plants < 1 or cells_per_tray < 1 or seeds_per_cell < 1:
        return Problem("Plants, cells and seeds a cell must be at least one.", "impossible")
    # A quotient that comes out whole must not gain a seed from binary fractions (72 / 0.72).
    seeds = ceil(plants / (germination * survival * wanted_share) - 1e-6)
    trays = ceil(seeds / (seeds_per_cell * cells_per_tray))
    product = f"{number(germination)} x {number(survival)}"
    if wanted_share != 1:
        product += f" x {number(wanted_share)}"
    because = (
        f"{plural(plants, 'plant')} / ({product}) = {plural(seeds, 'seed')}, "
        f"{plural(trays, 'tray')} of {cells_per_tray} ({trays * cells_per_tray} cells)"
    )
    grams = _grams(seeds, seeds_per_gram)
    return Sowing(plants, seeds, cells_per_tray, trays, trays * cells_per_tray, grams, because)


def sowing_for(
    sheet: Sheet, plants: int, *, germination: float, survival: float, cells_per_tray: int
) -> Sowing | Problem:
    """As `seeds_to_sow`, with the crop's seeds a gram, and sown for doubles where only these are saleable.

    The lower published share of doubles is used, so that a poor lot still gives enough.
    """
    share = sheet.doubles_share.value[0] if sheet.doubles_share is not None else 1.0
    return seeds_to_sow(
        plants,
        germination=germination,
        survival=survival,
        cells_per_tray=cells_per_tray,
        wanted_share=share,
        seeds_per_gram=sheet.seeds_per_gram,
    )


def _grams(seeds: int, seeds_per_gram: Figure[Span] | None) -> Span | None:
    """Grams of seed, least and most, for the most and the least seeds a gram."""
    if seeds_per_gram is None:
        return None
    fewest, most = seeds_per_gram.value
    return round(seeds / most, 3), round(seeds / fewest, 3)
