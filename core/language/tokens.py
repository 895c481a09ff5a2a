"""A line cut into its words: numbers with their units, quoted text, plain words."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable
from dataclasses import dataclass
from math import gcd

from core.language.words import DIVIDED, DOZEN, GLUED_UNITS, MONTHS, UNIT_WORDS, UNITS_FIRST
from core.patterns import pattern

Number = int | float

_WORD = pattern(
    r"""(?<!\S)(?P<quote>['"])(?P<body>[^'"]*(?:'[^\s'"]+)?)(?P=quote)(?=[\s,;]|$)|(?P<word>\S+)"""
)
_NUMBER = r"[+-]?(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)(?:\.[0-9]+)?"
_PLAIN = pattern(_NUMBER)
_GLUED = pattern(rf"({_NUMBER})([a-z/%\"']+)")
_DECIMAL_COMMA = pattern(r"([+-]?[0-9]+),([0-9]{1,2})([a-z/%]*)")
_PARTS = pattern(r"([0-9]{1,2})/([0-9]{1,2})([a-z\"]*)")
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
    words = [token for found in _WORD.finditer(text) if (token := _token(found))]
    return _with_units(with_parts(words), names, text)


DIVISORS = (2, 3, 4, 8, 16)
"""Into so many parts a measure is divided."""


def part_of_one(word: str) -> float | None:
    """0.75 of "3/4", None of what is no such part: "6/20", "2/4"."""
    found = _PARTS.fullmatch(word)
    if found is None:
        return None
    over, under = int(found[1]), int(found[2])
    return over / under if 0 < over < under and under in DIVISORS and gcd(over, under) == 1 else None


def with_parts(words: list[Token], units: Container[str] = ()) -> list[Token]:
    """The words, "3/4" and "1 1/2" before a unit made numbers: elsewhere they may be a day. `units`: further words that
    are one here. The unit itself, glued or not, is a word of its own still."""
    joined: list[Token] = []
    for i, token in enumerate(words):
        found = None if token.quoted or token.taken else _PARTS.fullmatch(token.low)
        value = part_of_one(f"{found[1]}/{found[2]}") if found else None
        after = words[i + 1] if i + 1 < len(words) else None
        is_before_unit = after is not None and after.is_word and (after.low in DIVIDED or after.low in units)
        if (
            found is None
            or value is None
            or not (_is_unit(found[3]) or is_before_unit or _is_inch(words, i + 1))
        ):
            joined.append(token)
            continue
        glued = token.text[len(token.low) - len(found[3]) :] if found[3] else ""
        end = token.end - len(glued)
        number = Token(token.text.removesuffix(glued), "", token.start, end)
        if joined and _is_whole_before(joined, number):
            before = joined.pop()
            number.text, number.start = f"{before.text} {number.text}", before.start
            value += before.number or 0
        number.number = round(value, 4)
        number.low = f"{number.number:g}"  # as it is written it would be a day
        joined.append(number)
        if found[3] in GLUED_UNITS:
            number.unit, number.end = GLUED_UNITS[found[3]], token.end
        elif glued:
            joined.append(Token(glued, glued.lower(), end, token.end))
    return joined


def _is_unit(glued: str) -> bool:
    return glued in DIVIDED or GLUED_UNITS.get(glued) in ("in", "ft")


def _is_whole_before(joined: list[Token], part: Token) -> bool:
    """Whether the last word is the 1 of "1 1/2", and no day of a month."""
    before = joined[-1]
    is_of_month = len(joined) > 1 and joined[-2].low in MONTHS
    is_beside = part.start - before.end == 1
    return (
        isinstance(before.number, int)
        and not before.unit
        and not before.taken
        and is_beside
        and not is_of_month
    )


def _is_inch(words: list[Token], i: int) -> bool:
    """Whether the word there is "in" for inches: no place can follow it, as in "14 in by 12-01"."""
    if not 0 < i < len(words) or words[i].low != "in":
        return False
    after = words[i + 1] if i + 1 < len(words) else None
    return after is None or (after.number is not None and after.unit != "size") or after.low in NO_PLACE


def with_whole_names(words: list[Token], names: Iterable[str], *, quoted: bool = False) -> list[Token]:
    """The words, those of a name of several words ("obedient plant") joined into one where they stand side by side:
    what its single words mean in a line counts no more. `quoted`: as if they stood in quotes."""
    for name in sorted((name for name in names if " " in name), key=len, reverse=True):
        parts = _spelled(name.lower()).split()
        for start in range(len(words) - len(parts) + 1):
            run = words[start : start + len(parts)]
            if [_spelled(t.low) for t in run] == parts and all(t.is_word for t in run):
                words[start : start + len(parts)] = [
                    Token(name, name.lower(), run[0].start, run[-1].end, quoted)
                ]
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
            is_first = token.low in UNITS_FIRST and after is not None and after.number is not None
            if token.low in DOZEN:
                dozens = 12 * before.number
                before.number = int(dozens) if dozens == int(dozens) else dozens
                before.text, before.end = text[before.start : token.end], token.end
                before.low = f"{before.number:g}"
                continue
            unit = "in" if _is_inch(words, i) else None if is_first else UNIT_WORDS.get(token.low)
            if unit:
                before.unit, before.end = unit, token.end
                continue
        joined.append(token)
    return joined
