"""A wish seen before it is kept: the chain back to the seed, the room it finds, and what would be written."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from core.book.entry import Draft
from core.crops.sheet import Figure
from core.farm import Farm
from core.plans.backward_plan import plan_back
from core.plans.capacity import Use, room_of, uses_of_plan
from core.plans.clashes import Clash, clashes
from core.plans.plan import Plan, Step, stems_a_bunch
from core.plans.plan_usage import uses_taken
from core.plans.planned_pieces import PiecePlan, drafts_of_pieces, plan_pieces
from core.plans.save_plan import ask_on, draft_of
from core.plans.standing import with_standing
from core.plans.succession import WarmthOf
from core.plans.weekly import Week, plan_weekly, weekly_json
from core.plans.what_if import Compared, what_if, what_if_weekly
from core.plans.wish import Ask, Wanted, WantedPieces, Wish, day_problem
from core.problems import Problem

AS_SAID = "as said in the line"


@dataclass(frozen=True, slots=True)
class Preview:
    """What a wish comes to on the farm today. Nothing of it is written.

    `plans` has one for each sowing; a weekly wish has `weeks` as well, and `spaced` says what its sowings were
    spaced by. `clashes` name the first change that would solve each; `drafts` are the entries to keep.
    """

    wanted: Wanted | WantedPieces
    plans: tuple[Plan, ...]
    weeks: tuple[Week, ...]
    spaced: str
    clashes: tuple[Clash, ...]
    drafts: tuple[Draft, ...]
    pieces: PiecePlan | None = None
    """Of a wish for pieces what they take; `plans` are those of their parts."""

    @property
    def steps(self) -> tuple[Step, ...]:
        """Every link of the chain with its reason, sowing by sowing; what is said of one is not said again."""
        return tuple(dict.fromkeys(step for plan in self.plans for step in plan.steps))


def reckon(
    farm: Farm,
    wanted: Wanted | WantedPieces,
    day: date,
    *,
    mark: str = "",
    warmth: WarmthOf | None = None,
    after: int = 0,
    but: Collection[str] = (),
) -> Preview | Problem:
    """The plans of a wish and the entries that would keep them; clashes are not looked for.

    Of several wishes kept at once `after` counts the plans before this one, and the plantings `but` are counted on.
    """
    if isinstance(wanted, WantedPieces):
        made = plan_pieces(farm, wanted, day, but)
        if isinstance(made, Problem):
            return made
        pieces, plans = made
        drafts = drafts_of_pieces(pieces, plans, farm, day, mark=mark, after=after)
        return Preview(wanted, plans, (), "", (), drafts, pieces)
    ask = ask_of(farm, wanted, day, but)
    if isinstance(ask, Problem):
        return ask
    if wanted.start is None:
        plan = plan_back(ask)
        if isinstance(plan, Problem):
            return plan
        draft = draft_of(plan, farm, day, bed=wanted.bed, mark=mark, after=after)
        return Preview(wanted, (plan,), (), "", (), (draft,))
    warm = warmth(ask.sheet) if warmth is not None else None
    weekly = plan_weekly(ask, wanted.start, wanted.until, warmth=warm)
    if isinstance(weekly, Problem):
        return weekly
    kept = tuple(
        draft_of(_as_kept(plan, i, weekly.weeks), farm, day, bed=wanted.bed, mark=mark, after=after + i)
        for i, plan in enumerate(weekly.plans)
    )
    return Preview(wanted, weekly.plans, weekly.weeks, weekly.spaced, (), kept)


def preview(
    farm: Farm,
    wanted: Wanted | WantedPieces,
    day: date,
    *,
    mark: str = "",
    warmth: WarmthOf | None = None,
) -> Preview | Problem:
    """The plans of a wish, where they find too little room, and the entries that would keep them."""
    made = reckon(farm, wanted, day, mark=mark, warmth=warmth)
    if isinstance(made, Problem):
        return made
    bed = None if isinstance(wanted, WantedPieces) else wanted.bed
    return replace(made, clashes=_clashes(farm, made.plans, day, bed))


def moved(
    farm: Farm,
    wanted: Wanted | WantedPieces,
    day: date,
    name: str,
    value: float | date,
    *,
    warmth: WarmthOf | None = None,
) -> Compared | Problem:
    """What else moves when one number of a wish does."""
    if isinstance(wanted, WantedPieces):
        return Problem("Move a number of one of its parts: it is a wish for a crop by itself.", "impossible")
    ask = ask_of(farm, wanted, day)
    if isinstance(ask, Problem):
        return ask
    if wanted.start is None:
        return what_if(ask, name, value)
    warm = warmth(ask.sheet) if warmth is not None else None
    return what_if_weekly(ask, wanted.start, wanted.until, name, value, warmth=warm)


def ask_of(farm: Farm, wanted: Wanted, day: date, but: Collection[str] = ()) -> Ask | Problem:
    """What the wish is reckoned from on this farm, the plantings `but` being counted on; of a weekly wish, for its
    first week."""
    if (problem := day_problem(wanted.by, wanted.start, wanted.until)) is not None:
        return problem
    by = wanted.by or wanted.start
    assert by is not None
    wish = Wish(wanted.crop, wanted.count, wanted.use, by, wanted.variety, wanted.way)
    ask = ask_on(farm, wish, day, bed=wanted.bed)
    if isinstance(ask, Problem):
        return ask
    given = ask.given
    if wanted.cell_size is not None:
        given = replace(given, cells_per_tray=Figure(wanted.cell_size, AS_SAID))
    if wanted.germination is not None:
        given = replace(given, germination=Figure(wanted.germination, AS_SAID))
    ask = with_standing(farm, replace(ask, given=given), but)
    if not wanted.in_bunches:
        return ask
    return replace(ask, wish=replace(wish, stems=wanted.count * stems_a_bunch(ask.sheet, wanted.use)))


def _as_kept(plan: Plan, i: int, weeks: Sequence[Week]) -> Plan:
    """One sowing of a weekly wish with all the stems of its weeks, by the end of the last."""
    mine = [week for week in weeks if week.plan == i]
    wish = replace(
        plan.wish,
        stems=max(sum(week.expected for week in mine), 1),
        by=max(week.end for week in mine),
    )
    return replace(plan, ask=replace(plan.ask, wish=wish))


def _clashes(farm: Farm, plans: Sequence[Plan], day: date, bed: str | None) -> tuple[Clash, ...]:
    """Those of every plan, the room that the ones before it take being spoken for."""
    room = room_of(farm)
    taken: list[Use] = uses_taken(farm, day)
    found: list[Clash] = []
    for plan in plans:
        found += clashes(plan, room, taken, bed)
        taken += uses_of_plan(plan, bed)
    return tuple(found)


def preview_json(view: Preview) -> dict[str, Any]:
    """The preview as plain values: {"plans", "weeks", "spaced", "clashes", "entries"}; the days as days."""
    return {
        **weekly_json(view.plans, view.weeks),
        **({} if view.pieces is None else {"pieces": _pieces_json(view.pieces)}),
        "spaced": view.spaced,
        "clashes": list(view.clashes),
        "entries": [{"kind": draft.kind, "on": draft.on, **draft.fields} for draft in view.drafts],
    }


def _pieces_json(pieces: PiecePlan) -> dict[str, Any]:
    asked = pieces.wanted
    return {
        "recipe": asked.recipe.code,
        "count": asked.count,
        "by": asked.by,
        "size_in": asked.size_in or asked.recipe.size_in,
        "stems_by": pieces.stems_by,
        "there": pieces.there,
        "chance": round(pieces.chance, 2),
        "needs": list(pieces.needs),
    }
