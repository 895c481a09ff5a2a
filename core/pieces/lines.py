"""Pieces in one line: made, sold, lost, asked about; makings to buy again."""

from __future__ import annotations

from datetime import date
from itertools import takewhile

from core.boxes.kinds import box_rows
from core.codes import LOT, PIECE
from core.farm import Farm, Piece, Recipe
from core.language.causes import need_cause
from core.language.days import take_day
from core.language.line import NO_BOOK, Line, Reading, Refused, either
from core.language.names import is_code
from core.language.offers import causes, crops, fresh_lots, has_code, words
from core.language.own_words import refuse_money, take_by, take_own_words
from core.language.paid import take_paid
from core.language.tokens import Token
from core.language.verb import NOT, Verb, first_or_sure, lost_claim, take_loss
from core.language.words import FILLERS
from core.marked import size_word
from core.order_rows import Order
from core.orders.order_words import take_order
from core.orders.prices import price_of, price_text
from core.pieces.kinds import PIECES, find_recipe
from core.pieces.making import drafts_of
from core.pieces.recipe_lines import drop, part, positive, recipe, refused
from core.pieces.recipes import library_called
from core.pieces.taking import Taking
from core.pieces.wire_lines import claims_wire, wire
from core.places import USES
from core.problems import Problem
from core.stems.buyers import known_buyers
from core.text import LONGEST, clean
from core.units import day_text


def make(line: Line) -> Reading:
    """ "make 2 winter-wreath 80min": the oldest stems that are fit, and the makings, become pieces."""
    minutes = positive(line, "min", "minutes")
    order = take_order(line, must=False)
    count = line.take_count("pieces")
    words = [t for t in line.free() if t.is_word and t.low not in FILLERS]
    if not words:
        raise Refused(
            f"Make what? Write the recipe: make 2 {next(iter(line.farm.recipes), 'winter-wreath')}.",
            near=tuple(line.farm.recipes)[:6],
        )
    found = recipe_called(line.farm, words[0].low)
    words[0].taken = True
    line.refuse_leftovers(line.farm.recipes)
    if count is None:
        count = 1
        line.remark("one, as no number was written")
    drafted = drafts_of(
        line.farm, found, count, line.on, mark=line.known.mark, minutes=minutes, insists=line.insists
    )
    if isinstance(drafted, Problem):
        raise refused(drafted)
    drafts, taking = drafted
    if order is not None:
        _remark_order(line, order, found)
    _remark_taking(line, taking)
    return line.reading(*drafts)


def _remark_order(line: Line, order: Order, made: Recipe) -> None:
    """For whom they are made, where the line says so: they are set aside by a pick."""
    if not any(item.recipe in (made.code, made.sort) for item in order.wanted_items):
        raise Refused(f"{order.code} of {order.buyer} asks for no {made.code}.", "impossible")
    line.remark(f"'pick {order.code}' sets them aside for {order.buyer}")


def read_order(text: str, farm: Farm, day: date) -> tuple[Recipe, int, float | None] | Problem:
    """(recipe, how many, inches or None) of "12 winter-wreath", "12 wreaths of 14 in"; her own, or the library's."""
    if len(text) > LONGEST:
        return Problem(f"A line has at most {LONGEST} characters.")
    line = Line.of(clean(text), farm, day, NO_BOOK)
    line.verb = "make"
    try:
        size = positive(line, "in", size_word())
        count = line.take_count("pieces")
        named = [t for t in line.free() if t.is_word and t.low not in FILLERS and t.low != "make"]
        for token in [*named, *line.take_words(("make",))]:
            token.taken = True
        line.refuse_leftovers()
        if not named:
            raise Refused(
                "Of what? Write how many and the recipe: 12 winter-wreath.", near=tuple(farm.recipes)[:6]
            )
        said = " ".join(t.low for t in named)
        library = library_called(said) or library_called(said.removesuffix("s"))
        if said not in farm.recipes and library is not None:
            return library.as_recipe(), 1 if count is None else count, size
        return recipe_called(farm, said), 1 if count is None else count, size
    except Refused as refused:
        return refused.problem


def recipe_called(farm: Farm, name: str) -> Recipe:
    """The recipe of that name, a beginning of it, or its plural; refused where there is none."""
    found = find_recipe(farm, name)
    for ending in ("s", "es"):
        if isinstance(found, Problem) and name.removesuffix(ending) in farm.recipes:
            found = farm.recipes[name.removesuffix(ending)]
    if isinstance(found, Problem):
        raise refused(found)
    return found


def _remark_taking(line: Line, taking: Taking) -> None:
    if taking.stems:
        oldest = min(taking.stems, key=lambda t: t.cut_on)
        line.remark(f"oldest first: {oldest.lot} cut {day_text(oldest.cut_on)}")

    boxes = {taken.source for taken in taking.stems if taken.source.is_box}
    for row in box_rows(line.farm, line.on) if boxes else ():
        if row.box in boxes and row.ask in ("treat", "dry", "close"):
            line.remark(f"some are from {row.box}, {row.says}: look at them before they go in")
    for name in taking.uncounted:
        line.remark(f"no count is kept of {name}: 'bought 10 {name}' begins one")


