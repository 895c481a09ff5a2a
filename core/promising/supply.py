"""All that may serve a claim, and all other claims on it: what must be looked at together, and no more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from core.farm import Farm
from core.promising.claims import Claim, Sort, as_need, less_made, made_pieces
from core.promising.field import in_field, sources_of
from core.promising.growth import Wanted
from core.promising.on_hand import on_hand
from core.promising.source import Source
from core.reckon.promise.allocation import allocate
from core.reckon.promise.needs import AnyNeed, Lot, Need, PieceNeed

MANY_CROPS = 6
"""What may be of more crops binds too many together to be looked at one by one (ours)."""
EVERY_ONE = 1_000_000
"""More stems than any farm has."""
WORSE = 0.8
"""In worse seasons so much comes of all that is still to be cut or dried: figures are off too."""


@dataclass(frozen=True)
class Supply:
    """The sources of some crops, and the claims on them that are promised already, less the pieces that are made."""

    day: date
    sources: tuple[Source, ...]
    """What is on hand stands first."""
    claims: tuple[Claim, ...]
    made: Mapping[str, int]
    """Recipe -> pieces made and promised to nobody."""
    held: tuple[tuple[Claim, Need], ...] = ()
    """What claims that may take of nearly any crop take of these."""

    def made_free(self, asked: Claim) -> int:
        """Pieces of what is asked that are made already and free."""
        return self.made.get(asked.recipe.code, 0) if asked.recipe is not None else 0

    @cached_property
    def there(self) -> int:
        """How many of the lots are on hand: they are the first, one a source."""
        return sum(source.kind == "on hand" for source in self.sources)

    @cached_property
    def sorts(self) -> tuple[Sort, ...]:
        """Every sort that there is or will be."""
        return tuple(sorted({sort for source in self.sources for sort in source.sorts}))

    @cached_property
    def needs(self) -> list[AnyNeed]:
        """The claims as the allocation has them, and what is held for others."""
        return [*(as_need(claim, self.sorts) for claim in self.claims), *(need for _, need in self.held)]

    @cached_property
    def whose(self) -> list[Claim]:
        """Whose each of the needs is."""
        return [*self.claims, *(claim for claim, _ in self.held)]

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
                found += [Lot(lot[0], lot[1], int(lot[2] * WORSE), *lot[3:]) for lot in lots]
            else:
                found += lots
        return found

    def may_be_taken(self, place: int) -> bool:
        """Whether any need could be served by the source at that place; always, where its days are not sure."""
        source, lots = self.sources[place], self.given(None)[place]
        return source.kind != "on hand" or any(fitting(lots, need) for need in self.needs)

    @property
    def has_planned(self) -> bool:
        """Whether any of it is not sown yet."""
        return any(source.kind == "planned" for source in self.sources)


def supply_for(
    farm: Farm, day: date, promised: Sequence[Claim], asked: Sequence[Claim], days: Sequence[date] = ()
) -> Supply:
    """All sources of what is asked, and every claim that shares any of them, however far round; `days` are others for
    which it is asked. Without `asked` all there is and all that is promised.

    Pieces of which a part may be of nearly any crop would bind the whole farm together: of what they take as usual,
    when they leave to what is asked as much as they can, the part that is of the same crops is held for them.
    """
    made = made_pieces(farm)
    claims = list(less_made(promised, made))
    if not asked or any(map(_is_wide, asked)):
        return _supply(farm, day, claims, asked, days, None, made)
    wide = [claim for claim in claims if _is_wide(claim)]
    crops, bound = _together([claim for claim in claims if not _is_wide(claim)], asked)
    found = _supply(farm, day, bound, asked, days, crops, made)
    if wide:
        whole = _supply(farm, day, claims, (), [claim.stems_by for claim in asked], None, {})
        found = replace(found, held=tuple(_held(whole, wide, asked, crops)))
    return found


def _supply(
    farm: Farm,
    day: date,
    claims: Sequence[Claim],
    asked: Sequence[Claim],
    days: Sequence[date],
    crops: frozenset[str] | None,
    made: Mapping[str, int],
) -> Supply:
    # as if what is asked were asked for the other days too
    also = [replace(claim, due=other) for claim in asked for other in days]
    every = [*claims, *asked, *also]
    others = (day, *days) if not asked else ()
    wanted = _wanted(day, every, others)
    sources = sorted(on_hand(farm, day, crops), key=lambda source: source.kind != "on hand")
    growths = in_field(farm, day, wanted, None if crops is None else sorted(crops))
    takers = [(claim, claim.crops) for claim in every]
    of_crop = {
        crop: _wanted(day, [claim for claim, of in takers if of is None or crop in of], others)
        for crop in {growth.ask.sheet.crop for growth in growths}
    }
    return Supply(day, (*sources, *sources_of(growths, of_crop)), tuple(claims), made)


def _wanted(day: date, claims: Sequence[Claim], others: Sequence[date]) -> Wanted:
    """The days on which the claims want their stems, and the `others`; today always, so that whatever is asked of a
    crop is answered from the same lots."""
    also = {other.toordinal() for other in others}
    fresh = {*also, day.toordinal(), *dues_of(claims, ("fresh",))}
    return Wanted(tuple(sorted(fresh)), tuple(sorted({*also, *dues_of(claims, ("dry", "wired"))})))


def _is_wide(claim: Claim) -> bool:
    """Whether it may take stems of very many crops."""
    return claim.crops is None or len(claim.crops) > MANY_CROPS


def _together(promised: Sequence[Claim], asked: Sequence[Claim]) -> tuple[frozenset[str], list[Claim]]:
    """(the crops, the claims) that are bound together by what is asked."""
    crops = frozenset[str]().union(*(claim.crops or () for claim in asked))
    found: list[Claim] = []
    waiting = list(promised)
    while joined := [claim for claim in waiting if claim.crops and claim.crops & crops]:
        found += joined
        waiting = [claim for claim in waiting if claim not in joined]
        crops = crops.union(*(claim.crops or () for claim in joined))
    return crops, sorted(found, key=lambda claim: claim.rank)


def _held(
    whole: Supply, wide: Sequence[Claim], asked: Sequence[Claim], crops: frozenset[str]
) -> Iterator[tuple[Claim, Need]]:
    """What the claims that may take of many crops take of these, as usual."""
    # as much as they can, however few are asked for: what is free does not hang on how many that are
    most = [replace(claim, wanted=EVERY_ONE) if claim.recipe is None else claim for claim in asked]
    needs: list[AnyNeed] = [*whole.needs, *(as_need(claim, whole.sorts) for claim in most)]
    lots = whole.lots(None)
    for claim, need, taken in zip(whole.claims, needs, allocate(needs, lots).taken, strict=False):
        if claim not in wide or not isinstance(need, PieceNeed):
            continue
        for n, part in enumerate(need.parts):
            accepts = tuple(key for key in part.accepts if key.partition("|")[0] in crops)
            stems = sum(
                one.amount for one in taken if one.part == n and lots[one.lot].sort.partition("|")[0] in crops
            )
            if stems:
                yield claim, Need(need.due, need.rank, stems, accepts, 0, f"{need.name} {n}", need.own)


def dues_of(claims: Iterable[Claim], forms: tuple[str, ...]) -> tuple[int, ...]:
    """The days (ordinals) on which stems of these forms must be there, each once and in order."""
    return tuple(sorted({claim.stems_by.toordinal() for claim in claims if claim.forms & set(forms)}))


def fitting(lots: Iterable[Lot], need: AnyNeed) -> int:
    """How many of the stems would do for a need, or for any part of it."""
    parts = [need] if isinstance(need, Need) else [
        Need(need.due, 0, 1, part.accepts, need.life_left) for part in need.parts
    ]  # fmt: skip
    return sum(lot.amount for lot in lots if any(part.fits(lot) for part in parts))
