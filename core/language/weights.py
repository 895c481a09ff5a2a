"""A weight in a line: "412g", "14.5 oz", "2 lb", in grams."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from core.language.line import Line
from core.language.tokens import Token
from core.measures import GRAMS_A_POUND, GRAMS_AN_OUNCE
from core.patterns import pattern

GRAMS_IN = {
    **dict.fromkeys(("g", "gr", "gram", "grams"), 1.0),
    **dict.fromkeys(("kg", "kilo", "kilos"), 1000.0),
    **dict.fromkeys(("oz", "ounce", "ounces"), GRAMS_AN_OUNCE),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), GRAMS_A_POUND),
}
"""Unit of a weight as it may be written -> grams; ounce and pound are avoirdupois."""
_GLUED = pattern(rf"([0-9]+(?:\.[0-9]+)?)({'|'.join(GRAMS_IN)})")


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight that stands in a line, as it is said there."""

    tokens: tuple[Token, ...]
    grams: float
    said: str


def weights(line: Line) -> Iterator[Weight]:
    """Every number with a unit of weight; "22g", elsewhere a gauge, is 22 grams here."""
    for token in line.free():
        if token.number is not None and token.unit == "gauge" and token.low.endswith("g"):
            yield Weight((token,), float(token.number), token.text)
        elif token.number is not None and not token.unit:
            after = line.after(token)
            if after is not None and after.is_word and after.low in GRAMS_IN:
                said = f"{token.text} {after.text}"
                yield Weight((token, after), float(token.number) * GRAMS_IN[after.low], said)
        elif token.is_word and (glued := _GLUED.fullmatch(token.low)):
            yield Weight((token,), float(glued[1]) * GRAMS_IN[glued[2]], token.text)
