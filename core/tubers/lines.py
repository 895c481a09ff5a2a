"""Tubers in a line: lifted, divided, bought, lost in store, counted."""

from __future__ import annotations

from core.book.entry import Draft
from core.codes import canonical
from core.crops.course import is_stored
from core.farm import Farm, Planting
from core.language.causes import need_cause, usual_causes
from core.language.crops import need_crop, take_crop, take_variety
from core.language.line import Line, Reading, Refused, either, whole
from core.language.names import several, take_plantings
from core.language.offers import in_bed, words
from core.language.tokens import Token
from core.language.verb import NOT, Verb, first_or_sure, lost_claim, take_loss
from core.language.words import FILLERS, PLACE_WORDS, ROOTS
from core.settings.sheets import farm_sheet
from core.text import named
from core.tubers.kinds import Stock, Tubers, left_to_lift

CAUSES = ("rot", "shriveled", "dried out", "frost", "mice", "soft", "other")
"""Why tubers are lost in store: the short list that is offered."""


def lift(line: Line) -> Reading:
    """ "lift b4", "lift b4 dahlia red", "lift 18 clumps P04": all that stand there, unless a number is said."""
    line.take_words(ROOTS)
    counted = line.take_count("clumps", "plants")
    stand = take_plantings(line)
    if len(stand) > 1 and counted is not None:
        raise several(stand)
    return line.reading(*(_lifted(line, planting, counted) for planting in stand))


def _lifted(line: Line, planting: Planting, counted: int | None) -> Draft:
    count = left_to_lift(line.farm, planting) if counted is None else counted
    if count is None:
        raise Refused(f"How many clumps of {planting.crop}? Write it: lift 18 {planting.code}.")
    return line.draft(
        "lifted",
        planting=planting.code,
        ref=planting.made_by,
        crop=planting.crop,
        variety=planting.variety,
        bed=planting.bed,
        count=count,
    )


def divide(line: Line) -> Reading:
    """ "divide 12 dahlia red into 40", or without the first number all that is in store."""
    line.take_words(ROOTS)
    numbers = [t for t in line.free() if t.number is not None and not t.unit]
    if not 1 <= len(numbers) <= 2:
        raise Refused("How many, and into how many? Write it so: divide 12 dahlia red into 40.")
    for token in numbers:
        token.taken = True
    stock = _in_store(line)
    counts = [whole(token.number or 0, "tubers") for token in numbers]
    count = counts[0] if len(counts) == 2 else stock.there
    return line.reading(
        line.draft("divided", crop=stock.crop, variety=stock.variety, count=count, pieces=counts[-1])
    )


def bought(line: Line) -> Reading:
    """ "bought 20 dahlia red tubers"."""
    line.take_words(ROOTS)
    count = line.need_count("tubers")
    crop = need_crop(line)
    variety = take_variety(line, crop)
    line.remark("into store; planting them takes them out")
    return line.reading(line.draft("tubers bought", crop=crop, variety=variety, count=count))


def lost(line: Line) -> Reading:
    """ "lost 5 dahlia red tubers rot"."""
    line.take_words(ROOTS)
    count = line.need_count("tubers")
    cause = need_cause(line, CAUSES)
    stock = _in_store(line)
    return line.reading(
        line.draft("tubers lost", crop=stock.crop, variety=stock.variety, count=count, cause=cause)
    )


def sold(line: Line) -> Reading:
    """ "sold 20 dahlia red tubers to Lane": out of store."""
    line.take_words(ROOTS)
    count = line.need_count("tubers")
    who = _buyer(line)
    stock = _in_store(line)
    return line.reading(
        line.draft("tubers sold", crop=stock.crop, variety=stock.variety, count=count, who=who)
    )


def _buyer(line: Line) -> str | None:
    """The words after "to", which are its buyer."""
    to = next((t for t in line.free() if t.is_word and t.low == "to"), None)
    if to is None:
        return None
    said = [t for t in line.free() if t.start > to.start]
    if not said:
        raise Refused("Sold to whom? Write the name after 'to', or leave it out.")
    for token in (to, *said):
        token.taken = True
    return line.text[said[0].start : said[-1].end].strip("'\"")


def checked(line: Line) -> Reading:
    """ "checked dahlia tubers": looked over in store; with "3 rot" so many are lost as well."""
    line.take_words(ROOTS)
    lost = line.take_count("tubers")
    cause = need_cause(line, CAUSES) if lost is not None else None
    crop = need_crop(line)
    variety = take_variety(line, crop)
    drafts = [line.draft("tubers checked", crop=crop, variety=variety)]
    if lost is not None:
        every = [s for s in line.farm.part(Tubers).of(crop, variety) if s.there > 0]
        if len(every) != 1:
            raise Refused(f"Of which {crop} were {lost} lost? Name the variety.", "ambiguous")
        said = {"crop": crop, "variety": every[0].variety, "count": lost, "cause": cause}
        drafts.append(line.draft("tubers lost", **said))
    return line.reading(*drafts)


