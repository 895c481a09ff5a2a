"""Makings in a line: bought, counted, and the number at which to buy them again."""

from __future__ import annotations

from core.crops.course import is_planted
from core.crops.own_crop import own_names
from core.farm import Farm
from core.language.crops import crops_called
from core.language.line import Line, Reading, Refused, either, short
from core.language.named_places import PLACE_GLUED
from core.language.names import has_lot
from core.language.offers import makings, words
from core.language.tokens import Number, Token
from core.language.verb import NOT, Verb, first_or_sure
from core.language.words import FILLERS, PLACE_WORDS, ROOTS
from core.settings.sheets import farm_sheet
from core.text import nearest, nearly
from core.units import as_typed, number, plainly


def bought(line: Line) -> Reading:
    """ "bought 500 wire 22": makings, by any name."""
    quoted = any(t.quoted for t in line.words)
    if (first := line.words[0]).is_word and not first.taken and not quoted and first.low not in FILLERS:
        raise Refused(
            "What you bought begins with it: bought 500 wire 22. A sale is: sold 10 L041 to florist.",
            near=("bought", "sold"),
        )
    making, count = making_and_count(line, "bought")
    if count <= 0:
        raise Refused("What was bought is more than 0.", "impossible")
    near = () if quoted or making in line.farm.makings else _slips_of(making, line.farm)
    if near:
        raise Refused(
            f"'{short(making)}' is new. Did you mean {either(near)}? A new name that is so like it is written in "
            f"quotes: '{short(making)}'.",
            "unknown",
            near,
        )
    if making not in line.farm.makings and not quoted and _is_of_roots(making):
        raise Refused(
            f"'{short(making)}' is new. Tubers are bought with their crop: bought 20 dahlia tubers. A supply of that "
            "name is written in quotes.",
            "unknown",
        )
    if making not in line.farm.makings and not quoted and _is_planted(line, making):
        raise Refused(
            f"'{short(making)}' is a crop. Its roots are bought by that word: bought {as_typed(count)} {making} roots. "
            "A supply of that name is written in quotes.",
            "ambiguous",
            ("roots",),
        )
    if making not in line.farm.makings:
        line.amount = f"new: {short(making)}"
        line.remark(f"'{making}' is new among the supplies")
    return line.reading(line.draft("bought", making=making, count=count))


def _is_of_roots(making: str) -> bool:
    """Whether a name may be meant for tubers, with a slip in it or in the name of their crop."""
    return any(word in ROOTS or nearly(word, ROOTS) for word in making.split())


def _is_planted(line: Line, making: str) -> bool:
    """Whether a name is that of a crop that is planted, and not sown."""
    crops = crops_called(making, own_names(line.farm))
    sheet = farm_sheet(line.farm, crops[0]) if len(crops) == 1 else None
    return sheet is not None and is_planted(sheet)


def _slips_of(making: str, farm: Farm) -> tuple[str, ...]:
    """The makings on record of which a new name may be a slip; another size ("wire 24") is another making."""
    rest = making.partition(" ")[2]
    if rest in farm.makings:  # "holls tape", "spools wire 22"
        return (rest,)
    near = nearly(making, farm.makings) or nearest(making, farm.makings, cutoff=0.8)
    return tuple(name for name in near if _without_size(name) != _without_size(making))


def _without_size(making: str) -> str:
    return "".join(c for c in making if not c.isdigit())


def stocktake(line: Line) -> Reading:
    """ "count 480 wire 22": what is there of the makings, beside what the book has."""
    making, count = making_and_count(line, "count")
    expected = known_making(line.farm, making, "Count which lot or supply? ")
    return line.reading(line.draft("stocktake", making=making, count=count, expected=expected))


def known_making(farm: Farm, making: str, asking: str = "") -> float:
    """How many the book has of a making; refused, after the question `asking`, where it has none by that name."""
    known = farm.makings
    if making not in known:
        near = nearest(making, known) or tuple(known)[:3]
        hint = f"there is {either(near, 'and')}." if near else "write 'bought 500 wire 22' first."
        raise Refused(f"{asking}No {short(making)} is in the book; {hint}", "unknown", near)
    return known[making]


_WIRE = "wire"
_ROLLS = ("roll", "rolls")
"""Tape is counted in them: "2 rolls tape" is 2 of tape."""


def making_and_count(line: Line, verb: str) -> tuple[str, Number]:
    """The name of a making and the number of it; the number after "wire" is its gauge, inches are a ring's."""
    words = line.free()
    name: list[str] = []
    counts: list[Token] = []
    for i, token in enumerate(words):
        is_gauge = i > 0 and words[i - 1].low == "wire"
        if token.number is not None and is_gauge:
            name.append(as_typed(token.number))
        elif token.number is not None and token.unit == "in":
            name.append(f"{number(token.number)}in")
        elif token.number is not None and not token.unit:
            counts.append(token)
        elif token.low not in FILLERS or name:
            name.append(token.low)
        token.taken = True
    if len(counts) != 1:
        if slip := next((word for word in name if nearly(word, (_WIRE,))), ""):
            raise Refused(f"'{short(slip)}' is not understood here. Did you mean wire?", "unknown", (_WIRE,))
        raise Refused(f"How many? Write one number and the name: {verb} 500 wire 22.")
    if len(name) > 1 and name[0] in _ROLLS:
        del name[0]
    if name == [_WIRE] and _WIRE not in line.farm.makings:
        near = [making for making in line.farm.makings if making.startswith(_WIRE)] or ["wire 22"]
        raise Refused(f"Which gauge of wire? Write it as well: {verb} 500 {near[0]}.", near=near)
    if not name:
        raise Refused(f"Of what? Write its code or name as well: {verb} 500 wire 22.")
    for token in counts:
        token.taken = False
    count = line.take_number(" ".join(name))
    assert count is not None
    if count < 0:
        raise Refused(f"{plainly(count)} {' '.join(name)}: a count begins at 0.", "impossible")
    return " ".join(name), count


def reorder(line: Line) -> Reading:
    """ "reorder 200 wire 22": at that number it is bought again; 0 takes it out."""
    making, count = making_and_count(line, "reorder")
    known_making(line.farm, making)
    return line.reading(line.draft("reorder", making=making, count=count))


def _claims_count(line: Line, token: Token) -> int:
    """A count is of makings where no lot is named, and no place of the shed."""
    is_of_stems = has_lot(line) or any(
        t.is_word and (t.low in PLACE_WORDS or PLACE_GLUED.fullmatch(t.low)) for t in line.words
    )
    return NOT if is_of_stems else first_or_sure(line, token) + 1


_JOB = "Pieces and supplies"

VERBS = (
    Verb(
        "bought",
        bought,
        _JOB,
        (("bought 500 wire 22", "supplies; 'count 480 wire 22' puts them right"),),
        (makings, words("wire 22", "tape")),
    ),
    Verb("count", stocktake, offers=(makings,), claims=_claims_count),
    Verb(
        "reorder",
        reorder,
        _JOB,
        (("reorder 200 wire 22", "the number at which to buy it again"),),
        (makings,),
        follow=(),
    ),
)
