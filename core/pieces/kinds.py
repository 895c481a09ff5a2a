"""Recipes and the pieces made by them: the parts leave the ledger, a piece comes into being, and is sold or lost."""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.codes import free_code, is_new
from core.farm import Farm, Piece, Recipe
from core.happened import MakingIn, PartOf, Sale, StemsIn
from core.kinds import REF, SIZE, Kind, may, needs
from core.marked import typed_size
from core.patterns import pattern
from core.pieces.parts import MAKING, wanted
from core.pieces.wiring import check_wired, wired
from core.places import Place, set_aside_for
from core.problems import Problem
from core.refusals import too_early, unknown
from core.register import made_with, same
from core.spelling import spelled
from core.stems.buyers import note_buyer
from core.stems.kinds import find_lot
from core.units import plainly

MOST_PARTS = 200
"""Parts of one recipe: flowers, foliage and supplies."""

_NAME = pattern(r"[a-z][a-z0-9-]{0,39}")


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
            f"There is no recipe {name} yet: write one, such as 'recipe winter-wreath as wreath {typed_size(12)}'.",
            "unknown",
        )
    return unknown("recipe", name, list(farm.recipes))


def _check_recipe(_farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if problem := check_name(f["recipe"]):
        return problem
    if spelled(f["sort"]) not in PIECES:
        return unknown("sort of piece", f["sort"], list(PIECES))
    if f.get("size_in", 1) <= 0 or f.get("minutes", 1) <= 0:
        return Problem("The size and the minutes of a recipe are above 0.", "impossible")
    return None


def _recipe(farm: Farm, entry: Entry) -> None:
    """A recipe written again keeps its parts: they are changed by entries of their own."""
    f = entry.fields
    known = farm.recipes.get(f["recipe"])
    if known is None:
        known = farm.recipes[f["recipe"]] = Recipe(f["recipe"], spelled(f["sort"]))
    known.sort, known.size_in, known.minutes = spelled(f["sort"]), f.get("size_in"), f.get("minutes")


def _check_part(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["form"] not in FORMS:
        return unknown("form", f["form"], list(FORMS))
    if f["count"] < 0:
        return Problem("A part is counted from 0, which takes it out.", "impossible")
    if (recipe := farm.recipes.get(f["recipe"])) is not None and len(recipe.parts) >= MOST_PARTS:
        return Problem(f"{f['recipe']} has {MOST_PARTS} parts; a recipe has no more.", "impossible")
    if f["form"] == MAKING:
        return None
    if f["count"] != int(f["count"]):
        return Problem(f"{plainly(f['count'])} is no whole number of stems.", "impossible")
    of = wanted(f["what"], farm.own_crops)
    return of if isinstance(of, Problem) else None


def _part(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    recipe = farm.recipes.get(f["recipe"])
    if recipe is None:
        farm.note_unknown("recipe", f["recipe"], entry.id)
        return
    kept = [part for part in recipe.parts if (part.what, part.form) != (f["what"], f["form"])]
    at = next(
        (i for i, part in enumerate(recipe.parts) if (part.what, part.form) == (f["what"], f["form"])),
        len(kept),
    )
    if f["count"] > 0:
        if len(kept) >= MOST_PARTS:
            raise ValueError(f"a recipe of more than {MOST_PARTS} parts")
        kept.insert(at, PartOf(f["what"], f["count"], f["form"]))
    recipe.parts = kept


# making


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
    if f["count"] < 1:
        farm.note_matter(
            f"{f['piece']} is said to be made of no piece at all: take it back.",
            entry.id,
            "nothing made",
            f["piece"],
        )
        return
    code = free_code(farm, f["piece"], farm.pieces, entry.id)
    recipe = farm.recipes.get(f["recipe"])
    if recipe is not None and f.get("minutes"):
        recipe.timed += f["count"]
        recipe.took += f["minutes"]
    # a recipe that came by a merge may be dated after the pieces made by it
    sort = recipe.sort if recipe is not None else f["recipe"]
    farm.pieces.add(
        code, Piece(code, entry.id, entry.by, f["recipe"], sort, entry.on, f["count"], f.get("minutes"))
    )


def _note_used(farm: Farm, entry: Entry) -> None:
    """Stems that were used in a piece stand in its story."""
    if "piece" in entry.fields and (piece := _part_of(farm, entry)) is not None:
        lot = find_lot(farm, entry)
        code = lot.code if lot is not None else entry.fields["lot"]
        piece.stems.append(StemsIn(code, Place(entry.fields["source"]), entry.fields["stems"]))


def _part_of(farm: Farm, entry: Entry) -> Piece | None:
    """The pieces that a part went into, with which it was written; that there are none is a matter to settle."""
    piece = made_with(entry.fields["piece"], entry.by, farm.pieces)
    if piece is None:
        farm.note_unknown("pieces", entry.fields["piece"], entry.id)
    return piece


# what becomes of them


def need_piece(farm: Farm, draft: Draft) -> Piece | Problem:
    """The pieces that a draft speaks of, or that there are none."""
    f = draft.fields
    piece = same(f["piece"], f.get("ref"), farm.pieces)
    return piece or unknown("piece", f["piece"], [p.code for p in farm.pieces.live()])


def piece_or_matter(farm: Farm, entry: Entry) -> Piece | None:
    """The pieces that an entry speaks of; that the farm has none is a matter to settle."""
    f = entry.fields
    piece = same(f["piece"], f.get("ref"), farm.pieces)
    if piece is None:
        farm.note_unknown("pieces", f["piece"], entry.id)
    return piece


def note_overdrawn(farm: Farm, piece: Piece, entry: Entry) -> None:
    """That more pieces left than were made is a matter to settle."""
    if piece.on_hand < 0:
        farm.note_matter(
            f"{-piece.on_hand} more {piece.recipe} of {piece.code} left than were made: count them, or take back what "
            "did not happen.",
            entry.id,
            "pieces overdrawn",
            piece.code,
            amount=-piece.on_hand,
        )


def _check_leaving(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    piece = need_piece(farm, draft)
    if isinstance(piece, Problem):
        return piece
    if problem := too_early("Pieces", piece.code, piece.made_on, draft):
        return problem
    if f["count"] < 1:
        return Problem("At least one piece leaves.", "impossible")
    if f["count"] > piece.free:
        left = f"{piece.free} {piece.recipe}" if piece.free > 0 else "nothing left"
        picked = f" (picked {', '.join(map(set_aside_for, piece.set_aside))})" if piece.set_aside else ""
        return Problem(
            f"{piece.code} has {left}{picked}: {f['count']} is more than there is.",
            "impossible",
            (str(piece.free),) if piece.free > 0 else (),
        )
    return None


def _leaves(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    if (piece := piece_or_matter(farm, entry)) is None:
        return
    if entry.kind == "piece sold":
        piece.sold += f["count"]
        piece.sales.append(Sale(entry.on, f["count"], f.get("cents"), f.get("who", "")))
        if "who" in f:
            note_buyer(farm, f["who"])
    else:
        cause = spelled(f["cause"])
        piece.lost[cause] = piece.lost.get(cause, 0) + f["count"]
        farm.note_cause(cause, entry.on)
    note_overdrawn(farm, piece, entry)


PIECES = ("wired head", "boutonniere", "corsage", "crown", "wreath", "bouquet", "centerpiece")
"""The sorts of pieces."""
FORMS = ("fresh", "dry", "wired", "making")
"""In what form a recipe takes a part."""


def _note_spent(farm: Farm, entry: Entry) -> None:
    """Makings that were used in a piece stand in its story."""
    if "piece" in entry.fields and (piece := _part_of(farm, entry)) is not None:
        piece.makings.append(MakingIn(entry.fields["making"], entry.fields["count"]))


KINDS = (
    Kind(
        "wired",
        "wired {heads} heads of {lot}, gauge {gauge}[, {wires} wires][, anyway: {insisted}]",
        needs(lot="code", heads="count", source="code", gauge="count", wires="count")
        | may(insisted="text", tape="number")
        | REF,
        wired,
        check=check_wired,
    ),
    Kind(
        "recipe",
        "recipe {recipe}: {sort}[ of {size_in}][, {minutes} min]",
        needs(recipe="code", sort="code") | may(size_in=SIZE, minutes="number"),
        _recipe,
        check=_check_recipe,
        describes=True,
    ),
    Kind(
        "part",
        "{recipe} takes {count} {what}, {form}",
        needs(recipe="code", what="text", count="number", form="code"),
        _part,
        check=_check_part,
        describes=True,
    ),
    Kind(
        "made",
        "made {count} {recipe}[ in {minutes} min]: {piece}",
        needs(piece="code", recipe="code", count="count") | may(minutes="number"),
        _made,
        check=_check_made,
    ),
    Kind(
        "piece sold",
        "sold {count} of {piece}[ for {cents}][ to {who}]",
        needs(piece="code", count="count") | may(who="text", cents="count") | REF,
        _leaves,
        check=_check_leaving,
    ),
    Kind(
        "piece lost",
        "lost {count} of {piece}, {cause}",
        needs(piece="code", count="count", cause="text") | REF,
        _leaves,
        check=_check_leaving,
    ),
)

HEARS = {"used": _note_used, "spent": _note_spent}
