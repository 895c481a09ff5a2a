"""Supplies that pieces take: what of them is lacking for pieces that are asked for, beside those promised already."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from core.farm import Farm
from core.pieces.parts import MAKING
from core.pieces.taking import needs
from core.problems import Problem
from core.promising.answer import Answer
from core.promising.claims import Claim, less_made, made_pieces
from core.units import number


def with_supplies(farm: Farm, found: Answer, asked: Claim, promised: Sequence[Claim]) -> Answer:
    """The answer, knowing the supplies that are counted: pieces for which some are lacking are not sure to be there."""
    lacking = lacking_for(farm, asked, promised)
    if not lacking:
        return found
    told = ", ".join(f"{number(short)} {name}" for name, short in lacking.items())
    return replace(
        found,
        answer="likely" if found.answer == "surely" else found.answer,
        why=f"{found.why}; supplies are short: buy {told}",
    )


def lacking_for(farm: Farm, asked: Claim, promised: Sequence[Claim]) -> dict[str, float]:
    """Supply -> how much of it is lacking for pieces that are asked for, when what is promised has taken its own. Only
    of those that are counted in the book, and for pieces that are not made yet."""
    if asked.recipe is None:
        return {}
    made = made_pieces(farm)
    taken: dict[str, float] = {}
    for claim in less_made(promised, made):
        for name, count in _of(claim).items():
            taken[name] = taken.get(name, 0) + count
    more = max(asked.wanted - made.get(asked.recipe.code, 0), 0)
    wanted = _of(replace(asked, wanted=more)) if more else {}
    short = {
        name: count - max(farm.makings[name] - taken.get(name, 0), 0)
        for name, count in wanted.items()
        if name in farm.makings
    }
    return {name: lacks for name, lacks in short.items() if lacks > 0}


def _of(claim: Claim) -> dict[str, float]:
    """Supply -> how much of it the pieces of a claim take."""
    found: dict[str, float] = {}
    wants = needs(claim.recipe, claim.wanted, size_in=claim.size_in) if claim.recipe is not None else ()
    for need in () if isinstance(wants, Problem) else wants:
        if need.form == MAKING:
            found[need.what] = found.get(need.what, 0) + need.count
    return found
