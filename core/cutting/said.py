"""What a line says of a cut beside its crop and bed: the use, the stage, the culls, the hours out of water."""

from __future__ import annotations

from core.farm import Farm
from core.language.line import Line, Refused, either, whole
from core.language.tokens import Token
from core.language.words import HOUR_WORDS, UNIT_WORDS, USE_OF, WAITED
from core.patterns import pattern
from core.places import USES
from core.settings.sheets import farm_sheet

_STAGE_WORDS = (
    "row rows bract bracts open opening opened closed shut half quarter quarters third thirds two three "
    "tight full fully firm soft bud buds coloured colored floret florets petal petals centre center pollen "
    "showing unfurled loosened loose just lower basal first second outer inner most nearly cracking colour "
    "color all past"
)


STAGE_WORDS = frozenset(_STAGE_WORDS.split())
"""Words that go on with a stage ("stage 3 rows open"); anything longer is put in quotes."""

_GLUED_HOURS = pattern(rf"([0-9]+(?:\.[0-9]+)?)(?:{'|'.join(HOUR_WORDS)})")


def take_waited(line: Line) -> float | None:
    """Hours out of water before the bucket: "waited 2h", "waited 30 min", "waited 2 hours"."""
    word = next((t for t in line.free() if t.is_word and t.low == WAITED), None)
    if word is None:
        return None
    word.taken = True
    token = line.after(word)
    hours: float | None = None
    if token is not None and token.is_word and (glued := _GLUED_HOURS.fullmatch(token.low)):
        hours = float(glued[1])
    elif token is not None and token.number is not None and token.unit in ("", "min", *HOUR_WORDS):
        hours = token.number / 60 if token.unit == "min" else float(token.number)
        unit = line.after(token)
        if not token.unit and unit is not None and unit.is_word and unit.low in HOUR_WORDS:
            unit.taken = True
    if token is None or hours is None:
        raise Refused("How long were they out of water? Write the hours after it: waited 2h.")
    token.taken = True
    return int(hours) if hours == int(hours) else round(hours, 2)


def take_asked(line: Line) -> int | None:
    """What the cut list had asked for: "30 of 50"."""
    for word in line.free():
        number = line.after(word) if word.is_word and word.low == "of" else None
        if number is not None and number.number is not None and not number.unit:
            number.taken = word.taken = True
            return whole(number.number, "asked for")
    return None


def culled_word(line: Line) -> Token | None:
    """The word that the cause of the culls stands beside: "culls" or "3 culls"."""
    for token in line.free():
        if token.unit == "culls":
            return token
        if token.is_word and UNIT_WORDS.get(token.low) == "culls":
            return line.after(token) or token
    return None


def take_use(line: Line) -> str | None:
    uses = list(dict.fromkeys(USE_OF[t.low] for t in line.take_words(USE_OF)))
    if len(uses) > 1:
        raise Refused(f"{either(uses, 'and')}: which use? Write one line for each.", "ambiguous", USES)
    return uses[0] if uses else None


def take_stage(line: Line) -> str | None:
    """The words after "stage": text in quotes, or a word and those that go on with it ("3 rows open")."""
    start = next((t for t in line.free() if t.is_word and t.low == "stage"), None)
    if start is None:
        return None
    start.taken = True
    first = line.words.index(start) + 1
    said: list[str] = []
    for i, token in enumerate(line.words[first:], start=first):
        following = line.words[i + 1] if i + 1 < len(line.words) else None
        if token.taken:
            break
        goes_on = (token.is_word and token.low in STAGE_WORDS) or (
            token.number is not None
            and not token.unit
            and following is not None
            and following.is_word
            and following.low in STAGE_WORDS
        )
        if said and not goes_on:
            break
        token.taken = True
        said.append(token.text)
        if token.quoted:
            break
    if not said:
        raise Refused("What stage? Write it after the word: stage 3 rows open.")
    return " ".join(said)


def grown_for(farm: Farm, crop: str, way: str | None = None, variety: str | None = None) -> str | None:
    """The use for which a crop is grown most, by its sheet; None where that says none."""
    sheet = farm_sheet(farm, crop, way, variety)
    return USE_OF.get(sheet.uses.value.lower()) if sheet is not None and sheet.uses is not None else None
