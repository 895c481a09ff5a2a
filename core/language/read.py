"""One typed line read into drafts for the book, or into one sentence that says why not."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import TYPE_CHECKING

from core.boxes import lines as boxes
from core.codes import LOT, PLANTING
from core.cutting import lines as cut
from core.drying import lines as shelf
from core.drying import weigh_lines as weigh
from core.farm import Farm
from core.kinds import problem_with
from core.language.crops import no_crop, take_crop
from core.language.days import take_day
from core.language.line import Line, Reading, Refused, either, short
from core.language.names import is_box, is_code
from core.language.tokens import Token
from core.language.words import (
    AFTER_VERB,
    CROPS_BEGUN_BY_A_VERB,
    FILLERS,
    KEYWORDS,
    LOOSE_VERB_OF,
    VERB_OF,
    VERBS,
)
from core.pieces import lines as pieces
from core.pieces import recipe_lines as recipes
from core.plans import lines as plan
from core.plans.wish import Wanted
from core.problems import Problem
from core.settings import lines as book
from core.shed import lines as shed
from core.stems import lines as stock
from core.text import LONGEST, clean, nearest
from core.trays import lines as trays
from core.weather import lines as weather

if TYPE_CHECKING:
    from core.plans.succession import WarmthOf

__all__ = ["Reading", "read_line", "read_wish"]

READERS: Mapping[str, Callable[[Line], Reading]] = {
    "cut": cut.cut,
    "hang": shelf.hang,
    "wire": shelf.wire,
    "snap": shelf.test,
    "bend": shelf.test,
    "box": shelf.box,
    "weigh": weigh.weigh,
    "where": boxes.where,
    "check": boxes.check,
    "freeze": boxes.treat,
    "warm": boxes.treat,
    "lost": stock.lost,
    "sold": stock.sold,
    "used": stock.used,
    "move": stock.move,
    "count": stock.count,
    "recipe": recipes.recipe,
    "part": recipes.part,
    "make": pieces.make,
    "reorder": pieces.reorder,
    "sow": trays.sow,
    "up": trays.up,
    "prick": trays.prick,
    "pot": trays.pot,
    "step": trays.step,
    "hold": trays.hold,
    "set out": trays.set_out,
    "plant": trays.plant,
    "drill": trays.drill,
    "pinch": trays.pinch,
    "net": trays.net,
    "cover": trays.cover,
    "uncover": trays.uncover,
    "clear": trays.clear,
    "plan": plan.plan,
    "drop": recipes.drop,
    "room": shed.room,
    "bed": weather.bed,
    "weather": weather.weather,
    "frost": weather.frost,
    "risk": weather.risk,
    "dusk": weather.dusk,
    "shed": shed.air,
    "line": shed.describe_line,
    "sheet": book.sheet,
    "farm": book.farm,
    "note": book.note,
    "bought": book.bought,
    "undo": book.undo,
    "strike": book.strike,
}
WITHOUT_DAY = {"plan", "shed", "room", "note", "frost", "sheet", "sold", "used", "strike", "undo"}
"""Lines in which a date is a value, or some words are kept as they are: their readers see to the day."""


READ_THEIR_OWN_WORD = {"weather", "frost", "bed", "shed", "line"}
"""Lines whose first word says more than what is done."""


def read_line(
    text: str, farm: Farm, day: date, *, mark: str = "", warmth: WarmthOf | None = None
) -> Reading | Problem:
    """What `text` says on this farm today, as drafts of the right shape; or the reason why it cannot be read.

    `day` is today on the farm; `mark` this machine's letter, which ends every new code; `warmth` what the
    farm's weather record leads to expect.
    """
    return understand(text, farm, day, mark, warmth)[1]


def read_wish(text: str, farm: Farm, day: date) -> Wanted | Problem:
    """What a "plan ..." line wishes for; the verb may be left out."""
    if len(text) > LONGEST:
        return Problem(f"A line has at most {LONGEST} characters: write it as two.")
    line = Line.of(clean(text), farm, day, "")
    try:
        if not line.words:
            raise Refused("What is wished for? Write it, such as: 120 strawflower dry by 09-19.")
        if line.words[0].low in VERBS["plan"]:
            line.words[0].taken = True
        line.verb = "plan"
        return plan.wanted(line)
    except Refused as refused:
        return refused.problem


def understand(
    text: str, farm: Farm, day: date, mark: str = "", warmth: WarmthOf | None = None
) -> tuple[Line | None, Reading | Problem]:
    """The line as far as it was understood (its crop, its use), and its reading or problem."""
    if len(text) > LONGEST:
        return None, Problem(f"A line has at most {LONGEST} characters: write it as two.")
    line = Line.of(clean(text), farm, day, mark, warmth)
    try:
        reading = _read(line)
    except Refused as refused:
        return line, refused.problem
    for draft in reading.drafts:
        if problem := problem_with(draft.kind, draft.fields):
            return line, problem
    return line, reading


def _read(line: Line) -> Reading:
    if not line.words:
        raise Refused("Nothing is written yet: begin with a cut, such as 40 strawflower b3 dry.")
    line.verb = _verb(line)
    if line.verb not in WITHOUT_DAY:
        take_day(line)
    return READERS[line.verb](line)


def _verb(line: Line) -> str:
    """What the line does; the word that says so is taken."""
    certain = [t for t in line.free() if t.is_word and t.low in VERB_OF and not _begins_crop(line, t)]
    first = line.words[0]
    if certain:
        # "clear" is also what a night is, "dropped" also why stems are lost
        dusk = next((t for t in certain if t.low == "dusk"), None)
        lost = next((t for t in certain if VERB_OF[t.low] == "lost"), None)
        token = dusk or (first if first in certain else lost or certain[0])
        return _take(line, token, VERB_OF[token.low])
    loose = [t for t in line.free() if t.is_word and t.low in LOOSE_VERB_OF]
    for token in loose:
        verb = LOOSE_VERB_OF[token.low]
        if _is_verb(line, token, verb):
            if verb == "box":
                return "where" if boxes.describes_box(line) else _take_box(line)
            return verb if verb in READ_THEIR_OWN_WORD else _take(line, token, verb)
    if weigh.is_weight(line):
        return "weigh"
    if any(t.number is not None for t in line.words) or take_crop(line):
        return "cut"
    raise _no_verb(line)


def _take(line: Line, token: Token, verb: str) -> str:
    after = line.after(token)
    if after and after.is_word and after.low in AFTER_VERB.get(verb, ()):
        after.taken = True
    token.taken = True
    return verb


def _take_box(line: Line) -> str:
    """Of several "box" words one that is no place is the verb; a single "box 7" says enough."""
    boxes = [t for t in line.free() if t.is_word and t.low == "box"]
    verbs = [t for t in boxes if not is_box(line, t)]
    if verbs or len(boxes) > 1:
        (verbs or boxes)[0].taken = True
    return "box"


def _begins_crop(line: Line, token: Token) -> bool:
    after = line.after(token)
    return after is not None and f"{token.low} {after.low}" in CROPS_BEGUN_BY_A_VERB


def _is_verb(line: Line, token: Token, verb: str) -> bool:
    """Whether a word that may mean several things says here what is done."""
    has_lot = any(t.is_word and is_code(t.low, LOT) for t in line.words)
    has_bed = any(t.is_word and (t.low in line.farm.beds or is_code(t.low, PLANTING)) for t in line.words)
    if verb == "snap":
        return has_lot or len(line.words) == 1
    if verb == "bed":
        return token is line.words[0] or any(t.unit == "ft" for t in line.words)
    if has_bed or (verb == "frost" and has_lot):
        return False
    if verb in ("shed", "line"):
        return shed.is_of_shed(line, token, verb) and not has_lot
    if verb == "weather" and token is line.words[0]:
        return True
    if verb == "wire":
        return has_lot or not _names_crop(line)
    if verb == "box":
        return True
    return not _names_crop(line)


def _names_crop(line: Line) -> bool:
    try:
        return take_crop(line) is not None
    except Refused:
        return True


def _no_verb(line: Line) -> Refused:
    for token in line.free():
        if token.is_word and token.low not in FILLERS:
            if token.low not in KEYWORDS:
                near = nearest(token.low, [*VERB_OF, *LOOSE_VERB_OF])
                if near:
                    return Refused(
                        f"'{short(token.text)}' is not understood. Did you mean {either(near)}?",
                        "unknown",
                        near,
                    )
            break
    return no_crop(line)
