"""Boxes in store: where they stand, what a look into them found, and what was done against moths."""

from __future__ import annotations

import re

from core.boxes.kinds import FREEZE_DAYS, WARM_HOURS, box_rows, known_boxes
from core.farm import BOX
from core.language.line import Line, Reading, Refused, either, whole
from core.language.names import is_box, is_code, take_places
from core.language.tokens import Number, times
from core.language.words import BOX_RESULT_OF, FILLERS, LIGHT_WORDS

SPANS: dict[str, float] = {
    "day": 24.0,
    "days": 24.0,
    "d": 24.0,
    "week": 168.0,
    "weeks": 168.0,
    "hour": 1.0,
    "hours": 1.0,
    "h": 1.0,
    "hrs": 1.0,
}
"""Words for a length of time -> hours."""
_GLUED = re.compile(r"([0-9]+(?:\.[0-9]+)?)([a-z]+)")


def describes_box(line: Line) -> bool:
    """Whether a line that begins with a box says where it stands ("box 7 dark attic"), and packs nothing."""
    first = line.words[0]
    begins = first.is_word and (first.low in LIGHT_WORDS or (first.low == "box" and is_box(line, first)))
    if not begins or not any(t.is_word and t.low == "box" and is_box(line, t) for t in line.words):
        return False
    words = [t for t in line.words if t.is_word]
    packs = any(times(t.low) or any(is_code(t.low, letter) for letter in "SPLM") for t in words)
    return not packs and any(t.low in LIGHT_WORDS for t in words)


def where(line: Line) -> Reading:
    """ "box 7 dark attic", "box 7 is in the light": where a box stands, and whether in the light."""
    box = _boxes(line)[0]
    said = {LIGHT_WORDS[t.low] for t in line.take_words(LIGHT_WORDS)}
    if len(said) > 1:
        raise Refused("Light and dark: which is it?", "ambiguous", ("light", "dark"))
    words = line.free()
    while words and words[0].low in FILLERS:
        words.pop(0)
    while words and words[-1].low in FILLERS:
        words.pop()
    for token in words:
        token.taken = True
    place = " ".join(t.text for t in words) or None
    return line.reading(line.draft("box", box=box, where=place, light=said.pop()))


def check(line: Line) -> Reading:
    """ "check box 7 sound", "check box 7 box 9 moth": what a look into a box, or several, found."""
    boxes = _boxes(line)
    results = list(dict.fromkeys(BOX_RESULT_OF[t.low] for t in line.take_words(BOX_RESULT_OF)))
    line.refuse_leftovers(BOX_RESULT_OF)
    known = tuple(dict.fromkeys(BOX_RESULT_OF.values()))
    if not results:
        raise Refused(f"What was found in {either(boxes, 'and')}: {either(known)}?", near=known)
    if len(results) > 1:
        raise Refused(f"{either(results, 'and')}: write one line for each.", "ambiguous", results)
    return line.reading(*(line.draft("box checked", box=box, result=results[0]) for box in boxes))


def treat(line: Line) -> Reading:
    """ "freeze box 7 7 days", "warm box 7 3 hours": against moths; as long as is usual where nothing is said."""
    frozen = line.verb == "freeze"
    hours = _take_hours(line)
    boxes = _boxes(line)
    if hours is None:
        hours = FREEZE_DAYS * 24 if frozen else WARM_HOURS
        line.remark(f"{FREEZE_DAYS:g} days, as is usual" if frozen else f"{WARM_HOURS:g} hours, as is usual")
    if not 0 < hours <= 24 * 366:
        raise Refused("How long? A week in the freezer, or 3 hours at 125-130 F.", "impossible")
    how, span = ("frozen", {"days": _plain(hours / 24)}) if frozen else ("warmed", {"hours": _plain(hours)})
    return line.reading(*(line.draft("box treated", box=box, how=how, **span) for box in boxes))


def _boxes(line: Line) -> list[str]:
    """The boxes named, "box 7" or where nothing else is meant the number alone; at least one."""
    places = [place for _, place in take_places(line)]
    wrong = next((place for place in places if not place.startswith(BOX)), None)
    if wrong:
        raise Refused(f"{wrong} is no box: write its number, such as box 7.", near=_near(line))
    if not places and (number := line.take_number("box")) is not None:
        places = [f"{BOX}{whole(number, 'box')}"]
    if not places:
        raise Refused("Which box? Write its number, such as box 7.", near=_near(line))
    return list(dict.fromkeys(places))


def _near(line: Line) -> list[str]:
    """The boxes that ask for something, else all there are."""
    asking = [row.box for row in box_rows(line.farm, line.today) if row.ask]
    return (asking or known_boxes(line.farm))[:6]


def _take_hours(line: Line) -> float | None:
    """The length of time in the line ("7 days", "3h", "a week") in hours."""
    for token in line.free():
        if token.number is not None and token.unit in SPANS:
            token.taken = True
            return float(token.number) * SPANS[token.unit]
        if not token.is_word:
            continue
        glued = _GLUED.fullmatch(token.low)
        if glued and glued[2] in SPANS:
            token.taken = True
            return float(glued[1]) * SPANS[glued[2]]
        if token.low in SPANS:
            before = line.after(token, -1)
            token.taken = True
            if before is not None and before.number is not None and not before.unit:
                before.taken = True
                return float(before.number) * SPANS[token.low]
            return SPANS[token.low]
    return None


def _plain(value: float) -> Number:
    return int(value) if value == int(value) else round(value, 3)
