"""Whether a line is of tubers: by the word, or where its crop lies in store and nothing else may be meant."""

from __future__ import annotations

from core.codes import canonical
from core.crops.course import is_stored
from core.farm import Farm
from core.language.causes import usual_causes
from core.language.crops import take_crop, take_variety
from core.language.days import WEEKS
from core.language.line import Line, Refused
from core.language.tokens import Token
from core.language.verb import NOT, first_or_sure, lost_claim
from core.language.words import FILLERS, PLACE_WORDS, ROOTS
from core.settings.sheets import farm_sheet
from core.tubers.kinds import FORCED
from core.tubers.stock import Tubers, roots_of

ROT = ("rot", "rotted", "rotten")

CAUSES = (ROT[0], "shriveled", "dried out", "frost", "mice", "soft", "other")
"""Why tubers are lost in store: the short list that is offered."""


def is_of_tubers(line: Line) -> bool:
    """Whether the line says tubers, bulbs, corms or roots, and a crop."""
    return any(t.is_word and t.low in ROOTS for t in line.words) and take_crop(line) is not None


def claims_sold(line: Line, token: Token) -> int:
    """What is sold is of tubers where that word and a crop stand in the line, and where the crop lies in store and
    nothing else may be meant."""
    meant = is_of_tubers(line) or (_is_stored(line, token) and _is_nowhere_else(line, token))
    return first_or_sure(line, token) + 5 if meant else NOT


def claims(line: Line, token: Token) -> int:
    """What is checked or counted is of tubers where that word stands, or the crop lies in store: no stems and no plants
    are, by their crop alone."""
    return first_or_sure(line, token) + 5 if is_of_tubers(line) or _is_stored(line, token) else NOT


def claims_force(line: Line, token: Token) -> int:
    """Behind a number and a crop alone, "forced" says where stems were cut: "14 tulip forced fresh"."""
    is_cut = token.low == FORCED and token is not line.words[0]
    if is_cut and not any(t.is_word and t.low in (*ROOTS, *WEEKS, "week", "out", "cold") for t in line.words):
        return NOT
    return first_or_sure(line, token)


def claims_clear(line: Line, token: Token) -> int:
    """What is cleared is forced bulbs where that word stands in the line."""
    is_meant = FORCED not in line.farm.beds and any(t.is_word and t.low == FORCED for t in line.words)
    return first_or_sure(line, token) + 5 if is_meant else NOT


def claims_bought(line: Line, token: Token) -> int:
    """What is bought is of tubers where that word stands in the line; and where nothing stands there but what is a
    bulb, a tuber or a corm, or lay in store before."""
    return first_or_sure(line, token) + 5 if is_of_tubers(line) or _names_roots(line, token) else NOT


def _is_stored(line: Line, token: Token) -> bool:
    """Whether the crop named lies in store, and no bed, tray, lot or place is named."""
    farm = line.farm
    if any(
        t.is_word and (canonical(t.low) or t.low in farm.beds or t.low in PLACE_WORDS) for t in line.words
    ):
        return False
    crop, _ = _named(line, token)
    if crop is None or crop in farm.makings:
        return False
    return any(stock.there > 0 for stock in farm.part(Tubers).of(crop, None))


def _is_nowhere_else(line: Line, token: Token) -> bool:
    """Whether the crop named neither stands in a bed or a tray nor is on hand as stems."""
    farm, (crop, _) = line.farm, _named(line, token)
    registers = (farm.plantings, farm.trays, farm.lots)
    return all(crop != other.crop for register in registers for other in register.live())


def _names_roots(line: Line, token: Token) -> bool:
    """Whether the line names a crop that grows from a bulb, a tuber or a corm, or lay in store, and nothing beside."""
    crop, is_all = _named(line, token)
    if crop is None or not is_all or crop in line.farm.makings:
        return False
    sheet = farm_sheet(line.farm, crop)
    return bool(line.farm.part(Tubers).of(crop, None)) or (sheet is not None and is_stored(sheet))


def _named(line: Line, verb: Token) -> tuple[str | None, bool]:
    """(the crop named, whether no word stands beside it and its variety), all words of the line left as they are."""
    was = [(token, token.taken) for token in line.words]
    kept = line.crop, line.crop_named, line.crop_sought
    verb.taken = True
    try:
        crop = take_crop(line)
        if crop is not None:
            take_variety(line, crop)
        return crop, not [t for t in line.free() if t.is_word and t.low not in FILLERS]
    except Refused:
        return line.crop, False
    finally:
        for token, is_taken in was:
            token.taken = is_taken
        line.crop, line.crop_named, line.crop_sought = kept


def roots_in(line: Line) -> str:
    """What is counted in the line, in the word of the kind of the crop that it names; every word is left as it is."""
    return roots_of(line.farm, _named(line, line.words[0])[0])


def causes(line: Line, farm: Farm) -> tuple[str, ...]:
    """Why tubers are lost, those first that were written most often here; nothing where no tubers are meant."""
    return usual_causes(farm, CAUSES) if is_of_tubers(line) else ()


def claims_lost(line: Line, token: Token) -> int:
    """What is lost, as what is sold."""
    meant = is_of_tubers(line) or (_is_stored(line, token) and _is_nowhere_else(line, token))
    return lost_claim(line, token) + 5 if meant else NOT
