"""The line while it is typed: what it would write, what fits next, and what the Tab key would add."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from core.codes import LOT, PLANTING, TRAY, canonical
from core.crops.library import crop_names, ways
from core.crops.sheet import KINDS as FIGURES
from core.farm import BENCH, FRESH_PLACES, LINE, Farm, form_in
from core.kinds import PIECES, ROOMS, SKIES, USES, sentence
from core.line.crops import varieties_of
from core.line.line import Line, Reading
from core.line.names import usual_causes
from core.line.read import understand
from core.line.shed import LINE_WORDS
from core.line.words import BOX_RESULTS, CAUSES_FOR, COLOURS, FARM_WORDS, FROST_SEASONS, LIGHT_WORDS, VERBS
from core.problems import Problem
from core.settings import HARDINESS
from core.shed.rules import ROOMS as AIR_ROOMS
from core.stems.boxes import known_boxes
from core.units import day_text

if TYPE_CHECKING:
    from core.planning.succession import WarmthOf

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
    """Whether the line takes the last one back; which that is, the door knows."""


def complete(
    text: str, farm: Farm, day: date, *, mark: str = "", warmth: WarmthOf | None = None
) -> Completion:
    """What `text` says so far on this farm today, and what could follow; never a refusal."""
    line, result = understand(text, farm, day, mark, warmth)
    crop, use = (line.crop, line.use) if line else (None, None)
    typed = _last_word(text)
    earlier = text[: len(text) - len(typed)]
    offers = _continuing(earlier, typed, farm, day) if typed else []
    ghost = offers[0][len(typed) :] if offers else ""
    if not offers:
        offers = _following(text, farm, line, result)
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
    return on + "; ".join(sentence(draft) for draft in reading.drafts)


def shortened(words: str) -> str:
    """At most WIDTH characters of `words`."""
    return (
        words if len(words) <= WIDTH else textwrap.shorten(words, WIDTH, placeholder=" ...") or words[:WIDTH]
    )


# what follows a finished word

FIRST_WORDS_EVER = ("bed", "last frost", "sow", "plant", "farm", "low")
"""What a farm without a bed begins with."""
FIRST_WORDS = ("cut", "hang", "low", "step", "lost", "sow")
MAY_FOLLOW: Mapping[str, tuple[str, ...]] = {
    "cut": ("culls", "stage", "yesterday", "anyway"),
    "hang": ("line", "yesterday"),
    "wire": ("22g", "24g", "yesterday"),
    "box": ("box", "second", "yesterday"),
    "weigh": ("at", "yesterday"),
    "where": (),
    "sold": ("to", "yesterday"),
    "used": ("for", "yesterday"),
    "weather": ("high", "tonight", "wind", "yesterday"),
    "frost": ("28F", "10%"),
    "risk": (),
    "dusk": (*SKIES, "yesterday"),
    "shed": ("at", "yesterday"),
    "line": LINE_WORDS,
    "sow": ("seeds", "yesterday"),
    "plant": ("plants", "yesterday"),
    "set out": ("plants", "yesterday"),
    "sheet": (),
    "farm": tuple(dict.fromkeys(FARM_WORDS.values())),
    "plan": (),
    "drop": (),
    "recipe": (),
    "part": (),
    "make": ("anyway", "yesterday"),
    "reorder": (),
    "room": (),
    "note": (),
    "strike": (),
}
"""Words that may still be added to a line that is whole."""


def _following(text: str, farm: Farm, line: Line | None, result: Reading | Problem) -> list[str]:
    """What would answer the question that the line leaves open, or may be added to it."""
    if not text.strip():
        return list(FIRST_WORDS if farm.beds else FIRST_WORDS_EVER)
    if isinstance(result, Problem):
        return list(result.nearest)
    if line is None or result.undo:
        return []
    said = {t.low for t in line.words}
    if line.verb == "cut" and not line.crop_named and not any(w in line.farm.beds for w in said):
        return list(dict.fromkeys(p.crop for p in line.farm.plantings.live()))
    return [w for w in MAY_FOLLOW.get(line.verb, ("yesterday",)) if w.lower() not in said]


# what goes on with a begun word


def _continuing(earlier: str, typed: str, farm: Farm, day: date) -> list[str]:
    """The words that `typed` begins, those most likely here first."""
    line = understand(earlier, farm, day)[0] if earlier.strip() else None
    low = typed.lower()
    found = dict.fromkeys(w for w in _pool(line, farm) if w.lower().startswith(low) and w.lower() != low)
    if not found and earlier.strip():  # the second word of a name: "globe am"
        begun = f"{earlier.split()[-1]} {typed}".lower()
        names = [n for n in (*crop_names(), *_varieties(line, farm)) if n.lower().startswith(begun)]
        found = dict.fromkeys(typed + n[len(begun) :] for n in names)
    return list(found)


Words = Callable[[Line, Farm], Iterable[str]]


def _crops(line: Line, farm: Farm) -> Iterator[str]:
    if not line.crop_named and not _has_code(line, ""):
        yield from (p.crop for p in farm.plantings.live())
        yield from crop_names()


def _has_code(line: Line, letter: str) -> bool:
    """Whether a tray, planting or lot (of that letter) is named already."""
    return any((canonical(t.low) or " ").startswith(letter or ("S", "P", "L", "M")) for t in line.words)


def _beds(line: Line, farm: Farm) -> Iterator[str]:
    yield from (p.bed for p in farm.plantings.live() if p.crop == line.crop)
    yield from farm.beds


def _varieties(line: Line | None, farm: Farm) -> Iterator[str]:
    if line is not None and line.crop is not None:
        yield from ways(line.crop)
        yield from (v if " " not in v else f"'{v}'" for v in varieties_of(farm, line.crop))
        yield from COLOURS


def _trays(line: Line, farm: Farm) -> Iterator[str]:
    return (t.code for t in farm.trays.live())


def _lots_where(held: Callable[[str], bool]) -> Words:
    def lots(line: Line, farm: Farm) -> list[str]:
        if _has_code(line, LOT):
            return []
        fit = [lot.code for lot in farm.lots.live() if any(held(place) for place in lot.holdings)]
        return fit[::-1]  # the newest first

    return lots


def _words(*words: str) -> Words:
    return lambda line, farm: words


def _boxes(line: Line, farm: Farm) -> list[str]:
    return known_boxes(farm)


def _box_words(line: Line, farm: Farm) -> tuple[str, ...]:
    """A lot goes into its box in a grade; a box alone stands somewhere."""
    return ("second", "first", "third") if _has_code(line, LOT) else tuple(LIGHT_WORDS)


def _loss_causes(line: Line, farm: Farm) -> list[str]:
    """Why stems are lost in the places where the lot named has some, plants where a tray or a planting is named."""
    codes = [code for t in line.words if (code := canonical(t.low))]
    kinds = {TRAY: "tray", PLANTING: "planting"}
    wanted = [kinds[code[0]] for code in codes if code[0] in kinds]
    for lot in filter(None, (farm.lots.get(code) for code in codes if code[0] == LOT)):
        named = [place for place in lot.holdings if place in line.text.lower()]
        wanted += [form_in(place) for place in named or lot.holdings]
    wanted = wanted or ["lot", "fresh", "hanging", "wired", "dry", "tray", "planting"]
    return [cause for kind in dict.fromkeys(wanted) for cause in usual_causes(farm, kind)]


def _pieces(line: Line, farm: Farm) -> list[str]:
    return [] if _has_code(line, "") else [piece.code for piece in farm.pieces.live()][::-1]


_ANY_LOT = _lots_where(lambda place: True)
_FRESH = _lots_where(lambda place: place in FRESH_PLACES)
_HANGING = _lots_where(lambda place: place.startswith(LINE))
_TO_BOX = _lots_where(lambda place: place == BENCH or place.startswith(LINE))
_PLACES = _words("line", "box", "bucket", "cooler", "bench")
_IN_BED = (_beds, _crops, _varieties)

POOLS: Mapping[str, tuple[Words, ...]] = {
    "cut": (
        _crops,
        _words(*USES),
        _beds,
        _varieties,
        _words("culls", "stage", "waited", "anyway", *CAUSES_FOR["cull"]),
    ),
    "hang": (_FRESH, _words("line"), _crops),
    "wire": (_FRESH, _words("anyway", "bucket"), _crops),
    "snap": (_HANGING, _PLACES),
    "bend": (_HANGING, _PLACES),
    "box": (_TO_BOX, _PLACES, _box_words),
    "weigh": (_HANGING, _words("line", "at")),
    "where": (_box_words,),
    "check": (_boxes, _words(*BOX_RESULTS)),
    "freeze": (_boxes, _words("7 days", "days")),
    "warm": (_boxes, _words("3 hours", "hours")),
    "lost": (_ANY_LOT, _trays, _loss_causes, *_IN_BED),
    "sold": (_ANY_LOT, _pieces, _PLACES, _words("to", "stems", "bunches")),
    "used": (_ANY_LOT, _PLACES, _words("for", "stems", "bunches")),
    "move": (_ANY_LOT, _words("all"), _PLACES, _crops),
    "count": (_ANY_LOT, lambda line, farm: farm.makings, _PLACES),
    "bought": (lambda line, farm: farm.makings, _words("wire 22", "tape")),
    "recipe": (lambda line, farm: farm.recipes, _words("as", *PIECES, *USES)),
    "part": (lambda line, farm: farm.recipes, _crops, _words("dry", "wired", "fresh", "any")),
    "make": (lambda line, farm: farm.recipes, _words("anyway")),
    "reorder": (lambda line, farm: farm.makings,),
    "sow": (_crops, _varieties, _words("seeds", "cells")),
    "up": (_trays, _crops),
    "prick": (_trays, _crops),
    "pot": (_trays, _crops),
    "step": (_trays, _crops),
    "hold": (_trays, _words(*CAUSES_FOR["hold"]), _crops),
    "set out": (_trays, _beds, _words("plants")),
    "plant": (*_IN_BED, _words("plants")),
    "drill": _IN_BED,
    "pinch": _IN_BED,
    "net": _IN_BED,
    "clear": _IN_BED,
    "cover": (_beds,),
    "uncover": (_beds,),
    "bed": (_beds,),
    "weather": (_words("low", "high", "tonight", "wind"),),
    "frost": (_words(*FROST_SEASONS, "frost"),),
    "risk": (_words(*HARDINESS),),
    "dusk": (_words("dew", "rh", *SKIES),),
    "shed": (_words(*AIR_ROOMS, "rh", "at", "to"),),
    "line": (_words("line", "is", *LINE_WORDS, "no"),),
    "sheet": (_crops, _varieties, lambda line, farm: FIGURES),
    "farm": (_words(*FARM_WORDS),),
    "plan": (_crops, _words("by", *USES, "bunches", "a week", "from"), _varieties, _beds),
    "drop": (
        lambda line, farm: (p.code for p in farm.plans.values() if p.is_live),
        lambda line, farm: (r.code for r in farm.recipes.values() if r.parts),
    ),
    "room": (_words(*ROOMS),),
}
"""What may stand in each line, the likeliest first. Notes and ids are her own words: nothing is offered."""

_FIRST = (
    *VERBS,
    "shed",
    "cooler",
    "line",
    "low",
    "high",
    "tonight",
    "wind",
    "box",
    "snap",
    "wire",
    "bed",
    "last frost",
    "first frost",
)


def _pool(line: Line | None, farm: Farm) -> Iterator[str]:
    if line is None or not line.words:
        yield from FIRST_WORDS
        yield from _FIRST
        yield from crop_names()
        return
    pools = POOLS.get(line.verb or "cut", ())
    said = {t.low for t in line.words}
    for words in pools:
        yield from (w for w in words(line, farm) if w.lower() not in said)
    if pools:
        yield from ("yesterday", "today")
    if line.verb == "cut" and not any(t.low in farm.beds for t in line.words):
        yield from (verb for verb in VERBS if verb not in said)
