"""Making pieces: what goes into them, as the entries of one writing; or the first part short, and what would do."""

from __future__ import annotations

from datetime import date
from typing import Any

from core.book.entry import Draft
from core.codes import PIECE, next_code
from core.farm import Farm, Recipe
from core.pieces.parts import ANY, MAKING
from core.pieces.taking import Short, Taking, most_that_can_be_made, needs, take_for
from core.places import Place
from core.problems import Problem
from core.units import plainly


def drafts_of(
    farm: Farm,
    recipe: Recipe,
    count: int,
    day: date,
    *,
    mark: str = "",
    minutes: float | None = None,
    insists: bool = False,
) -> tuple[tuple[Draft, ...], Taking] | Problem:
    """The entries that making `count` pieces comes to, and what it takes; a Problem with the first part short.

    One "made", a "used" for each lot and place, a "spent" for each making: one writing. `mark` is this machine's
    letter, `minutes` what it took in all.
    """
    if recipe.sort == "wired head":
        return Problem(
            "Heads are wired lot by lot, and stay in their lot: write 'wire 24 L041 22g'.",
            "impossible",
            ("wire",),
        )
    wants = needs(recipe, count)
    if isinstance(wants, Problem):
        return wants
    taking = take_for(farm, wants, day, insists=insists)
    if taking.short:
        return _too_little(farm, recipe, count, taking.short[0], day)
    code = next_code(farm, PIECE, mark)
    stems: dict[tuple[str, Place], int] = {}
    ref = {t.lot: t.ref for t in taking.stems}
    unfit = {(t.lot, t.source): f"{recipe.code}, though {t.unfit}" for t in taking.stems if t.unfit}
    for t in taking.stems:
        stems[t.lot, t.source] = stems.get((t.lot, t.source), 0) + t.stems
    made: dict[str, Any] = {"piece": code, "recipe": recipe.code, "count": count}
    if minutes is not None:
        made["minutes"] = minutes
    on = day.isoformat()
    return (
        Draft("made", on, made),
        *(
            Draft(
                "used",
                on,
                {"lot": lot, "source": at, "stems": n, "piece": code, "ref": ref[lot]}
                | ({"purpose": unfit[lot, at]} if (lot, at) in unfit else {}),
            )
            for (lot, at), n in stems.items()
        ),
        *(Draft("spent", on, {"making": name, "count": n, "piece": code}) for name, n in taking.makings),
    ), taking


def _too_little(farm: Farm, recipe: Recipe, count: int, short: Short, day: date) -> Problem:
    """The first part short, how much of it, and what would do."""
    most = most_that_can_be_made(farm, recipe, day)
    fewer = 0 if isinstance(most, Problem) else most[0]
    would, near = [], []
    if 0 < fewer < count:
        would.append(f"make {fewer}")
        near.append(f"make {fewer} {recipe.code}")
    if short.unfit:
        why = "are past their vase life" if short.form == "fresh" else "hang and have not snapped"
        would.append(f"add 'anyway' to take from {short.unfit} that {why}")
        near.append("anyway")
    would.append(f"count what is there, or {'buy' if short.form == MAKING else 'cut'} more")
    return Problem(
        f"{part_text(short.what, short.form, short.short)} short for {count} {recipe.code} "
        f"({plainly(short.needed)} needed, {plainly(short.there)} there): {'; '.join(would)}.",
        "impossible",
        tuple(near),
    )


def part_text(what: str, form: str, count: float) -> str:
    """ "100 dry statice", "3 wired heads of strawflower", "6 dry filler", "32 dry stems of any kind", "2 wire 26"."""
    if form == MAKING:
        return f"{plainly(count)} {what}"
    if what == ANY:
        return f"{plainly(count)} {form} {'heads' if form == 'wired' else 'stems'} of any kind"
    what = what.removeprefix(f"{ANY} ")
    return f"{plainly(count)} wired heads of {what}" if form == "wired" else f"{plainly(count)} {form} {what}"
