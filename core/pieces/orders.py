"""An order against what is on hand: what so many pieces need, part by part, and what is short of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.dialect import told_size
from core.farm import Farm, Recipe
from core.pieces.bench import cautions_for, wire_says
from core.pieces.lines import read_order
from core.pieces.making import part_text
from core.pieces.parts import MAKING
from core.pieces.recipes import LIBRARY, SPARE_PCT
from core.pieces.taking import Short, needs, take_for
from core.problems import Problem


@dataclass(frozen=True, slots=True)
class PartNeed:
    """What one part of an order needs and what is there. `there` is None for a making that is not counted;
    `unfit` are stems there that would do only with 'anyway'."""

    what: str
    form: str
    needed: float
    there: float | None
    short: float
    unfit: int
    text: str
    says: str


@dataclass(frozen=True, slots=True)
class Order:
    """So many pieces of a recipe against what is on hand."""

    recipe: str
    sort: str
    count: int
    size_in: float | None
    spare_pct: float
    minutes: float | None
    parts: tuple[PartNeed, ...]
    sentence: str
    remarks: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def is_short(self) -> bool:
        return any(part.short > 0 for part in self.parts)


def short_for(
    farm: Farm, recipe: Recipe, count: int, day: date, *, size_in: float | None = None, spare_pct: float = 0
) -> Order | Problem:
    """What `count` pieces need, part by part, and what is short of it.

    A wreath or crown may be asked for in another size: its parts grow with the ring's circumference or the crown's
    length. `spare_pct`: so many stems more in a hundred, for wedding work.
    """
    if not 0 <= spare_pct <= 100:
        return Problem("Spare stems are counted in percent, from 0 to 100.", "impossible")
    wants = needs(recipe, count, size_in=size_in, spare_pct=spare_pct)
    if isinstance(wants, Problem):
        return wants
    taking = take_for(farm, wants, day)
    short = {(s.what, s.form): s for s in taking.short}
    parts = tuple(
        PartNeed(
            need.what,
            need.form,
            need.count,
            None if need.what in taking.uncounted and need.form == MAKING else _there(farm, need.what, need.form,
                need.count, lacking),
            lacking.short if lacking else 0,
            lacking.unfit if lacking else 0,
            part_text(need.what, need.form, need.count),
            wire_says(farm, need.what) if need.form == MAKING else "",
        )
        for need in wants
        for lacking in (short.get((need.what, need.form)),)
    )  # fmt: skip
    size = size_in or recipe.size_in
    ratio = size_in / recipe.size_in if size_in and recipe.size_in else 1.0
    return Order(
        recipe.code,
        recipe.sort,
        count,
        size,
        spare_pct,
        round(recipe.minutes * ratio * count, 1) if recipe.minutes else None,
        parts,
        _order_sentence(recipe, count, size_in, taking.short),
        tuple(_order_remarks(recipe, spare_pct, taking.uncounted)),
        cautions_for(recipe.sort),
    )


def order_called(farm: Farm, text: str, day: date, spare_pct: float = 0) -> Order | Problem:
    """What "12 winter-wreath" or "12 wreaths of 14 in" needs, and what is short of it."""
    asked = read_order(text, farm, day)
    if isinstance(asked, Problem):
        return asked
    recipe, count, size_in = asked
    return short_for(farm, recipe, count, day, size_in=size_in, spare_pct=spare_pct)


def _there(farm: Farm, what: str, form: str, needed: float, lacking: Short | None) -> float:
    if form == MAKING:
        return farm.makings[what]
    return lacking.there if lacking else needed


def _order_sentence(recipe: Recipe, count: int, size_in: float | None, short: tuple[Short, ...]) -> str:
    of = f"{count} {recipe.code}" + (f" of {told_size(size_in)}" if size_in else "")
    if not short:
        return f"Everything for {of} is there."
    lacking = ", ".join(part_text(s.what, s.form, s.short) for s in short)
    return f"Short for {of}: {lacking}."


def _order_remarks(recipe: Recipe, spare_pct: float, uncounted: tuple[str, ...]) -> list[str]:
    remarks = [f"no count is kept of {name}: 'bought 10 {name}' begins one" for name in uncounted]
    if spare_pct == 0 and any(r.sort == recipe.sort and r.wedding for r in LIBRARY.values()):
        remarks.append(
            f"for wedding work have {SPARE_PCT[0]} to {SPARE_PCT[1]} % more stems (common practice)"
        )
    return remarks
