"""A line cut into its words: numbers with their units, quoted text, plain words."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable
from dataclasses import dataclass

from core.language.words import GLUED_UNITS, UNIT_WORDS, UNITS_FIRST
from core.patterns import pattern

Number = int | float

_WORD = pattern(
    r"""(?<!\S)(?P<quote>['"])(?P<body>[^'"]*(?:'[^\s'"]+)?)(?P=quote)(?=[\s,;]|$)|(?P<word>\S+)"""
)
_NUMBER = r"[+-]?(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)(?:\.[0-9]+)?"
_PLAIN = pattern(_NUMBER)
_GLUED = pattern(rf"({_NUMBER})([a-z/%\"']+)")
_DECIMAL_COMMA = pattern(r"([+-]?[0-9]+),([0-9]{1,2})([a-z/%]*)")
_TIMES = pattern(r"([0-9]{1,7})x([0-9]{1,7})")


@dataclass(slots=True)
class Token:
    """One word of a line. "40", "20ft", "144 seeds" have a `number` and `unit`; `taken` when understood."""

    text: str
    low: str
    start: int
    end: int
    quoted: bool = False
    number: Number | None = None
    unit: str = ""
    taken: bool = False

    @property
    def is_word(self) -> bool:
        """Neither quoted nor a number."""
        return not self.quoted and self.number is None


def tokens(text: str, names: Container[str] = ()) -> list[Token]:
    """The words of `text` in order; a number and the unit after it are one token, unless that is one of `names`."""
    return _with_units([token for found in _WORD.finditer(text) if (token := _token(found))], names, text)


def with_whole_names(words: list[Token], names: Iterable[str]) -> list[Token]:
    """The words, those of a name of several words ("obedient plant") joined into one where they stand side by side:
    what its single words mean in a line counts no more."""
    for name in sorted((name for name in names if " " in name), key=len, reverse=True):
        parts = _spelled(name).split()
        for start in range(len(words) - len(parts) + 1):
            run = words[start : start + len(parts)]
            if [_spelled(t.low) for t in run] == parts and all(t.is_word for t in run):
                words[start : start + len(parts)] = [Token(name, name, run[0].start, run[-1].end)]
                break
    return words


def _spelled(word: str) -> str:
    return word.replace("'", "").replace("\u2019", "")


def times(word: str) -> tuple[int, int] | None:
    """(12, 10) for "12x10": twelve bunches of ten."""
    found = _TIMES.fullmatch(word)
    return (int(found[1]), int(found[2])) if found else None


def _token(found: re.Match[str]) -> Token | None:
    if found["quote"]:
        body = found["body"].strip()
        return Token(body, body.lower(), found.start(), found.end(), quoted=True) if body else None
    word = found["word"].strip(",;:()").removesuffix(".")
    word = word.rstrip("!?") or word
    if not word:
        return None
    low = _with_point(word.lower().replace("°", "") or word)
    token = Token(word, low, found.start(), found.end())
    if _PLAIN.fullmatch(low):
        token.number = _value(low)
    elif (glued := _GLUED.fullmatch(low)) and glued[2] in GLUED_UNITS:
        token.number, token.unit = _value(glued[1]), GLUED_UNITS[glued[2]]
    elif glued and glued[2] in UNIT_WORDS:
        token.number, token.unit = _value(glued[1]), UNIT_WORDS[glued[2]]
    return token


def _with_point(low: str) -> str:
    """ "3,5" as "3.5", "9,5m" as "9.5m": a comma with one or two figures after it is a decimal one; no list is written
    in numbers alone."""
    found = _DECIMAL_COMMA.fullmatch(low)
    return f"{found[1]}.{found[2]}{found[3]}" if found else low


def _value(text: str) -> Number:
    text = text.replace(",", "")
    return (
        float(text)
        if "." in text and not text.endswith(".0")
        else int(float(text))
        if "." in text
        else int(text)
    )


SIGNS = ("$", "£", "€")
"""The signs of currencies, which may stand apart from their number: "€ 4"."""
NO_PLACE = ("by", "of")


def _with_units(words: list[Token], names: Container[str], text: str) -> list[Token]:
    """Numbers joined with the unit word after them, unless a comma parts them; "in" is a unit only where no place can
    follow it, as in "14 in by 12-01"."""
    joined: list[Token] = []
    for i, token in enumerate(words):
        before = joined[-1] if joined else None
        if before is not None and before.text in SIGNS and token.number is not None and not token.unit:
            both = before.text + token.text
            if len(joined) < 2 or joined[-2].number is None:
                joined[-1] = Token(both, both, before.start, token.end)
                continue
        if (
            before is not None
            and before.number is not None
            and not before.unit
            and text[before.end - 1] not in ",;"
            and token.is_word
            and token.low not in names
        ):
            after = words[i + 1] if i + 1 < len(words) else None
            is_number = after is not None and after.number is not None and after.unit != "size"
            is_inch = token.low == "in" and (after is None or is_number or after.low in NO_PLACE)
            is_first = token.low in UNITS_FIRST and after is not None and after.number is not None
            unit = "in" if is_inch else None if is_first else UNIT_WORDS.get(token.low)
            if unit:
                before.unit, before.end = unit, token.end
                continue
        joined.append(token)
    return joined
