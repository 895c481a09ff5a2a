"""Tubers in a line: lifted, divided, bought, lost in store, counted, forced."""

from __future__ import annotations

from collections.abc import Sequence

from core.book.entry import Draft
from core.farm import Planting
from core.language.causes import need_cause, take_cause
from core.language.crops import need_crop, take_no_variety, take_variety
from core.language.line import Line, Reading, Refused, whole
from core.language.names import several, take_plantings
from core.language.offers import in_bed, words
from core.language.own_words import refuse_money, take_by
from core.language.paid import Paid, take_paid
from core.language.tokens import Token
from core.language.verb import Verb, take_loss
from core.language.words import CAUSE_OF, ROOTS
from core.marked import typed_degrees
from core.tubers.claims import (
    CAUSES,
    ROT,
    causes,
    claims,
    claims_bought,
    claims_lost,
    claims_sold,
    roots_in,
)
from core.tubers.forcing_lines import FORCING
from core.tubers.stock import Stock, Tubers, left_to_lift, roots_of
from core.tubers.store_and_bed import take_stock
from core.units import money


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
        word = roots_of(line.farm, planting.crop)
        each = "clumps" if word == "tubers" else word
        raise Refused(f"How many {each} of {planting.crop}? Write it: lift 18 {planting.code}.")
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
    stock = take_stock(line)
    counts = [whole(token.number or 0, roots_in(line)) for token in numbers]
    count = counts[0] if len(counts) == 2 else stock.there
    return line.reading(
        line.draft("divided", crop=stock.crop, variety=stock.variety, count=count, pieces=counts[-1])
    )


def bought(line: Line) -> Reading:
    """ "bought 20 dahlia red tubers", "... at 3" each or "for 60"."""
    line.take_words(ROOTS)
    paid = _paid(line)
    count = line.need_count(roots_in(line))
    crop = need_crop(line)
    variety = take_variety(line, crop)
    line.remark("into store; planting them takes them out")
    cents = _cents(line, paid, count)
    return line.reading(line.draft("tubers bought", crop=crop, variety=variety, count=count, cents=cents))


def _paid(line: Line) -> Paid | None:
    """The price said, taken before anything else is read of such a line, and whose line it is."""
    paid = take_paid(line)
    refuse_money(line)
    take_by(line)
    return paid


def lost(line: Line) -> Reading:
    """ "lost 5 dahlia red tubers rot"."""
    line.take_words(ROOTS)
    losses = _take_losses(line)
    if not losses:
        raise Refused(f"How many {roots_in(line)}? Write the number.")
    stock = take_stock(line)
    return line.reading(*_lost(line, stock, losses))


def _take_losses(line: Line) -> list[tuple[int, str]]:
    """Each number in the line with the cause behind it: "3 rot 2 mice"."""
    word = roots_in(line)
    numbers = [t for t in line.free() if t.number is not None and not t.unit]
    for token in numbers:
        token.taken = True
    return [(whole(token.number or 0, word), _cause(line, token)) for token in numbers]


def _cause(line: Line, number: Token) -> str:
    """The cause that stands nearest behind a number. Tubers rot where stems mold."""
    behind = (t for t in line.free() if t.is_word and t.start > number.start)
    first = next((t for t in behind if t.low in CAUSE_OF), None)
    if first is not None and first.low in ROT:
        first.taken = True
        return ROT[0]
    return take_cause(line, number) or need_cause(line, CAUSES)


def _lost(line: Line, stock: Stock, losses: Sequence[tuple[int, str]]) -> list[Draft]:
    of = {"crop": stock.crop, "variety": stock.variety}
    return [line.draft("tubers lost", **of, count=count, cause=cause) for count, cause in losses]


def sold(line: Line) -> Reading:
    """ "sold 20 dahlia red tubers to Lane at 4": out of store."""
    line.take_words(ROOTS)
    paid = _paid(line)
    count = line.need_count(roots_in(line))
    who = _buyer(line)
    stock = take_stock(line)
    cents = _cents(line, paid, count)
    said = {"crop": stock.crop, "variety": stock.variety, "count": count, "who": who, "cents": cents}
    return line.reading(line.draft("tubers sold", **said))


