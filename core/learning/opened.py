"""Pieces opened into the stems they take, by their recipes.

A part that names its crop is of that crop. One that takes any, or any filler, is shared out as the pieces of that
recipe took it here; where none was made yet, over the crops cut most that would do.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from typing import TypeAlias

from core.farm import Farm, Lot, Piece
from core.pieces.parts import Wanted, wanted
from core.pieces.recipes import recipe_named
from core.pieces.taking import Need, needs
from core.places import USE_OF_FORM, Use
from core.problems import Problem

Stems: TypeAlias = dict[tuple[str, Use], float]
"""(crop, use) -> stems, parts of one among them where crops share a part."""
MOST_CROPS = 3
"""So many crops share a part that takes any, where no such piece was made yet (ours)."""


class Opening:
    """How the farm's pieces open: by what was cut, and by what the pieces that were made of it took."""

    def __init__(self, farm: Farm, lots: Iterable[Lot], pieces: Iterable[Piece]) -> None:
        self._farm = farm
        self._own = tuple(farm.own_crops)
        self._cut: Counter[str] = Counter()
        for lot in lots:
            self._cut[lot.crop] += lot.cut
        self._took: dict[str, Counter[str]] = defaultdict(Counter)
        for piece in pieces:
            for taken in piece.stems:
                lot_of = farm.lots.get(taken.lot)
                if lot_of is not None:
                    self._took[piece.recipe][lot_of.crop] += taken.stems

    def stems(self, recipe: str, count: int) -> Stems | Problem:
        """What so many pieces take; a Problem where the recipe does not say, or no crop that was grown will do."""
        known = recipe_named(self._farm, recipe)
        if known is None:
            return Problem(f"no recipe is called {recipe}", "unknown")
        parts = needs(known, count)
        if isinstance(parts, Problem):
            return parts
        found: Stems = defaultdict(float)
        read = [(need, wanted(need.what, self._own)) for need in parts if need.form in USE_OF_FORM]
        named = {of.crop for _, of in read if isinstance(of, Wanted) and of.crop is not None}
        for need, of in read:
            if isinstance(of, Problem):
                return of
            crops = self._crops(recipe, of, named)
            if not crops:
                return Problem(
                    f"nothing that was cut here will do for {need.what}: say which to grow", "impossible"
                )
            self._share(found, need, crops)
        return dict(found)

    def _crops(self, recipe: str, of: Wanted, named: set[str]) -> Mapping[str, int]:
        """Crop -> its part in what such a part takes."""
        if of.crop is not None:
            return {of.crop: 1}
        took = {crop: n for crop, n in self._took[recipe].items() if of.plays(crop)}
        own = {
            crop: n for crop, n in took.items() if crop not in named
        }  # the others are of a part of their own
        if own or took:
            return own or took
        cut = [crop for crop, _ in self._cut.most_common() if of.plays(crop) and crop not in named]
        return dict.fromkeys(cut[:MOST_CROPS], 1)

    @staticmethod
    def _share(found: Stems, need: Need, crops: Mapping[str, int]) -> None:
        whole = sum(crops.values())
        for crop, part in crops.items():
            found[crop, USE_OF_FORM[need.form]] += need.count * part / whole
