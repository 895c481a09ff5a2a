"""Whether so many can be promised for a day: surely, likely or no, the sum behind it and what can still be done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from statistics import median
from typing import NamedTuple

from core.farm import Farm
from core.promising.acts import Act, acts_for
from core.promising.claims import LAST, Claim, as_need
from core.promising.outlook import (
    LIKELY,
    LOOK,
    Sureness,
    counted_to,
    free_in,
    looked_at,
    outlooks,
    usual_free,
)
from core.promising.supply import Supply, fitting, supply_for
from core.reckon.promise.allocation import served
from core.reckon.promise.needs import AnyNeed
from core.units import short_day

TURNS = 0.05
"""An answer turns on what makes so much of its chance."""
ROUGHLY = 8
"""For what is only told beside the answer, one season in so many is looked at."""
RARELY = 0.02
"""What happens in fewer seasons is not told."""
MANY_SOURCES = 40
"""From so many on fewer seasons are looked at: what may be of any crop is not in doubt by any one of them."""
MOST_NAMED = 3
LATER_WEEKS = 8
"""So far is it looked for a later day on which so many would be free."""


class SourceRow(NamedTuple):
    """One source of what is asked: what it gives for that day in a usual season, before anything is promised of it."""

    kind: str
    code: str
    place: str
    crop: str
    variety: str
    amount: int
    says: str


class TakenFrom(NamedTuple):
    """What a promise would take from another that is served after it: how many as a rule, and in how many of 100
    seasons."""

    order: str
    buyer: str
    item: str
    due: str
    amount: int
    times: int


@dataclass(frozen=True, slots=True)
class Answer:
    """What can be said to whoever asks for `wanted` of `what` by `due`.

    `chance` is that of keeping it beside all that is promised; `free_on_day` the most that can surely be promised, and
    `free_as_usual` what a usual season leaves; `promised` what is promised already of what would do. `short` are those
    that a usual season lacks and `short_from` the first day on which a promise falls short, this one or another.
    `free_from` is a later day for which so many could be promised, if there is one within some weeks.
    """

    answer: Sureness
    what: str
    form: str
    wanted: int
    due: str
    chance: float
    free_on_day: int
    free_as_usual: int
    promised: int
    short: int
    short_from: str | None
    why: str
    sources: tuple[SourceRow, ...]
    turns_on: tuple[str, ...]
    takes_from: tuple[TakenFrom, ...]
    leaves: int
    free_from: str | None
    acts: tuple[Act, ...]
    last_day_to_act: str | None
    uncounted: tuple[str, ...] = ()
    """What stands of it and is counted for nothing, and why: of the `remarks`."""
    remarks: tuple[str, ...] = ()
    asked_on: str = ""


def answer_for(
    farm: Farm,
    today: date,
    asked: Claim,
    promised: Sequence[Claim],
    *,
    uncounted: tuple[str, ...] = (),
    remarks: tuple[str, ...] = (),
    briefly: bool = False,
    roughly: bool = False,
) -> Answer:
    """The answer for what is asked, beside what is promised already.

    `briefly`: without what it turns on, what it would take and what can be done; `roughly`: by fewer seasons, while it
    is typed.
    """
    asked = replace(asked, rank=LAST)
    day = asked.due
    supply = supply_for(farm, today, promised, [asked])
    wide = len(supply.sources) > MANY_SOURCES
    outlook = outlooks(supply, asked, [day], every=ROUGHLY if wide else LOOK if roughly else 1)[0]
    sureness, chance = outlook.sureness(asked.wanted)
    usual = usual_free(supply, asked, day)
    there = usual_free(supply, asked, day, promised=False)
    short = max(asked.wanted - usual, 0)
    sure = outlook.surely
    acts = () if briefly or sureness == "surely" else tuple(acts_for(farm, today, asked, supply))
    days_to_act = [act.by for act in acts if act.by >= today.isoformat()]
    return Answer(
        answer=sureness,
        what=asked.name,
        form=asked.form,
        wanted=asked.wanted,
        due=day.isoformat(),
        chance=round(chance, 3),
        free_on_day=sure,
        free_as_usual=usual,
        promised=sum(c.wanted for c in supply.claims if _shares(c, asked, supply)),
        short=short,
        short_from=_short_from(supply, asked),
        why=_why(asked, usual, there, sure, sureness)
        if there or sureness != "no"
        else _nothing(supply, asked, uncounted),
        sources=tuple(_rows(supply, asked)),
        turns_on=()
        if briefly or chance == 1
        else tuple(_turns_on(supply, asked, chance, planned=outlook.planned is not outlook.growing)),
        takes_from=() if briefly or sureness == "surely" else tuple(takes_from(supply, asked)),
        leaves=max(sure - asked.wanted, 0),
        free_from=None if briefly or sureness != "no" else _free_from(farm, today, promised, asked),
        acts=acts,
        last_day_to_act=max(days_to_act, default=None),
        uncounted=uncounted,
        remarks=remarks,
        asked_on=today.isoformat(),
    )  # fmt: skip


def _shares(claim: Claim, asked: Claim, supply: Supply) -> bool:
    """Whether a claim would take stems that would do for what is asked."""
    if asked.recipe is not None:
        return claim.recipe is not None and claim.recipe.code == asked.recipe.code
    return any(claim.takes(sort) and asked.takes(sort) for sort in supply.sorts)


def _rows(supply: Supply, asked: Claim) -> Iterator[SourceRow]:
    """The sources that give something for the day, what is there before what is to come."""
    need = as_need(asked, supply.sorts)
    if made := supply.made_free(asked):
        yield SourceRow("on hand", "", "bench", "", "", made, f"{made} made")
    for source, lots in zip(supply.sources, supply.given(None), strict=True):
        if amount := fitting(lots, need):
            of = source.crop, source.variety
            yield SourceRow(source.kind, source.code, source.place, *of, amount, source.tell(amount))


def _turns_on(supply: Supply, asked: Claim, chance: float, *, planned: bool) -> Iterator[str]:
    """The sources, of those that are not sure, without which it would be kept less often."""
    need = as_need(asked, supply.sorts)
    unsure = [
        (amount, source)
        for source, lots in zip(supply.sources, supply.given(None), strict=True)
        if source.kind != "on hand" and (amount := fitting(lots, need))
    ]
    unsure.sort(key=lambda one: (-one[0], one[1].code))
    for amount, source in unsure[:MOST_NAMED]:
        ((free,), _) = free_in(
            supply, asked, [asked.due], looked_at(ROUGHLY), planned=planned, without=source
        )
        if chance - free.chance(asked.wanted) >= TURNS:
            yield f"{source.code}: {source.tell(amount)}"


def _why(asked: Claim, usual: int, there: int, sure: int, sureness: Sureness) -> str:
    """The sum behind the answer, in a sentence."""
    taken = there - usual
    sum_ = f"about {there} by then in a usual season"
    if asked.recipe is not None and there >= counted_to(asked):
        sum_ = f"{there} and more by then in a usual season"
    if taken > 0:
        sum_ += f", {taken} of them promised"
    if sureness == "surely":
        return f"{sum_}; {sure} surely free"
    if sureness == "likely":
        return f"{sum_}; surely no more than {sure}"
    return (
        f"{sum_}: {max(asked.wanted - usual, 0)} short"
        if usual < asked.wanted
        else f"{sum_}, and not sure enough"
    )


def _nothing(supply: Supply, asked: Claim, uncounted: Sequence[str]) -> str:
    """Why a usual season gives none of it for the day: nobody grows it, or it is cut at another time."""
    if asked.recipe is not None:
        return "there is too little of a part of it for even one"
    growing = [
        (source.cut_between, source)
        for source in supply.sources
        if source.cut_between is not None and any(asked.takes(sort) for sort in source.sorts)
    ]
    if not growing:
        forms = {sort.form for sort in supply.sorts if any(one.crop == sort.crop for one in asked.liked)}
        others = (
            f"; there is some {' and '.join(sorted(forms - {asked.form}))}" if forms - {asked.form} else ""
        )
        none = "none of it can be counted on" if uncounted else "none of it is there, growing or planned"
        return f"{none}{others}"
    growing.sort(key=lambda one: (one[0], one[1].code))
    told = ", ".join(
        f"{source.code} in {source.place.removeprefix('bed ')} is cut about {short_day(first)} to {short_day(last)}"
        for (first, last), source in growing[:MOST_NAMED]
    )
    return f"nothing of it for that day: {told}"


def _short_from(supply: Supply, asked: Claim) -> str | None:
    """The first day on which this promise, or one of the same, falls short in a usual season; None where none does."""
    needs: list[AnyNeed] = [*supply.needs, as_need(asked, supply.sorts)]
    *got, mine = served(needs, supply.lots(None))
    days = [
        c.due
        for c, count in zip(supply.claims, got, strict=False)
        if count < c.wanted and any(c.takes(sort) and asked.takes(sort) for sort in supply.sorts)
    ]
    if mine + supply.made_free(asked) < asked.wanted:
        days.append(asked.due)
    return min(days).isoformat() if days else None


def takes_from(supply: Supply, asked: Claim) -> Iterator[TakenFrom]:
    """What others would lose, and how often, if it were promised all the same and served in its turn."""
    if asked.stems_by < supply.day:
        return  # too late to make any: it takes nothing
    # in its turn: after what is due on its day or before
    ranks = sorted(need.rank for need in supply.needs)
    due = [claim.rank for claim in supply.whose if claim.due <= asked.due]
    place = 2 * (ranks.index(max(due)) + 1) - 1 if due else -1
    needs: list[AnyNeed] = [need._replace(rank=2 * ranks.index(need.rank)) for need in supply.needs]
    more: list[AnyNeed] = [*needs, as_need(asked, supply.sorts)._replace(rank=place)]
    lost: list[list[int]] = [[] for _ in needs]
    seasons = looked_at(ROUGHLY)
    for n in seasons:
        lots = supply.lots(n)
        for mine, had, has in zip(lost, served(needs, lots), served(more, lots), strict=False):
            if has < had:
                mine.append(had - has)
    for claim, mine in zip(supply.whose, lost, strict=True):
        if len(mine) >= RARELY * len(seasons):
            times, amount = round(100 * len(mine) / len(seasons)), round(median(mine))
            yield TakenFrom(claim.order, claim.buyer, claim.name, claim.due.isoformat(), amount, times)


def _free_from(farm: Farm, today: date, promised: Sequence[Claim], asked: Claim) -> str | None:
    """The first of some later days for which it could be promised, surely or likely."""
    days = [asked.due + timedelta(weeks=n) for n in range(1, LATER_WEEKS + 1)]
    supply = supply_for(farm, today, promised, [asked], days)
    # what is sure is likely too, and what is planned may be so
    free, _ = free_in(supply, asked, days, looked_at(2 * ROUGHLY), planned=True)
    return next(
        (day.isoformat() for day, one in zip(days, free, strict=True) if one.chance(asked.wanted) >= LIKELY),
        None,
    )
