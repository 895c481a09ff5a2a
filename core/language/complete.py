"""The line while it is typed: what it would write, what fits next, and what the Tab key would add."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import zip_longest

from core.crops.library import crop_names
from core.dialect import in_words
from core.farm import Farm
from core.kinds import sentence
from core.language.line import NO_BOOK, Known, Line, Reading
from core.language.names import has_bed
from core.language.offers import varieties
from core.language.read import understand
from core.language.verb import LEAST
from core.problems import Problem
from core.subject import loose_words, subjects, verbs_called
from core.units import day_text

WIDTH = 76
MOST_OFFERS = 6


@dataclass(frozen=True, slots=True)
class Completion:
    """What a half-typed line means so far.

    `ghost` is what Tab would add to the text, "" if nothing; `offers` up to six words that would fit here;
    `crop` and `use` what has been understood; `says` the sentence it would write, or why it cannot yet, of
    `WIDTH` characters at most.
    """

    ghost: str
    offers: tuple[str, ...]
    crop: str | None
    use: str | None
    says: str
    undo: bool = False
    """Whether the line takes the last one back; which that is, the session knows."""


def complete(text: str, farm: Farm, day: date, known: Known = NO_BOOK) -> Completion:
    """What `text` says so far on this farm today, and what could follow; never a refusal."""
    line, result = understand(text, farm, day, known)
    crop, use = (line.crop, line.use) if line else (None, None)
    typed = _last_word(text)
    earlier = text[: len(text) - len(typed)]
    offers = _continuing(earlier, typed, farm, day) if typed else []
    ghost = offers[0][len(typed) :] if offers else ""
    if not offers:
        offers = [*map(in_words, _following(text, farm, line, result))]
        if typed == "" and isinstance(result, Problem) and len(offers) == 1:
            ghost = offers[0]
    undo = isinstance(result, Reading) and result.undo
    says = _says(text, ghost, result, farm, day)
    return Completion(ghost, tuple(offers[:MOST_OFFERS]), crop, use, says, undo)


def _last_word(text: str) -> str:
    return "" if not text or text[-1].isspace() else text.split()[-1]


# what it says


def _says(text: str, ghost: str, result: Reading | Problem, farm: Farm, day: date) -> str:
    if isinstance(result, Problem):
        if ghost:
            whole = understand(text + ghost, farm, day)[1]
            if isinstance(whole, Reading):
                return shortened(f"Tab: {_sentence(whole, day)}")
        return shortened(result.sentence)
    return shortened(_sentence(result, day))


def _sentence(reading: Reading, day: date) -> str:
    if reading.undo:
        return "takes the last line back"
    dated = next((d.on for d in reading.drafts if d.on != day.isoformat()), None)
    on = f"{day_text(dated)}: " if dated else ""
    by = f"by {reading.by}: " if reading.by else ""
    said = reading.says or "; ".join(sentence(draft) for draft in reading.drafts)
    if not reading.amount:
        return on + by + said
    amount = f" ({reading.amount})"  # stems and bunches are both told, whatever else has no room
    return shortened(on + by + said, WIDTH - len("Tab: ") - len(amount)) + amount


def shortened(words: str, width: int = WIDTH) -> str:
    """At most `width` characters of `words`, told as the farm has it: what is cut is what is shown."""
    words = in_words(words)
    return (
        words if len(words) <= width else textwrap.shorten(words, width, placeholder=" ...") or words[:width]
    )


# what follows a finished word

FIRST_WORDS_EVER = ("bed", "last frost", "sow", "plant", "farm", "low")
"""What a farm without a bed begins with."""
FIRST_WORDS = ("cut", "hang", "low", "step", "lost", "sow")


def _following(text: str, farm: Farm, line: Line | None, result: Reading | Problem) -> list[str]:
    """What would answer the question that the line leaves open, or may be added to it."""
    if not text.strip():
        return list(FIRST_WORDS if farm.beds else FIRST_WORDS_EVER)
    if isinstance(result, Problem):
        return list(result.nearest)
    if line is None or line.said is None or result.undo:
        return []
    written = {t.low for t in line.words}
    follow = line.said.follow
    may = follow if isinstance(follow, tuple) else follow(line, farm)
    return [word for word in may if word.lower() not in written]


# what goes on with a begun word


def _continuing(earlier: str, typed: str, farm: Farm, day: date) -> list[str]:
    """The words that `typed` begins, those most likely here first."""
    line = understand(earlier, farm, day)[0] if earlier.strip() else None
    low = typed.lower()
    pool = map(in_words, _pool(line, farm))
    found = dict.fromkeys(w for w in pool if w.lower().startswith(low) and w.lower() != low)
    if not found and earlier.strip():  # the second word of a name: "globe am"
        begun = f"{earlier.split()[-1]} {typed}".lower()
        names = [
            n
            for n in (*farm.own_crops, *crop_names(), *(varieties(line, farm) if line else ()))
            if n.lower().startswith(begun)
        ]
        found = dict.fromkeys(typed + n[len(begun) :] for n in names)
    return list(found)


def _pool(line: Line | None, farm: Farm) -> Iterator[str]:
    if line is None or not line.words:
        yield from FIRST_WORDS
        yield from _beginnings()
        yield from farm.own_crops
        yield from crop_names()
        return
    said = {t.low for t in line.words}
    names = (line.verb,) if line.verb else loose_words()[""]
    verbs = [verb for name in names for verb in verbs_called(name)]
    # of a verb that several subjects have, what each would name comes before the words that follow
    offers = [offer for row in zip_longest(*(verb.offers for verb in verbs)) for offer in row if offer]
    for offer in offers:
        yield from (word for word in offer(line, farm) if word.lower() not in said)
    if offers:
        yield from ("yesterday", "today")
    if line.claim <= LEAST and not has_bed(line):
        yield from (word for word in _beginnings() if word not in said)


def _beginnings() -> list[str]:
    """What lines begin with, by subject."""
    return [word for subject in subjects() for word in (*subject.verbs, *subject.begins)]