def names_piece(line: Line) -> bool:
    """Whether pieces are named in the line: by their code (M001), or by the recipe or sort of some that are on hand,
    where no lot is named; what stands behind "to" and "for" is somebody's name, or what for."""
    said = list(takewhile(lambda t: t.low not in ("to", "for"), line.words))
    if any(t.is_word and is_code(t.low, LOT) for t in said):
        return False
    return any(t.is_word and (is_code(t.low, PIECE) or _recipes_on_hand(line, t)) for t in said)


def _recipes_on_hand(line: Line, token: Token) -> tuple[str, ...]:
    """The recipes that the word names, where pieces of them are on hand: "crown-b", "crown-bs"; else those of that
    sort: "crown"."""
    made = {piece.recipe: piece.sort for piece in line.farm.pieces.live()}
    words = (token.low, token.low.removesuffix("s"), token.low.removesuffix("es"))
    named = next((word for word in words if word in made), None)
    return (named,) if named else tuple(recipe for recipe, sort in made.items() if sort in words)


def sold(line: Line) -> Reading:
    """ "sold 1 M001 to corner florist": all of those where no number is written; "sold 3 crown-b": those made first."""
    paid = take_paid(line)
    refuse_money(line)
    take_by(line)
    who = take_own_words(line, ("to",), known_buyers(line.farm))
    take_day(line)
    is_coded = any(t.is_word and is_code(t.low, PIECE) for t in line.free())
    pieces = _take_pieces(line)
    count = line.take_count("pieces")
    free = sum(piece.free for piece in pieces)
    if count is None and free > 1 and not is_coded:
        raise Refused(f"How many {pieces[0].recipe}? There are {free}.", near=(str(free),))
    count = free if count is None else count
    if paid is not None and paid.of in ("stems", "bunches"):
        raise Refused("Pieces are sold by the piece: write the price alone, such as at 18.")
    cents = None if paid is None else paid.cents * (1 if paid.of == "all" else count)
    if paid is None and (listed := price_of(line.farm, "piece", pieces[0].recipe, who)) is not None:
        cents = listed.cents * count
        line.remark(price_text(listed))
    drafts, counted, charged = [], 0, 0
    for piece, of_it in _shared_out(line, pieces, count):
        counted += of_it
        due = None if cents is None else cents * counted // max(count, 1) - charged
        charged += due or 0
        said = {"piece": piece.code, "count": of_it, "who": who, "cents": due, "ref": piece.made_by}
        drafts.append(line.draft("piece sold", **said))
    return line.reading(*drafts)


def lost(line: Line) -> Reading:
    """ "lost 1 M001 broken"; "lost 1 crown-b broken", of those made first."""
    pieces = _take_pieces(line)
    return _left(line, pieces, need_cause(line, CAUSES))


def used(line: Line) -> Reading:
    """ "used 1 crown-b for a gift": given away, or used by herself; it leaves with that for its cause."""
    purpose = take_own_words(line, ("for",))
    pieces = _take_pieces(line)
    if purpose is None:
        raise Refused(f"Used for what? Write it so: used 1 {pieces[0].code} for a gift.")
    return _left(line, pieces, GIVEN if purpose.lower() in ("gift", "gifts") else purpose)


def _left(line: Line, pieces: list[Piece], cause: str) -> Reading:
    count = line.take_count("pieces")
    there = sum(piece.on_hand for piece in pieces)
    if count is None and there != 1:
        raise Refused(f"How many of {pieces[0].code}? There are {there}.")
    return line.reading(
        *(
            line.draft("piece lost", piece=piece.code, count=of_it, cause=cause, ref=piece.made_by)
            for piece, of_it in _shared_out(line, pieces, 1 if count is None else count)
        )
    )


def _shared_out(line: Line, pieces: list[Piece], count: int) -> list[tuple[Piece, int]]:
    """(pieces made at one time, so many of them), those made first before others; all of one where only one is named,
    so that what is more than there is, is refused by its name."""
    if len(pieces) == 1:
        return [(pieces[0], count)]
    found, left = [], count
    for piece in pieces:
        if of_it := min(left, piece.free):
            found.append((piece, of_it))
        left -= of_it
    if left > 0 or count < 1:
        free = count - left
        raise Refused(
            f"{free} {pieces[0].recipe} are there that are picked for nobody: {count} is more than there is."
            if count > 0
            else "At least one piece leaves.",
            "impossible",
            (str(free),) if free else (),
        )
    taken = [f"{of_it} {piece.code}" for piece, of_it in found]
    first = f"{found[0][0].code} is the {found[0][0].recipe} made first"
    line.remark(first if len(found) == 1 else f"made first: {either(taken, 'and')}")
    return found


