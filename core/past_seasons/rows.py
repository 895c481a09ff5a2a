"""What is to be seen of past seasons: each year of each crop."""

from __future__ import annotations

from typing import NamedTuple

from core.farm import Farm
from core.past_seasons.kinds import PastSeasons


class PastRow(NamedTuple):
    """One year of one crop as it was brought in; None for what nothing was told of. Money is whole cents."""

    year: int
    crop: str
    seeds: int | None
    up: int | None
    cut: int | None
    culls: int | None
    minutes: float | None
    sold: int | None
    cents: int | None


def past_rows(farm: Farm) -> list[PastRow]:
    """Every year and crop, the newest year first."""
    years = sorted(farm.part(PastSeasons).years.values(), key=lambda y: (-y.year, y.crop))
    return [
        PastRow(
            y.year, y.crop, y.seeds or None, y.up or None, y.cut or None, y.culls or None, y.minutes or None,
            y.sold or None, y.cents or None,
        )
        for y in years
    ]  # fmt: skip