def counted(line: Line) -> Reading:
    """ "count 34 dahlia red tubers"."""
    line.take_words(ROOTS)
    count = line.need_count("tubers")
    stock = _in_store(line)
    line.remark(f"the book had {stock.there}")
    return line.reading(line.draft("tubers counted", crop=stock.crop, variety=stock.variety, count=count))


def _in_store(line: Line) -> Stock:
    """The stock of the crop and variety named; the only one of the crop where no variety is."""
    crop = need_crop(line)
    variety = take_variety(line, crop)
    tubers = line.farm.part(Tubers)
    every = [stock for stock in tubers.all() if stock.crop == crop]
    found = [tubers.stock(crop, variety)] if variety else every
    if len(found) == 1 and found[0] is not None:
        return found[0]
    if not every:
        raise Refused(
            f"No {crop} is in store: write 'lift b4 {crop}' or 'bought 20 {crop} tubers' first.", "unknown"
        )
    sorts = [stock.variety or "no variety" for stock in every]
    if variety:
        there = either([stock.called for stock in every], "and")
        raise Refused(f"No {named(crop, variety)} is in store: there is {there}.", "unknown", sorts)
    raise Refused(f"Which {crop}: {either(sorts)}?", "ambiguous", sorts)


def _is_of_tubers(line: Line) -> bool:
    return any(t.is_word and t.low in ROOTS for t in line.words) and take_crop(line) is not None


def _claims_sold(line: Line, token: Token) -> int:
    """What is sold is of tubers where that word and a crop stand in the line, and where the crop lies in store and
    nothing else may be meant."""
    meant = _is_of_tubers(line) or (_is_stored(line, token) and _is_nowhere_else(line, token))
    return first_or_sure(line, token) + 5 if meant else NOT


def _claims(line: Line, token: Token) -> int:
    """The same of what is checked or counted: no stems and no plants are, by their crop alone."""
    return first_or_sure(line, token) + 5 if _is_of_tubers(line) or _is_stored(line, token) else NOT


def _claims_bought(line: Line, token: Token) -> int:
    """What is bought is of tubers where that word stands in the line; and where nothing stands there but what is a
    bulb, a tuber or a corm, or lay in store before."""
    return first_or_sure(line, token) + 5 if _is_of_tubers(line) or _names_roots(line, token) else NOT


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


def _causes(line: Line, farm: Farm) -> tuple[str, ...]:
    """Why tubers are lost, those first that were written most often here; nothing where no tubers are meant."""
    return usual_causes(farm, CAUSES) if _is_of_tubers(line) else ()


def _claims_lost(line: Line, token: Token) -> int:
    meant = _is_of_tubers(line) or (_is_stored(line, token) and _is_nowhere_else(line, token))
    return lost_claim(line, token) + 5 if meant else NOT


_JOB = "Tubers"

VERBS = (
    Verb(
        "lift",
        lift,
        _JOB,
        (("lift b7 dahlia", "lifted into store, all that stand there; or: lift 18 P04"),),
        (*in_bed, words(*ROOTS[:4])),
    ),
    Verb(
        "divide",
        divide,
        _JOB,
        (("divide 12 dahlia into 40", "clumps into pieces with an eye each"),),
        (*in_bed[1:], words("into", "tubers")),
    ),
    Verb(
        "bought",
        bought,
        _JOB,
        (
            (
                "bought 20 dahlia tubers",
                "into store; planting them takes them out: plant dahlia b4 20ft 20 plants",
            ),
            ("bought 30 tulip bulbs", "bulbs as well; in fall: plant 30 tulip bulbs b4 6ft"),
        ),
        (*in_bed[1:], words("tubers", "corms")),
        claims=_claims_bought,
    ),
    Verb(
        "lost",
        lost,
        _JOB,
        (("lost 5 dahlia tubers rot", "in store; 'count 34 dahlia tubers' puts the number right"),),
        (words("tubers"), _causes),
        claims=_claims_lost,
        take=take_loss,
    ),
    Verb(
        "sold",
        sold,
        _JOB,
        (("sold 20 dahlia tubers to Lane", "out of store"),),
        (words("tubers"),),
        claims=_claims_sold,
    ),
    Verb(
        "check",
        checked,
        _JOB,
        (("checked dahlia tubers", "looked over in store; '3 rot' behind it, and those are lost"),),
        (words("tubers"), _causes),
        claims=_claims,
    ),
    Verb("count", counted, offers=(words("tubers"),), claims=_claims),
)
