"""Recipes and the pieces made by them: the parts leave the ledger, a piece comes into being, and is sold or lost."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from core.book.entry import Draft, Entry
from core.codes import PIECE, free_code, is_new, next_code
from core.farm import Farm, Piece, Recipe, same
from core.kinds import FORMS, PIECES
from core.problems import Problem
from core.rules import Rule, too_early, unknown
from core.stems.ledger import find_lot
from core.stems.parts import ANY, MAKING, wanted
from core.stems.taking import Short, Taking, most_that_can_be_made, needs, take_for
from core.stems.wiring import check_enough, spend

_NAME = re.compile(r"[a-z][a-z0-9-]{0,39}")


# recipes


def check_name(name: str) -> Problem | None:
    """What is wrong with the name of a recipe, or None."""
    if _NAME.fullmatch(name):
        return None
    return Problem(
        "A recipe is called by one word of letters, figures and hyphens that begins with a letter: winter-wreath.",
        "unreadable",
    )


def find_recipe(farm: Farm, name: str) -> Recipe | Problem:
    """The farm's recipe of that name (any beginning that is not another's), or why there is none."""
    if name in farm.recipes:
        return farm.recipes[name]
    begun = [code for code in farm.recipes if code.startswith(name)] if name else []
    if len(begun) == 1:
        return farm.recipes[begun[0]]
    if begun:
        return Problem(
            f"'{name}' may be {' or '.join(begun[:6])}: write more of it.", "ambiguous", tuple(begun)
        )
    if not farm.recipes:
        return Problem(
            f"There is no recipe {name} yet: write one, such as 'recipe winter-wreath as wreath 12in'.",
            "unknown",
        )
    return unknown("recipe", name, list(farm.recipes))


def _check_recipe(_farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if problem := check_name(f["recipe"]):
        return problem
    if f["sort"] not in PIECES:
        return unknown("sort of piece", f["sort"], list(PIECES))
    if f.get("size_in", 1) <= 0 or f.get("minutes", 1) <= 0:
        return Problem("The size and the minutes of a recipe are above 0.", "impossible")
    return None


def _recipe(farm: Farm, entry: Entry) -> None:
    """A recipe written again keeps its parts: they are changed by entries of their own."""
    f = entry.fields
    known = farm.recipes.get(f["recipe"])
    if known is None:
        known = farm.recipes[f["recipe"]] = Recipe(f["recipe"], f["sort"])
    known.sort, known.size_in, known.minutes = f["sort"], f.get("size_in"), f.get("minutes")


def _check_part(_farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["form"] not in FORMS:
        return unknown("form", f["form"], list(FORMS))
    if f["count"] < 0:
        return Problem("A part is counted from 0, which takes it out.", "impossible")
    if f["form"] == MAKING:
        return None
    if f["count"] != int(f["count"]):
        return Problem(f"{f['count']:g} is no whole number of stems.", "impossible")
    of = wanted(f["what"])
    return of if isinstance(of, Problem) else None


def _part(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    recipe = farm.recipes.get(f["recipe"])
    if recipe is None:
        farm.note_matter(f"An entry speaks of recipe {f['recipe']}, which the book does not have.", entry.id)
        return
    kept = [part for part in recipe.parts if (part[0], part[2]) != (f["what"], f["form"])]
    at = next(
        (i for i, part in enumerate(recipe.parts) if (part[0], part[2]) == (f["what"], f["form"])), len(kept)
    )
    if f["count"] > 0:
        kept.insert(at, [f["what"], f["count"], f["form"]])
    recipe.parts = kept


# making


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
    stems: dict[tuple[str, str], int] = {}
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
        f"({short.needed:g} needed, {short.there:g} there): {'; '.join(would)}.",
        "impossible",
        tuple(near),
    )


def part_text(what: str, form: str, count: float) -> str:
    """ "100 dry statice", "3 wired heads of strawflower", "6 dry filler", "32 dry stems of any kind", "2 wire 26"."""
    if form == MAKING:
        return f"{count:g} {what}"
    if what == ANY:
        return f"{count:g} {form} {'heads' if form == 'wired' else 'stems'} of any kind"
    what = what.removeprefix(f"{ANY} ")
    return f"{count:g} wired heads of {what}" if form == "wired" else f"{count:g} {form} {what}"


def _check_made(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["recipe"] not in farm.recipes:
        return unknown("recipe", f["recipe"], list(farm.recipes))
    if f["count"] < 1:
        return Problem("At least one piece is made.", "impossible")
    if f.get("minutes", 0) < 0:
        return Problem("Minutes begin at 0.", "impossible")
    if not is_new(farm, f["piece"], farm.pieces):
        return Problem(f"There are pieces {f['piece']} already.", "impossible")
    return None


def _made(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    code = free_code(farm, f["piece"], farm.pieces, entry.id)
    recipe = farm.recipes.get(f["recipe"])
    if recipe is not None and f.get("minutes"):
        recipe.timed += f["count"]
        recipe.took += f["minutes"]
    # a recipe that came by a merge may be dated after the pieces made by it
    sort = recipe.sort if recipe is not None else f["recipe"]
    farm.pieces.add(code, Piece(code, entry.id, f["recipe"], sort, entry.on, f["count"], f.get("minutes")))


def note_used(farm: Farm, entry: Entry) -> None:
    """Stems that were used in a piece stand in its story."""
    if "piece" in entry.fields and (piece := _part_of(farm, entry)) is not None:
        lot = find_lot(farm, entry)
        code = lot.code if lot is not None else entry.fields["lot"]
        piece.stems.append([code, entry.fields["source"], entry.fields["stems"]])


def _check_spent(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["count"] <= 0:
        return Problem("What is spent is more than 0.", "impossible")
    return check_enough(farm, f["making"], f["count"])


def _spent(farm: Farm, entry: Entry) -> None:
    making, count = entry.fields["making"], entry.fields["count"]
    spend(farm, making, count, entry.id)
    if "piece" in entry.fields and (piece := _part_of(farm, entry)) is not None:
        piece.makings.append([making, count])


def _part_of(farm: Farm, entry: Entry) -> Piece | None:
    """The pieces that a part went into; that there are none is a matter to settle.

    Where machines apart gave the code twice, the pieces made last before the part: it is written with them.
    """
    code = entry.fields["piece"]
    piece = farm.pieces.get(code)
    while piece is not None and (later := farm.pieces.get(f"{piece.code}'")) is not None:
        piece = later
    if piece is None:
        farm.note_matter(f"An entry speaks of pieces {code}, which the book does not have.", entry.id)
    return piece


# what becomes of them


def _check_leaving(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    piece = same(f["piece"], f.get("ref"), farm.pieces)
    if piece is None:
        return unknown("piece", f["piece"], [p.code for p in farm.pieces.live()])
    if problem := too_early("Pieces", piece.code, piece.made_on, draft):
        return problem
    if f["count"] < 1:
        return Problem("At least one piece leaves.", "impossible")
    if f["count"] > piece.on_hand:
        left = f"{piece.on_hand} {piece.recipe}" if piece.on_hand > 0 else "nothing left"
        return Problem(
            f"{piece.code} has {left}: {f['count']} is more than there is.",
            "impossible",
            (str(piece.on_hand),) if piece.on_hand > 0 else (),
        )
    return None


def _leaves(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    piece = same(f["piece"], f.get("ref"), farm.pieces)
    if piece is None:
        farm.note_matter(f"An entry speaks of pieces {f['piece']}, which the book does not have.", entry.id)
        return
    if entry.kind == "piece sold":
        piece.sold += f["count"]
    else:
        piece.lost[f["cause"]] = piece.lost.get(f["cause"], 0) + f["count"]
        farm.note_cause(f["cause"], entry.on)
    if piece.on_hand < 0:
        farm.note_matter(
            f"{-piece.on_hand} more {piece.recipe} of {piece.code} left than were made: count them, or strike what "
            "did not happen.",
            entry.id,
        )


def _check_reorder(_farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["count"] < 0:
        return Problem("The number to buy again at begins at 0, which takes it out.", "impossible")
    return None


def _reorder(farm: Farm, entry: Entry) -> None:
    making, count = entry.fields["making"], entry.fields["count"]
    if count > 0:
        farm.reorder[making] = count
    else:
        farm.reorder.pop(making, None)


RULES = {
    "recipe": Rule(_recipe, _check_recipe),
    "part": Rule(_part, _check_part),
    "made": Rule(_made, _check_made),
    "spent": Rule(_spent, _check_spent),
    "piece sold": Rule(_leaves, _check_leaving),
    "piece lost": Rule(_leaves, _check_leaving),
    "reorder": Rule(_reorder, _check_reorder),
}
