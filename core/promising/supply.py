"""All that may serve a claim, and all other claims on it: what must be looked at together, and no more."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from core.farm import Farm
from core.promising.claims import Claim, Sort, as_need, less_made, made_pieces
from core.promising.field import in_field, sources_of
from core.promising.growth import Wanted
from core.promising.on_hand import on_hand
from core.promising.source import Source
from core.reckon.promise.needs import AnyNeed, Lot

WORSE = 0.8
"""In worse seasons so much comes of all that is still to be cut or dried: figures are off too."""


@dataclass(frozen=True)
class Supply:
    """The sources of some crops, and the claims on them that are promised already, less the pieces that are made."""

    sources: tuple[Source, ...]
    claims: tuple[Claim, ...]
    made: Mapping[str, int]
    """Recipe -> pieces made and promised to nobody."""

    def made_free(self, asked: Claim) -> int:
        """Pieces of what is asked that are made already and free."""
        return self.made.get(asked.recipe.code, 0) if asked.recipe is not None else 0

    @cached_property
    def sorts(self) -> tuple[Sort, ...]:
        """Every sort that there is or will be."""
        return tuple(sorted({sort for source in self.sources for sort in source.sorts}))

    @cached_property
    def needs(self) -> list[AnyNeed]:
        """The claims as the allocation has them."""
        return [as_need(claim, self.sorts) for claim in self.claims]

    def given(self, n: int | None) -> list[tuple[Lot, ...]]:
        """What each of the sources gives in season `n` of the sample (None: in a usual one), in their order."""
        if n not in self._given:
            self._given[n] = [source.lots(n) for source in self.sources]
        return self._given[n]

    @cached_property
    def _given(self) -> dict[int | None, list[tuple[Lot, ...]]]:
        return {}

    def lots(
        self, n: int | None, *, planned: bool = True, worse: bool = False, without: Source | None = None
    ) -> list[Lot]:
        """The lots of season `n` (None: the usual one), with or without what is not sown yet, or without one source;
        `worse`: with so much less of all that is to come."""
        found: list[Lot] = []
        for source, lots in zip(self.sources, self.given(n), strict=True):
            if source is without or (source.kind == "planned" and not planned):
                continue
            if worse and source.kind != "on hand":
                found += [lot._replace(amount=int(lot.amount * WORSE)) for lot in lots]
            else:
                found += lots
        return found

    @property
    def has_planned(self) -> bool:
        """Whether any of it is not sown yet."""
        return any(source.kind == "planned" for source in self.sources)


def supply_for(
    farm: Farm, day: date, promised: Sequence[Claim], asked: Sequence[Claim], days: Sequence[date] = ()
) -> Supply:
    """All sources of what is asked, and every claim that shares any of them, however far round; `days` are others for
    which it is asked. Without `asked` all there is and all that is promised."""
    crops, claims = _together(promised, asked)
    every = [*claims, *asked]
    # as if what is asked were asked for the other days too
    also = [replace(claim, due=other) for claim in asked for other in days]
    wanted = Wanted(dues_of([*every, *also], ("fresh",)), dues_of([*every, *also], ("dry", "wired")))
    if not asked:
        others = {other.toordinal() for other in (day, *days)}
        wanted = Wanted(*(tuple(sorted(others.union(dues))) for dues in wanted.by_form))
    dry_loss = bool(wanted.dry)
    sources = on_hand(farm, day, crops)
    growths = in_field(farm, day, wanted, None if crops is None else sorted(crops))
    made = made_pieces(farm)
    return Supply((*sources, *sources_of(growths, wanted, dry_loss)), tuple(less_made(claims, made)), made)


def _together(promised: Sequence[Claim], asked: Sequence[Claim]) -> tuple[frozenset[str] | None, list[Claim]]:
    """(the crops, the claims) that are bound together by what is asked; None for all crops."""
    if not asked:
        return None, list(promised)
    crops: frozenset[str] = frozenset()
    for claim in asked:
        if claim.crops is None:
            return None, list(promised)
        crops |= claim.crops
    found: list[Claim] = []
    waiting = list(promised)
    while True:
        joined = [c for c in waiting if c.crops is None or c.crops & crops]
        if not joined:
            return crops, found
        found += joined
        waiting = [c for c in waiting if c not in joined]
        for claim in joined:
            if claim.crops is None:
                return None, list(promised)
            crops |= claim.crops


def dues_of(claims: Iterable[Claim], forms: tuple[str, ...]) -> tuple[int, ...]:
    """The days (ordinals) on which stems of these forms must be there, each once and in order."""
    return tuple(sorted({claim.stems_by.toordinal() for claim in claims if claim.forms & set(forms)}))
