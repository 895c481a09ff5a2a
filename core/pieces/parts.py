"""What a part of a recipe asks for: a crop, a crop of one color, any of a role, or simply any stem."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from core.crops.color import is_of_color
from core.crops.library import crop_names
from core.farm import Lot
from core.pieces.recipes import ROLE_OF, ROLES
from core.problems import Problem
from core.text import clean, nearest

ANY = "any"
MAKING: Final = "making"


@dataclass(frozen=True, slots=True)
class Wanted:
    """The stems a part will have. Neither crop nor role: any stem at all."""

    crop: str | None = None
    variety: str | None = None
    role: str | None = None

    @property
    def narrowness(self) -> int:
        """0 where any stem will do, 1 for a role, 2 for a crop, more the more words a color has. The narrowest part
        takes its stems first, so that a wider one does not take them from it."""
        if self.variety is not None:
            return 3 + len(self.variety.split())
        return 2 if self.crop is not None else 1 if self.role is not None else 0

    def plays(self, crop: str) -> bool:
        """Whether stems of the crop will do, whatever their variety."""
        return self.crop in (None, crop) and self.role in (None, ROLE_OF.get(crop))

    def takes(self, lot: Lot) -> bool:
        """Whether stems of the lot will do; "apricot" takes an "Apricot Blush" too."""
        if self.crop is not None and lot.crop != self.crop:
            return False
        if self.role is not None and ROLE_OF.get(lot.crop) != self.role:
            return False
        return is_of_color(lot.variety, self.variety)


@lru_cache(maxsize=512)
def wanted(what: str, own: tuple[str, ...] = ()) -> Wanted | Problem:
    """ "statice", "strawflower apricot", "any filler", "any" read into what they ask for; `own` are the farm's own
    crops."""
    if what == ANY:
        return Wanted()
    if what.startswith(f"{ANY} "):
        role = what.removeprefix(f"{ANY} ")
        if role in ROLES:
            return Wanted(role=role)
        near = nearest(role, ROLES) or tuple(ROLES)
        return Problem(
            f"'any {clean(role)}' is not understood: any {', any '.join(near)}, or just any.", "unknown", near
        )
    named = [crop for crop in (*own, *crop_names()) if what == crop or what.startswith(f"{crop} ")]
    if not named:
        near = nearest(what, (*own, *crop_names()))
        hint = f"did you mean {near[0]}?" if near else "write a crop, 'any', or 'any filler'."
        return Problem(f"No crop is called '{clean(what)}': {hint}", "unknown", near)
    crop = max(named, key=len)
    return Wanted(crop, what.removeprefix(crop).strip() or None)
