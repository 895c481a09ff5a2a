"""Whether a line without a verb is a cut: how it begins, and what it names."""

from __future__ import annotations

from core.codes import PLANTING
from core.cutting import SUBJECT
from core.language.crops import begins_crop, take_crop
from core.language.days import is_of_a_day
from core.language.line import Line
from core.language.names import is_code
from core.language.tokens import Token
from core.language.verb import LEAST, NOT, first_or_sure
from core.language.words import COLOURS, FILLERS, HOUR_WORDS, SHADES, UNIT_WORDS, USE_OF, WAITED
from core.patterns import pattern


def claims(line: Line, token: Token) -> int:
    """A line without a verb is a cut where it has a number or names a crop, and begins with what a cut may say."""
    if token.is_word and token.low in SUBJECT.verbs["cut"]:
        return first_or_sure(line, token)
    first = next((t for t in line.free() if t.low not in FILLERS), None)
    if first is None or not _may_begin(line, first):
        return NOT
    return LEAST if any(t.number is not None for t in line.words) or take_crop(line) else NOT


def _may_begin(line: Line, first: Token) -> bool:
    """Whether a cut may begin with the word: an unknown one may be anything that was done."""
    low = first.low
    if not first.is_word or low in line.farm.beds or is_code(low, PLANTING):
        return True
    if low in _BEGIN or low in COLOURS or low in SHADES or is_of_a_day(line, first) or UNIT_WORDS.get(low):
        return True
    if _STEM_COUNT.fullmatch(low):
        return True
    if any(name.lower().startswith(low) for names in line.farm.varieties.values() for name in names):
        return True
    return begins_crop(line, first)


_STEM_COUNT = pattern(r"[0-9.,]+[a-z]*")
_BEGIN = frozenset((*USE_OF, *HOUR_WORDS, "stage", WAITED, "at", "bed"))
