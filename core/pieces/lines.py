"""Pieces in one line: made, sold, lost, asked about; makings to buy again."""

from __future__ import annotations

from datetime import date

from core.boxes.kinds import box_rows
from core.codes import PIECE
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
        size = positive(line, "in", "inches")
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
        line.remark(f"oldest first: {oldest.lot} cut {oldest.cut_on}")

    boxes = {taken.source for taken in taking.stems if taken.source.is_box}
    for row in box_rows(line.farm, line.on) if boxes else ():
        if row.box in boxes and row.ask in ("treat", "dry", "close"):
            line.remark(f"some are from {row.box}, {row.says}: look at them before they go in")
    for name in taking.uncounted:
        line.remark(f"no count is kept of {name}: 'bought 10 {name}' begins one")


def names_piece(line: Line) -> bool:
    """Whether pieces are named in the line: by their code (M001), or by the recipe of some that are on hand."""
    return any(t.is_word and (is_code(t.low, PIECE) or _recipe_on_hand(line, t)) for t in line.free())


def _recipe_on_hand(line: Line, token: Token) -> str | None:
    """The recipe that the word names, where pieces of it are on hand: "crown-b", "crown-bs"."""
    made = {piece.recipe for piece in line.farm.pieces.live()}
    return next((name for name in (token.low, token.low.removesuffix("s")) if name in made), None)


def sold(line: Line) -> Reading:
    """ "sold 1 M001 to corner florist": all of them where no number is written."""
    paid = take_paid(line)
    refuse_money(line)
    take_by(line)
    who = take_own_words(line, ("to",), known_buyers(line.farm))
    take_day(line)
    piece = _take_piece(line)
    count = line.take_count("pieces")
    count = piece.free if count is None else count
    if paid is not None and paid.of in ("stems", "bunches"):
        raise Refused("Pieces are sold by the piece: write the price alone, such as at 18.")
    cents = None if paid is None else paid.cents * (1 if paid.of == "all" else count)
    if paid is None and (listed := price_of(line.farm, "piece", piece.recipe, who)) is not None:
        cents = listed.cents * count
        line.remark(price_text(listed))
    return line.reading(
        line.draft("piece sold", piece=piece.code, count=count, who=who, cents=cents, ref=piece.made_by)
    )


def lost(line: Line) -> Reading:
    """ "lost 1 M001 broken"."""
    piece = _take_piece(line)
    cause = need_cause(line, CAUSES)
    count = line.take_count("pieces")
    if count is None and piece.on_hand != 1:
        raise Refused(f"How many of {piece.code}? There are {piece.on_hand}.")
    return line.reading(
        line.draft(
            "piece lost",
            piece=piece.code,
            count=1 if count is None else count,
            cause=cause,
            ref=piece.made_by,
        )
    )


def _first_made(line: Line) -> list[str]:
    """The code of the pieces on hand that were made first by the recipe the line names."""
    for token in line.free():
        if token.is_word and (recipe := _recipe_on_hand(line, token)):
            token.taken = True
            first = min(
                (p for p in line.farm.pieces.live() if p.recipe == recipe), key=lambda p: (p.made_on, p.code)
            )
            line.remark(f"{first.code} is the {recipe} made first")
            return [first.code]
    return []


def _take_piece(line: Line) -> Piece:
    codes = line.take_codes(PIECE) or _first_made(line)
    if not codes:
        live = [p.code for p in line.farm.pieces.live()]
        raise Refused("Which pieces? Write their code: sold 1 M001 to corner florist.", near=live[-3:])
    if len(codes) > 1:
        raise Refused(f"{codes[0]} and {codes[1]}: write one line for each.", "ambiguous")
    piece = line.farm.pieces.get(codes[0])
    if piece is None:
        live = [p.code for p in line.farm.pieces.live()]
        hint = f"; there is {either(live[-3:], 'and')}." if live else " yet."
        raise Refused(f"There are no pieces {codes[0]}{hint}", "unknown", live[-3:])
    if not piece.is_live:
        raise Refused(
            f"{piece.code} ({piece.recipe}) has nothing on hand: all are sold or lost.", "impossible"
        )
    return piece


CAUSES = ("broken", "faded", "shatter", "mold", "moth", "mice", "unsold", "other")
"""Why pieces are lost: the short list that is offered."""


def _claims_lost(line: Line, token: Token) -> int:
    return (
        lost_claim(line, token) + 3 if any(t.is_word and is_code(t.low, PIECE) for t in line.free()) else NOT
    )


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
        (("sold 1 M001 to corner florist", "pieces by their code"),),
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
    Verb("drop", drop, offers=(_with_parts,), follow=(), claims=_claims_drop),
)
