"""Weeks in which more room is spoken for than there is: who takes it, and the first change that would solve it.

A change of a kept plan that is not begun is reckoned anew, back to the seed, and then all the weeks with it: it
solves a shortage where nothing of it is left and nowhere else comes to be shorter.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from core.farm import Farm
from core.plans.capacity import Use, What, amount, how_much, peak, span_of_weeks
from core.plans.plan_fixes import first_change
from core.plans.room_use import Kind, Spoken, is_in

TAKERS_NAMED = 3


@dataclass(frozen=True, slots=True)
class Shortage:
    """Weeks on end in which more is taken than there is, in one `bed` where it is named.

    `brief` says how much, `takers` who takes most of it, `sentence` both; `plans` are the codes of all the
    plans that take part; `change` is the first that would solve it.
    """

    what: What
    bed: str | None
    first_week: date
    last_week: date
    short: float
    brief: str
    takers: str
    sentence: str
    plans: tuple[str, ...]
    change: str


def shortages(farm: Farm, day: date, mondays: Sequence[date]) -> list[Shortage]:
    """Those of the weeks that begin on `mondays`, in the order of the kinds of room."""
    found = Spoken.of(farm, day, mondays)
    return [_shortage(found, kind, run) for kind in found.kinds for run in _runs(found, kind, mondays)]


def _runs(spoken: Spoken, kind: Kind, mondays: Sequence[date]) -> Iterator[list[tuple[date, float]]]:
    """The weeks of a shortage on end, each with what is lacking in it."""
    run: list[tuple[date, float]] = []
    for monday in mondays:
        if (kind, monday) in spoken.short:
            run.append((monday, spoken.short[kind, monday]))
        elif run:
            yield run
            run = []
    if run:
        yield run


def _shortage(spoken: Spoken, kind: Kind, run: list[tuple[date, float]]) -> Shortage:
    what, bed = kind
    weeks = [monday for monday, _ in run]
    worst, short = max(run, key=lambda pair: pair[1])
    own = [use for use in spoken.uses() if use.what == what and bed in (None, use.bed)]
    plans = tuple(
        code
        for code, uses in spoken.of_plans.items()
        if any(use.what == what and bed in (None, use.bed) and is_in(use, weeks) for use in uses)
    )
    where = f" in bed {bed}" if bed else ""
    brief = f"{amount(what, round(short, 2))} short{where} {span_of_weeks(weeks[0], weeks[-1])}"
    takers = _takers(own, kind, worst)
    sentence = f"{brief}; most is taken by {takers}."
    change = first_change(spoken, kind, weeks, short, plans)
    return Shortage(what, bed, weeks[0], weeks[-1], round(short, 2), brief, takers, sentence, plans, change)


def _takers(uses: Sequence[Use], kind: Kind, monday: date) -> str:
    """The few that take most in a week."""
    names = {use.who for use in uses if is_in(use, [monday])}
    amounts = {who: peak([use for use in uses if use.who == who], kind[0], monday) for who in names}
    most = sorted(amounts, key=lambda who: (-amounts[who], who))[:TAKERS_NAMED]
    return ", ".join(f"{who} {how_much(kind[0], amounts[who])}" for who in most)
