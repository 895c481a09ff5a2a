"""What stands for years in a line: not yet to be divided, cut back or replaced."""

from __future__ import annotations

from core.language.line import Line, Reading
from core.language.names import take_plantings
from core.language.offers import in_bed, words
from core.language.tokens import Token
from core.language.verb import NOT, SURE, Verb, first_or_sure
from core.season.dividing import divide_standing, names_planting

WORDS = ("not", "yet", "don't", "dont", "i", "divide", "divided", "replace", "cut", "back")
"""Words that may stand in such a line and change nothing."""


def put_off(line: Line) -> Reading:
    """ "not yet peony e1", "divide e1 not yet", "not yet P03": asked again in its next season."""
    line.take_words(WORDS)
    line.remark("asked again in its next season")
    stand = take_plantings(line)
    return line.reading(*(line.draft("put off", planting=p.code, ref=p.made_by) for p in stand))


def _says_yet(line: Line) -> bool:
    return any(t.is_word and t.low == "yet" for t in line.words)


def _claims_yet(line: Line, token: Token) -> int:
    if token.low != "yet":
        return first_or_sure(line, token)
    before = line.after(token, -1)
    return SURE if before is not None and before.low == "not" else NOT


def _claims_divide(line: Line, token: Token) -> int:
    return first_or_sure(line, token) + 10 if _says_yet(line) or names_planting(line) else NOT


def _divide(line: Line) -> Reading:
    """Divided, or "divide e1 not yet"."""
    return put_off(line) if _says_yet(line) else divide_standing(line)


VERBS = (
    Verb(
        "put off",
        put_off,
        "Beds",
        (("not yet P02", "not divided or replaced this time: asked again in its next season"),),
        in_bed,
        claims=_claims_yet,
    ),
    Verb(
        "divide",
        _divide,
        "Beds",
        (
            (
                "divide P10 into 12",
                "a perennial, all of it: as many set again as stood, the rest in store",
            ),
        ),
        (*in_bed, words("into", "set")),
        claims=_claims_divide,
    ),
)