def _made_of(line: Line) -> list[Piece]:
    """The pieces on hand by the recipe, or of the sort, that the line names, those made first before others; those
    that are picked for somebody only where no others are there."""
    for token in line.free():
        recipes = _recipes_on_hand(line, token) if token.is_word else ()
        if not recipes:
            continue
        if len(recipes) > 1:
            raise Refused(f"Which {token.low}: {either(recipes)}?", "ambiguous", recipes)
        token.taken = True
        made = sorted(
            (p for p in line.farm.pieces.live() if p.recipe == recipes[0]), key=lambda p: (p.made_on, p.code)
        )
        return [p for p in made if p.free > 0] or made[:1]
    return []


def _take_pieces(line: Line) -> list[Piece]:
    """The pieces named by their code, else by their recipe or sort."""
    codes = line.take_codes(PIECE)
    live = [p.code for p in line.farm.pieces.live()]
    if not codes and (made := _made_of(line)):
        return made
    if not codes:
        raise Refused("Which pieces? Write their code: sold 1 M001 to corner florist.", near=live[-3:])
    if len(codes) > 1:
        raise Refused(f"{codes[0]} and {codes[1]}: write one line for each.", "ambiguous")
    piece = line.farm.pieces.get(codes[0])
    if piece is None:
        hint = f"; there is {either(live[-3:], 'and')}." if live else " yet."
        raise Refused(f"There are no pieces {codes[0]}{hint}", "unknown", live[-3:])
    if not piece.is_live:
        raise Refused(
            f"{piece.code} ({piece.recipe}) has nothing on hand: all are sold or lost.", "impossible"
        )
    for token in line.free():
        if token.is_word and piece.recipe in _recipes_on_hand(line, token):
            token.taken = True
    return [piece]


GIVEN = "given away"
"""The cause under which pieces leave that were a gift."""
CAUSES = ("broken", "faded", "shatter", "mold", "moth", "mice", "unsold", "other")
"""Why pieces are lost: the short list that is offered."""


def _claims_lost(line: Line, token: Token) -> int:
    return lost_claim(line, token) + 3 if names_piece(line) else NOT


def _claims_sold(line: Line, token: Token) -> int:
    return first_or_sure(line, token) + 1 if names_piece(line) else NOT


def _claims_drop(line: Line, token: Token) -> int:
    named = any(t.is_word and t.low in line.farm.recipes for t in line.free())
    return first_or_sure(line, token) + 1 if named else NOT


def _pieces(line: Line, farm: Farm) -> list[str]:
    return [] if has_code(line) else [piece.code for piece in farm.pieces.live()][::-1]


def _recipes(line: Line, farm: Farm) -> list[str]:
    return list(farm.recipes)


def _with_parts(line: Line, farm: Farm) -> list[str]:
    return [recipe.code for recipe in farm.recipes.values() if recipe.parts]


_JOB = "Pieces and supplies"

VERBS = (
    Verb(
        "wire",
        wire,
        "Hang, wire, box",
        (("wire 24 L041 22g", "24 heads onto wire while they are fresh"),),
        (fresh_lots, words("anyway", "bucket"), crops),
        follow=("22g", "24g", "yesterday"),
        claims=claims_wire,
    ),
    Verb(
        "recipe",
        recipe,
        _JOB,
        (
            (
                "recipe wreath-12 as wreath {typed_size:12}",
                "begun from the library, for that ring; or from one of yours",
            ),
            (
                "recipe posy bouquet 15min: 8 dry straw, 1 ribbon",
                "in your own words; 'any filler' will do for a part",
            ),
        ),
        (_recipes, words("as", *PIECES, *USES)),
        follow=(),
    ),
    Verb(
        "part",
        part,
        _JOB,
        (
            (
                "part crown-b 6 dry strawflower apricot",
                "a part put in or changed; 0 takes it out; 'drop crown-b' them all",
            ),
        ),
        (_recipes, crops, words("dry", "wired", "fresh", "any")),
        follow=(),
    ),
    Verb(
        "make",
        make,
        _JOB,
        (("make 2 crown-b 80min", "the oldest dry stems go in, and the supplies are counted down"),),
        (_recipes, words("anyway")),
        follow=("anyway", "yesterday"),
    ),
    Verb(
        "sold",
        sold,
        _JOB,
        (("sold 1 M001 to corner florist", "pieces by their code, or those made first: sold 2 crown-b"),),
        (_pieces,),
        follow=("to", "yesterday"),
        own_day=True,
        own_words=True,
        claims=_claims_sold,
    ),
    Verb(
        "lost",
        lost,
        _JOB,
        (("lost 1 M001 broken", "also faded, unsold, moth"),),
        (_pieces, causes(CAUSES)),
        claims=_claims_lost,
        take=take_loss,
        small=("out", "away"),
    ),
    Verb("used", used, offers=(_pieces, words("for")), own_words=True, own_day=False, claims=_claims_sold),
    Verb("drop", drop, offers=(_with_parts,), follow=(), claims=_claims_drop),
)
