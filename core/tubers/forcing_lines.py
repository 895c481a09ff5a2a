"""Bulbs forced, in a line: into the cold, out of it to flower, and done with."""

from __future__ import annotations

from datetime import date

from core.crops.figure_words import lacks
from core.crops.sheet import Sheet
from core.language.days import WEEKS
from core.language.line import Line, Reading, Refused
from core.language.offers import in_bed, words
from core.language.verb import Verb
from core.language.words import ROOTS
from core.settings.sheets import farm_sheet
from core.tubers.claims import (
    claims_clear,
    claims_force,
    roots_in,
)
from core.tubers.forcing import WEEKS_OF_COLD, Chill, chilled_until, flowers
from core.tubers.kinds import FORCED
from core.tubers.stock import roots_of
from core.tubers.store_and_bed import take_stock
from core.units import short_day


def force(line: Line) -> Reading:
    """ "force 50 tulip bulbs 14 weeks at 40F": into the cold; "force 20 tulip bulbs out", or "
    "all, without it."""
    line.take_words(ROOTS)
    line.take_words(("cold", "flower"))
    is_out = any(t.is_word and t.low == "out" for t in line.words)
    degrees = None if is_out else line.take_degrees("degrees")
    weeks = None if is_out else _take_weeks(line)
    count = line.take_count(roots_in(line))
    stock = take_stock(line)
    if is_out:
        count = stock.in_cold if count is None else count
        return line.reading(line.draft("bulbs forced", crop=stock.crop, variety=stock.variety, count=count))
    sheet = farm_sheet(line.farm, stock.crop, variety=stock.variety)
    known = sheet.chill_weeks if sheet is not None else None
    if weeks is None and known is None:
        named_so = f"{stock.crop} {roots_of(line.farm, stock.crop)}"
        raise Refused(f"{lacks(stock.crop, 'chill_weeks')} Or say it here: force 50 {named_so} 14 weeks.")
    if count is None:
        count = stock.there - stock.in_cold
    chill = Chill("", line.on.isoformat(), count, weeks, degrees)
    _tell_forced(line, chill, sheet)
    said = {"crop": stock.crop, "variety": stock.variety, "count": count, "weeks": weeks, "cold_f": degrees}
    return line.reading(line.draft("bulbs chilled", **said))


def clear(line: Line) -> Reading:
    """ "clear tulip forced bulbs": what came out of the cold and was not cut is done with; "clear 5 ..." so many."""
    line.take_words((*ROOTS, FORCED))
    count = line.take_count(roots_in(line))
    stock = take_stock(line)
    count = stock.to_cut if count is None else count
    return line.reading(line.draft("forced cleared", crop=stock.crop, variety=stock.variety, count=count))


def _take_weeks(line: Line) -> float | None:
    """The number before the word "weeks"; None where there is none."""
    word = next((t for t in line.free() if t.is_word and t.low in (*WEEKS, "week")), None)
    if word is None:
        return None
    number = line.after(word, -1)
    if number is None or number.number is None or number.unit:
        raise Refused(
            "How many weeks in the cold? Write the number before it: force 50 tulip bulbs 14 weeks."
        )
    least, most = WEEKS_OF_COLD
    if not least <= number.number <= most:
        raise Refused(f"Bulbs have {least} to {most} weeks of cold: write those that these have.")
    word.taken = number.taken = True
    return number.number


def _tell_forced(line: Line, chill: Chill, sheet: Sheet | None) -> None:
    """Say until when they are chilled and when they flower, and where she has fewer weeks than the handbook."""
    done = chilled_until(chill, sheet)
    if done is None:
        return
    bloom = flowers(done.first, sheet)
    when = f", in flower {_span(bloom.first, bloom.last)}" if bloom is not None else ""
    line.remark(f"chilled by {_span(done.first, done.last)}{when}")
    known = sheet.chill_weeks if sheet is not None else None
    if known is not None and chill.weeks is not None and chill.weeks < known.value[0]:
        line.remark(f"the handbook has {known.text} weeks [{known.source}]: with fewer they may not flower")


def _span(first: str, last: str) -> str:
    days = [short_day(date.fromisoformat(iso)) for iso in dict.fromkeys((first, last))]
    return " to ".join(days)


_JOB = "Tubers"

FORCING = (
    Verb(
        "clear",
        clear,
        _JOB,
        (("clear tulip forced bulbs", "what came out of the cold and was not cut is done with"),),
        (*in_bed[1:], words("forced", "bulbs")),
        claims=claims_clear,
    ),
    Verb(
        "force",
        force,
        _JOB,
        (
            (
                "force 50 tulip bulbs 14 weeks at {typed_degrees:40}",
                "into the cold, to flower early; without weeks, those of the sheet",
            ),
            ("force tulip bulbs out", "out of the cold, to flower; or so many: force 20 tulip bulbs out"),
        ),
        (*in_bed[1:], words("bulbs", "weeks", "out")),
        claims=claims_force,
    ),
)
"""The verbs of bulbs that are forced."""
