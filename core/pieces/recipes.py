"""The library of recipes: what a piece usually takes, each with its source. A starting point she makes her own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from core.farm import Farm, Recipe
from core.happened import PartForm, PartOf
from core.pieces.wiring import HEADS_PER_ROLL
from core.reckon.wreath import RING_IN, RING_PIECES
from core.spelling import spelled

ROLES: Mapping[str, tuple[str, ...]] = {
    "filler": ("statice", "baby's breath", "ammi", "yarrow", "winged everlasting", "feverfew", "starflower"),
    "grass": ("bunny tail grass", "quaking grass", "broom corn", "ornamental millet", "flax"),
    "foliage": ("eucalyptus", "sweet Annie", "bells of Ireland"),
}
"""What part a crop may play -> the crops that do (common practice). A crop has one role at most."""
ROLE_OF: Mapping[str, str] = {crop: role for role, crops in ROLES.items() for crop in crops}

HEADS_AN_HOUR = (60, 100)
"""Heads wired by one hand in an hour (common practice)."""
SPARE_PCT = (10, 15)
"""Spare stems to have beside wedding work, in percent (common practice)."""


@dataclass(frozen=True, slots=True)
class LibraryPart:
    """One part: what, how many at least and at most, in which form, and with how many a copy begins."""

    what: str
    form: PartForm
    least: float
    most: float
    begins: float


@dataclass(frozen=True, slots=True)
class LibraryRecipe:
    """A usual recipe. `size_in` is a ring's width or a crown's length; `minutes` for one piece.

    `wedding`: spare stems are wanted beside it.
    """

    name: str
    sort: str
    parts: tuple[LibraryPart, ...]
    minutes: float
    source: str
    size_in: float | None = None
    wedding: bool = False

    def as_recipe(self) -> Recipe:
        """The recipe with the numbers a copy begins with."""
        parts = [PartOf(part.what, part.begins, part.form) for part in self.parts]
        return Recipe(self.name, self.sort, self.size_in, self.minutes, parts)


def _exactly(what: str, form: PartForm, count: float) -> LibraryPart:
    return LibraryPart(what, form, count, count, count)


def _taped(stems: float) -> LibraryPart:
    return _exactly("tape", "making", round(stems / HEADS_PER_ROLL, 2))


_RECIPES = (
    LibraryRecipe(
        "wired head",
        "wired head",
        (_exactly("any", "fresh", 1), _exactly("wire 22", "making", 1), _taped(1)),
        0.75,
        "gauge 20 to 24 [S02]; 60 to 100 heads an hour (common practice); tape from memory",
    ),
    LibraryRecipe(
        "boutonniere",
        "boutonniere",
        (
            _exactly("any", "wired", 1),
            LibraryPart("any filler", "dry", 2, 3, 3),
            _exactly("wire 26", "making", 3),
            _taped(4),
            _exactly("pin", "making", 1),
        ),
        10,
        "1 focal and 2 to 3 bits (common practice); gauge 26 for filler [S80]; the rest common practice",
        wedding=True,
    ),
    LibraryRecipe(
        "corsage",
        "corsage",
        (
            LibraryPart("any", "wired", 3, 5, 4),
            LibraryPart("any filler", "dry", 5, 8, 6),
            _exactly("wire 26", "making", 6),
            _taped(10),
            _exactly("pin", "making", 2),
        ),
        20,
        "3 to 5 small focals and 5 to 8 bits (common practice); gauge 26 for filler [S80]; the rest common practice",
        wedding=True,
    ),
    LibraryRecipe(
        "crown",
        "crown",
        (LibraryPart("any", "dry", 25, 40, 32), _exactly("wire 20", "making", 2), _taped(32)),
        60,
        "25 to 40 sprigs on {size:22 to 24}, and the rest (common practice); tape from memory",
        size_in=23,
        wedding=True,
    ),
    LibraryRecipe(
        "wreath",
        "wreath",
        (
            _exactly("any", "dry", RING_PIECES),
            _exactly("wire 26", "making", 10),
            _exactly("ring 10in", "making", 1),
        ),
        60,
        "{size:10} clamp ring: 100 main pieces, gauge 26 to tie [S74]; a length of wire a bunch, minutes "
        "(common practice)",
        size_in=RING_IN,
    ),
    LibraryRecipe(
        "bridal bouquet",
        "bouquet",
        (LibraryPart("any", "fresh", 30, 50, 40), _exactly("ribbon", "making", 1)),
        60,
        "30 to 50 stems, and the rest (common practice)",
        wedding=True,
    ),
    LibraryRecipe(
        "bridesmaid bouquet",
        "bouquet",
        (LibraryPart("any", "fresh", 15, 25, 20), _exactly("ribbon", "making", 1)),
        30,
        "15 to 25 stems, and the rest (common practice)",
        wedding=True,
    ),
    LibraryRecipe(
        "market bouquet",
        "bouquet",
        (LibraryPart("any", "fresh", 10, 16, 12),),
        4,
        "10 to 16 stems; minutes too (common practice)",
    ),
    LibraryRecipe(
        "centerpiece",
        "centerpiece",
        (LibraryPart("any", "fresh", 15, 25, 20),),
        20,
        "15 to 25 stems; minutes too (common practice)",
        wedding=True,
    ),
)

LIBRARY: Mapping[str, LibraryRecipe] = {recipe.name: recipe for recipe in _RECIPES}


def library_called(name: str) -> LibraryRecipe | None:
    """The library's recipe of that name, hyphens or spaces, or by the first word of it where that is enough."""
    wanted = spelled(name.lower().replace("-", " ").strip())
    if wanted in LIBRARY:
        return LIBRARY[wanted]
    fit = [recipe for known, recipe in LIBRARY.items() if wanted and known.startswith(f"{wanted} ")]
    return fit[0] if len(fit) == 1 else None


def recipe_named(farm: Farm, name: str) -> Recipe | None:
    """A recipe of her own, or one of the library."""
    found = library_called(name)
    return farm.recipes.get(name) or (found.as_recipe() if found is not None else None)