def _cents(line: Line, paid: Paid | None, count: int) -> int | None:
    """What all of them come to, in cents: a price is of each, "for 60" of all."""
    if paid is None:
        return None
    if paid.of == "all":
        return paid.cents
    line.remark(f"{money(paid.cents)} each, {money(paid.cents * count)} in all")
    return paid.cents * count


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
    """ "checked dahlia tubers": looked over in store; with "3 rot 2 shriveled" so many are lost as well."""
    line.take_words(ROOTS)
    losses = _take_losses(line)
    crop = need_crop(line)
    of_none = take_no_variety(line)
    variety = take_variety(line, crop)
    drafts = [line.draft("tubers checked", crop=crop, variety=variety)]
    if losses:
        every = [
            s for s in line.farm.part(Tubers).of(crop, variety) if s.there > 0 and not (of_none and s.variety)
        ]
        if len(every) != 1:
            raise Refused(
                f"Of which {crop} were {losses[0][0]} lost? Name the variety, or write 'no variety'.",
                "ambiguous",
            )
        drafts += _lost(line, every[0], losses)
    return line.reading(*drafts)


def washed(line: Line) -> Reading:
    """ "washed dahlia tubers": all of the crop in store, or of the variety said."""
    line.take_words(ROOTS)
    crop = need_crop(line)
    return line.reading(line.draft("tubers washed", crop=crop, variety=take_variety(line, crop)))


def stored(line: Line) -> Reading:
    """ "stored dahlia tubers in peat, cellar at 41F": where and in what is her own words."""
    take_by(line)
    degrees = line.take_degrees("degrees")
    where = _take_where(line)
    line.take_words(ROOTS)
    crop = need_crop(line)
    variety = take_variety(line, crop)
    if where is None:
        raise Refused(
            f"Where, and in what? Write it so: stored {crop} in peat, cellar at {typed_degrees(41)}."
        )
    said = {"crop": crop, "variety": variety, "where": where, "cold_f": degrees}
    return line.reading(line.draft("tubers stored", **said))


def _take_where(line: Line) -> str | None:
    """Her words after "in", up to the degrees or the end; None where there are none."""
    words = line.free()
    begins = next((t for t in words if t.is_word and t.low == "in"), None)
    for token in words:
        token.taken = token.taken or (token.low == "at" and token is words[-1])
    said = [t for t in line.free() if begins is not None and t.start > begins.start]
    if begins is None or not said:
        return None
    if said[-1].low == "at":
        said.pop().taken = True
    for token in (begins, *said):
        token.taken = True
    return line.text[said[0].start : said[-1].end].strip("'\" ,")


def counted(line: Line) -> Reading:
    """ "count 34 dahlia red tubers"."""
    line.take_words(ROOTS)
    count = line.need_count(roots_in(line))
    stock = take_stock(line)
    line.remark(f"the book had {stock.there}")
    return line.reading(line.draft("tubers counted", crop=stock.crop, variety=stock.variety, count=count))


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
                "into store; planting them takes them out: plant dahlia b4 {typed_feet:20} 20 plants",
            ),
            ("bought 30 tulip bulbs", "bulbs as well; in fall: plant 30 tulip bulbs b4 {typed_feet:6}"),
        ),
        (*in_bed[1:], words("tubers", "corms")),
        own_words=True,
        claims=claims_bought,
    ),
    Verb(
        "lost",
        lost,
        _JOB,
        (("lost 5 dahlia tubers rot", "in store; 'count 34 dahlia tubers' puts the number right"),),
        (words("tubers"), causes),
        claims=claims_lost,
        take=take_loss,
    ),
    Verb(
        "sold",
        sold,
        _JOB,
        (("sold 20 dahlia tubers to Lane at 4", "out of store, at 4 each; also: for 80"),),
        (words("tubers"),),
        own_words=True,
        claims=claims_sold,
    ),
    Verb(
        "check",
        checked,
        _JOB,
        (("checked dahlia tubers", "looked over in store; '3 rot 2 mice' behind it, and those are lost"),),
        (words("tubers"), causes),
        claims=claims,
    ),
    Verb(
        "store",
        stored,
        _JOB,
        (
            (
                "stored dahlia tubers in peat, cellar at {typed_degrees:41}",
                "where, in what and how warm they lie",
            ),
        ),
        (*in_bed[1:], words("tubers", "in")),
        own_words=True,
        claims=claims,
    ),
    Verb(
        "wash", washed, _JOB, (("washed dahlia tubers", "those in store"),), (words("tubers"),), claims=claims
    ),
    Verb("count", counted, offers=(words("tubers"),), claims=claims),
    *FORCING,
)
