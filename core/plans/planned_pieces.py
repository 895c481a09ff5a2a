"""Wreaths and other pieces promised for a day: what is dried already, and for the rest of each part a plan of its own.

The parts share one season's weather; everything else of a crop is its own. Each part is planned so much surer that
all of them together are as sure as was asked.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil, prod
from statistics import fmean

from core.book.entry import Draft
from core.crops.sheet import Figure
from core.dialect import told_size
from core.farm import Farm
from core.pieces.making import part_text
from core.pieces.parts import MAKING, wanted
from core.pieces.recipes import recipe_named
from core.pieces.taking import LotHolding, Need, holdings_of, needs, take_for
from core.places import USE_OF_FORM
from core.plan_rows import KeptPieces
from core.plans.backward_plan import SUREST, chances_by_season, plan_back
from core.plans.defaults import USUAL
from core.plans.kinds import next_plan_code
from core.plans.plan import Plan
from core.plans.save_plan import ask_on, draft_of
from core.plans.standing import with_standing
from core.plans.wish import Ask, Sort, WantedPieces, Wish
from core.problems import Problem

HOURS_A_DAY = 8
"""Of making on one day (common practice): the stems must be there so many days before."""
HALVINGS = 5
"""How finely it is sought how sure each part must be."""


@dataclass(frozen=True, slots=True)
class PiecePlan:
    """What so many pieces take: `stems_by` the day on which their stems must be there, `there` the stems dried already
    that they count on, `chance` that all parts together are there."""

    wanted: WantedPieces
    stems_by: date
    needs: tuple[Need, ...]
    there: int
    chance: float


def plan_pieces(
    farm: Farm, asked: WantedPieces, day: date, but: Collection[str] = ()
) -> tuple[PiecePlan, tuple[Plan, ...]] | Problem:
    """The pieces and the plans of what they lack; a Problem where a part cannot be had, or no crop is said for it.

    The plantings `but` are counted on already.
    """
    wants = needs(asked.recipe, asked.count, size_in=asked.size_in)
    if isinstance(wants, Problem):
        return wants
    minutes = (asked.recipe.minutes or 0) * asked.count
    stems_by = max(asked.by - timedelta(days=ceil(minutes / 60 / HOURS_A_DAY)), day)
    stems = [need for need in wants if need.form != MAKING]
    there, lacking = _beside_what_is_there(farm, stems, day, stems_by)
    wishes = _wishes(farm, asked, lacking, stems_by)
    if isinstance(wishes, Problem):
        return wishes
    asks: list[Ask] = []
    for place, wish in enumerate(wishes):
        ask = ask_on(farm, wish, day)
        if isinstance(ask, Problem):
            return ask
        taken = {*but, *(standing.code for other in asks for standing in other.standing)}
        asks.append(with_standing(farm, replace(ask, place=place), taken))
    made = _as_sure_together(asks)
    if isinstance(made, Problem):
        return made
    plans, chance = made
    return PiecePlan(asked, stems_by, tuple(wants), there, chance), plans


def drafts_of_pieces(
    made: PiecePlan, plans: Sequence[Plan], farm: Farm, day: date, *, mark: str = "", after: int = 0
) -> tuple[Draft, ...]:
    """The entries that keep the pieces and, after them, their parts; `after` counts the plans kept before them."""
    asked, code = made.wanted, next_plan_code(farm, mark, after=after)
    fields = {
        "plan": code,
        "recipe": asked.recipe.code,
        "sort": asked.recipe.sort,
        "count": asked.count,
        "due_on": asked.by.isoformat(),
        "size_in": asked.size_in,
        "there": made.there or None,
    }
    whole = Draft("planned pieces", day.isoformat(), {k: v for k, v in fields.items() if v is not None})
    parts = (draft_of(plan, farm, day, mark=mark, after=after + 1 + i) for i, plan in enumerate(plans))
    return whole, *(Draft(part.kind, part.on, {**part.fields, "part_of": code}) for part in parts)


# What is there


def _beside_what_is_there(
    farm: Farm, stems: Sequence[Need], day: date, stems_by: date
) -> tuple[int, list[Need]]:
    """(stems dried that will do and are free, what is lacking beside them)."""
    kept = 1 - USUAL["storage_loss"].value
    share = kept ** (max((stems_by - day).days, 0) / 365)
    free = [_held(heap, int(heap.held.stems * share)) for heap in _free(farm, day)]
    taking = take_for(farm, stems, day, insists=True, holdings=free)
    return sum(taken.stems for taken in taking.stems), [
        Need(short.what, short.form, short.short) for short in taking.short if short.form != MAKING
    ]


def _free(farm: Farm, day: date) -> list[LotHolding]:
    """What is dried, hangs or is wired, and is promised to nobody: neither cut for another plan, nor counted on by
    pieces that were planned before."""
    promised = {
        code for plan in farm.plans.values() if plan.is_live and plan.by >= day.isoformat() and plan.part_of is None
        for code, _, _ in (*plan.out, *plan.beside)
    }  # fmt: skip
    heaps = [h for h in holdings_of(farm, day) if h.form != "fresh" and h.lot.planting not in promised]
    for before in farm.piece_plans.values():
        if before.is_live and before.by >= day.isoformat() and (left := before.count - before.made) > 0:
            heaps = _less(farm, heaps, before, left, day)
    return heaps


def _less(farm: Farm, heaps: list[LotHolding], before: KeptPieces, count: int, day: date) -> list[LotHolding]:
    recipe = recipe_named(farm, before.recipe)
    wants = needs(recipe, count, size_in=before.size_in) if recipe is not None else ()
    if isinstance(wants, Problem):
        return heaps
    stems = [need for need in wants if need.form != MAKING]
    taken = take_for(farm, stems, day, insists=True, holdings=heaps).stems
    gone: dict[tuple[str, str], int] = {}
    for one in taken:
        gone[one.lot, one.source] = gone.get((one.lot, one.source), 0) + one.stems
    return [_held(h, h.held.stems - gone.get((h.lot.code, h.source), 0)) for h in heaps]


def _held(heap: LotHolding, stems: int) -> LotHolding:
    return replace(heap, held=heap.held._replace(stems=stems))


# What is to be grown


def _wishes(farm: Farm, asked: WantedPieces, lacking: Sequence[Need], by: date) -> list[Wish] | Problem:
    """A wish for every crop and use that is lacking; where any crop will do, those that were said, in equal parts."""
    stems: dict[tuple[Sort, str], int] = {}
    for need in lacking:
        sorts = _sorts(farm, asked, need)
        if not sorts:
            text = part_text(need.what, need.form, need.count)
            size = f" of {told_size(asked.size_in)}" if asked.size_in else ""
            line = f"plan {asked.count} {asked.recipe.code}{size} by {asked.by} of {' and '.join(_worth(farm, need))}"
            return Problem(
                f"{text[0].upper()}{text[1:]} are lacking: say which to grow, such as '{line}'.",
                "impossible",
                (line,),
            )
        use = USE_OF_FORM[need.form]
        for sort in sorts:
            stems[sort, use] = stems.get((sort, use), 0) + ceil(need.count / len(sorts))
    return [Wish(sort.crop, count, use, by, sort.variety) for (sort, use), count in stems.items()]


def _worth(farm: Farm, need: Need) -> list[str]:
    """The crops to be named as an example for a part of any crop: those of which most is dried or hangs here."""
    of, stems = wanted(need.what, farm.own_crops), Counter[str]()
    for lot in farm.lots.live():
        if not isinstance(of, Problem) and of.plays(lot.crop):
            stems[lot.crop] += sum(held.stems for place, held in lot.holdings.items() if not place.is_fresh)
    most = [crop for crop, count in stems.most_common(2) if count]
    return most or ["strawflower", "statice"]


def _sorts(farm: Farm, asked: WantedPieces, need: Need) -> tuple[Sort, ...]:
    of = wanted(need.what, farm.own_crops)
    if isinstance(of, Problem):
        return ()
    if of.crop is not None:
        return (Sort(of.crop, of.variety),)
    return tuple(sort for sort in asked.of if of.plays(sort.crop))


def _as_sure_together(asks: Sequence[Ask]) -> tuple[tuple[Plan, ...], float] | Problem:
    """The plans of all parts, each so sure that all of them are kept with the chance asked for, and that chance."""
    if not asks:
        return (), 1.0
    sure = asks[0].given.sure.value
    low, high = sure, min(sure ** (1 / len(asks)), SUREST)
    best = _together(asks, low if len(asks) == 1 else high)
    if isinstance(best, Problem) or len(asks) == 1:
        return best
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        tried = _together(asks, middle)
        if isinstance(tried, Problem) or tried[1] < min(sure, best[1]):
            low = middle
        else:
            high, best = middle, tried
    return best


def _together(asks: Sequence[Ask], sure: float) -> tuple[tuple[Plan, ...], float] | Problem:
    plans = []
    for ask in asks:
        figure = Figure(sure, f"{ask.given.sure.source}; each part so sure that all of them together are")
        made = plan_back(replace(ask, given=replace(ask.given, sure=figure)))
        if isinstance(made, Problem):
            return Problem(
                f"{ask.wish.crop[0].upper()}{ask.wish.crop[1:]}: {made.sentence}", made.code, made.nearest
            )
        plans.append(made)
    return tuple(plans), fmean(_all_kept(plans))


def _all_kept(plans: Sequence[Plan]) -> Iterator[float]:
    """For every season the chance that each of the plans is kept."""
    return (prod(chances) for chances in zip(*map(chances_by_season, plans), strict=True))
