"""Next season's first plan as it is offered on a day: each of its lines is one that can be written then; what cannot be
planned is told in words, with why."""

from __future__ import annotations

from datetime import date

from core.farm import Farm
from core.learning.next_year import DraftRow, first_plan
from core.plans.lines import read_wish
from core.plans.preview import preview
from core.problems import Problem


def offered_plan(farm: Farm, year: int, day: date) -> list[DraftRow]:
    """The draft of the plan for the season after `year`, each line tried as it would be written on `day`."""
    return [_tried(farm, row, day) for row in first_plan(farm, year)]


def _tried(farm: Farm, row: DraftRow, day: date) -> DraftRow:
    """The row, with what it has no room for; without its line where that would be refused."""
    wish = read_wish(row.line, farm, day) if row.line else None
    if wish is None:
        return row
    made = wish if isinstance(wish, Problem) else preview(farm, wish, day)
    if not isinstance(made, Problem):
        lacks = [f"{clash.sentence.rstrip('.')}: {clash.change}" for clash in made.clashes]
        return row._replace(because="; ".join((row.because, *lacks[:1])))
    return row._replace(line="", because=f"{row.because}; cannot be planned: {made.sentence.rstrip('.')}")
