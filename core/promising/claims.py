"""What is claimed of the farm's stems and pieces: what is promised already, and what somebody asks for now."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from typing import Literal, NamedTuple, TypeAlias

from core.crops.color import is_of_color
from core.farm import Farm, Recipe
from core.happened import PartOf
from core.pieces.parts import MAKING
from core.pieces.parts import wanted as part_wanted
from core.pieces.recipes import ROLES
from core.pieces.taking import needs as parts_needed
from core.problems import Problem
from core.reckon.promise.needs import AnyNeed, Need, Part, PieceNeed

Form: TypeAlias = Literal["fresh", "dry", "wired", "piece"]
"""As what it is handed over."""
HOURS_A_DAY = 8
"""Of making pieces on one day (common practice): their stems must be there so many days before."""
LAST = 1_000_000
"""The rank of what is only asked for: it takes nothing from what is promised."""


class Sort(NamedTuple):
    """What stems are: their crop, their variety ("" where none was written), and their form."""

    crop: str
    variety: str
    form: str

    @property
    def key(self) -> str:
        """The sort as one word, for the allocation."""
        return "|".join(self)


class Liked(NamedTuple):
    """Stems that will do: of that crop ("" for any), of that color where one is said ("apricot" takes an "Apricot
    Blush" too), of that role where one is said."""

    crop: str
    color: str = ""

    def takes(self, crop: str, variety: str) -> bool:
        """Whether stems of that crop and variety will do."""
        return self.crop == crop and is_of_color(variety, self.color)


@dataclass(frozen=True, slots=True)
class Claim:
    """So many stems, heads or pieces that are wanted by a day: for whom, by which order ("" where only asked for).

    `liked` are the stems that will do; pieces have a `recipe` instead, and a `size_in` where one was said.
    """

    due: date
    rank: int
    wanted: int
    form: Form
    liked: tuple[Liked, ...] = ()
    order: str = ""
    buyer: str = ""
    recipe: Recipe | None = None
    size_in: float | None = None
    item: str = ""
    """Which item of which delivery of the order."""
    spare: int = 0
    """So many more are wanted beside them, if there are."""
    own_crops: tuple[str, ...] = ()
    """The farm's own crops, of which a part of a piece may be."""
    grown: tuple[str, ...] = ()
    """The codes of what is grown for it: its plans, and the trays and plantings that they count on."""

    @property
    def name(self) -> str:
        """What it is, in words: "strawflower dry", "corsage"."""
        if self.recipe is not None:
            return self.recipe.code
        crops = " or ".join(dict.fromkeys(f"{one.crop} {one.color}".strip() for one in self.liked))
        return f"{crops} {self.form}"

    @property
    def whose(self) -> str:
        """ "O014 Fern Hollow, 12 Sep" without the day."""
        return f"{self.order} {self.buyer}".strip()

    @property
    def key(self) -> str:
        """What tells it from every other claim."""
        return f"{self.order} {self.item} {self.due}"

    @property
    def stems_by(self) -> date:
        """The day on which its stems must be there: of pieces, before they are made."""
        if self.recipe is None:
            return self.due
        minutes = (self.recipe.minutes or 0) * self.wanted
        return self.due - timedelta(days=ceil(minutes / 60 / HOURS_A_DAY) if minutes else 0)

    def takes(self, sort: Sort) -> bool:
        """Whether stems of that sort will do for it, or for one of its parts."""
        if self.recipe is not None:
            return any(_plays(part, sort, self.own_crops) for part in self.parts)
        return sort.form == self.form and any(one.takes(sort.crop, sort.variety) for one in self.liked)

    @property
    def crops(self) -> frozenset[str] | None:
        """The crops it may take stems of; None where any will do for a part of it."""
        if self.recipe is None:
            return frozenset(one.crop for one in self.liked)
        each = [self.crops_of(part) for part in self.parts]
        return None if None in each else frozenset().union(*(crops for crops in each if crops))

    @property
    def forms(self) -> frozenset[str]:
        """As what its stems are wanted."""
        return frozenset((self.form,) if self.recipe is None else (part.form for part in self.parts))

    @property
    def parts(self) -> tuple[PartOf, ...]:
        """The stems that one of its pieces takes, in the size asked for."""
        if self.recipe is None:
            return ()
        each = parts_needed(self.recipe, 1, size_in=self.size_in)
        if isinstance(each, Problem):
            return ()
        return tuple(PartOf(n.what, n.count, _form(n.form)) for n in each if n.form != MAKING)

    def crops_of(self, part: PartOf) -> frozenset[str] | None:
        """The crops that will do for one of its parts; None where any will."""
        of = part_wanted(part.what, self.own_crops)
        if isinstance(of, Problem):
            return frozenset()
        if of.crop is not None:
            return frozenset((of.crop,))
        return frozenset(ROLES[of.role]) if of.role is not None else None

    def crop_of(self, part: PartOf) -> str | None:
        """The one crop that a part names."""
        crops = self.crops_of(part)
        return next(iter(crops)) if crops is not None and len(crops) == 1 else None


def _form(form: str) -> Literal["fresh", "dry", "wired"]:
    return "dry" if form == "dry" else "wired" if form == "wired" else "fresh"


def _plays(part: PartOf, sort: Sort, own: tuple[str, ...]) -> bool:
    of = part_wanted(part.what, own)
    if isinstance(of, Problem) or part.form != sort.form or not of.plays(sort.crop):
        return False
    return is_of_color(sort.variety, of.variety)


def as_need(claim: Claim, sorts: Sequence[Sort]) -> AnyNeed:
    """One claim as the allocation has it."""
    if claim.recipe is None:
        accepts = tuple(sort.key for sort in sorts if claim.takes(sort))
        return Need(claim.due, claim.rank, claim.wanted, accepts, 0, claim.key, claim.grown)
    # what may be of any crop takes last, so that it leaves to the narrower parts what only they can use
    parts = [
        Part(part.number, tuple(sort.key for sort in sorts if _plays(part, sort, claim.own_crops)))
        for part in claim.parts
    ]
    parts.sort(key=lambda part: (len(part.accepts), part.accepts))
    return PieceNeed(claim.stems_by, claim.rank, claim.wanted, tuple(parts), 0, claim.key, claim.grown)


def made_pieces(farm: Farm) -> dict[str, int]:
    """Recipe -> pieces of it that are made and there."""
    made: dict[str, int] = {}
    for piece in farm.pieces.live():
        made[piece.recipe] = made.get(piece.recipe, 0) + max(piece.free, 0)
    return made


def less_made(claims: Iterable[Claim], made: dict[str, int]) -> Iterator[Claim]:
    """The claims less the pieces that are made already, which serve by rank; those met are left out, and of `made` is
    left what is free."""
    for claim in sorted(claims, key=lambda claim: claim.rank):
        if claim.recipe is None:
            yield claim
            continue
        there = min(made.get(claim.recipe.code, 0), claim.wanted)
        made[claim.recipe.code] = made.get(claim.recipe.code, 0) - there
        if claim.wanted > there:
            yield replace(claim, wanted=claim.wanted - there)
