"""What somebody asks for, as it is typed: "lavender dry 40bu 10-15", "120 strawflower apricot dry by 09-19",
"12 corsages friday"."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import NamedTuple

from core.crops.sheet import Sheet
from core.farm import Farm
from core.language.crops import need_crop, take_variety, take_way
from core.language.days import coming, iso_in, month_and_day
from core.language.line import NO_BOOK, Line, Refused, either, whole
from core.language.words import USE_OF, WEEKDAYS
from core.places import USES
from core.plans.lines import take_recipe
from core.plans.plan import stems_a_bunch
from core.problems import Problem
from core.promising.claims import LAST, Claim, Form, Liked
from core.promising.field import uses_of
from core.settings.sheets import farm_sheet
from core.text import LONGEST, clean
from core.units import plural

OR = ("or",)
FORM_OF: dict[str, Form] = {"fresh": "fresh", "dry": "dry", "wire": "wired"}


class Asked(NamedTuple):
    """The claim, and how it was counted where that was not in stems: "40 bunches of 25"."""

    claim: Claim
    counted: str


def read_asked(text: str, farm: Farm, today: date) -> Asked | Problem:
    """What is asked for in a line; a Problem says what is missing or cannot be."""
    if len(text) > LONGEST:
        return Problem(f"A line has at most {LONGEST} characters.")
    line = Line.of(clean(text), farm, today, NO_BOOK)
    line.verb = "promise"
    try:
        if not line.words:
            raise Refused("What is asked for? Write it, such as: lavender dry 40bu 10-15.")
        return _asked(line)
    except Refused as refused:
        return refused.problem


def _asked(line: Line) -> Asked:
    if (recipe := take_recipe(line)) is not None:
        day = _day(line)
        size = line.take_unit("in", "inches")
        count = line.need_count("pieces", "pieces")
        line.refuse_leftovers()
        return Asked(Claim(day, LAST, _some(count), "piece", (), "", "", recipe, size), "")
    day = _day(line)
    line.take_words(OR)
    bunches = line.take_unit("bunches", "bunches")
    uses = list(dict.fromkeys(USE_OF[t.low] for t in line.take_words(USE_OF)))
    crop = need_crop(line)
    sheet = farm_sheet(line.farm, crop, take_way(line, crop))
    use = _use(line, sheet, uses)
    count = whole(bunches, "bunches") if bunches is not None else line.need_count("stems", "stems")
    colors = tuple(dict.fromkeys(_colors(line, crop))) or ("",)
    line.refuse_leftovers()
    liked = tuple(Liked(crop, color) for color in colors)
    counted = ""
    if bunches is not None and sheet is not None:
        per = stems_a_bunch(sheet, use)
        counted, count = f"{plural(count, 'bunch', 'bunches')} of {per}", count * per
    return Asked(Claim(day, LAST, _some(count), FORM_OF[use], liked), counted)


def _some(count: int) -> int:
    if count < 1:
        raise Refused("How many? At least one is asked for.", "impossible")
    return count


def _use(line: Line, sheet: Sheet | None, uses: list[str]) -> str:
    """The use said, or the only one of its sheet."""
    can = uses_of(sheet) if sheet is not None else USES
    if len(uses) == 1 or (not uses and len(can) == 1):
        return (uses or can)[0]
    raise Refused(f"Fresh, dry or wired? Write {either(can or USES)}.", near=can or USES)


def _colors(line: Line, crop: str) -> Iterator[str]:
    """ "coral or peach": the colors that will do."""
    while (color := take_variety(line, crop)) is not None:
        yield color


def _day(line: Line) -> date:
    """The day it is asked for: a date to come, "today", "tomorrow", or the next day of the week of that name."""
    found = []
    for token in line.free():
        if token.taken or token.quoted:
            continue
        if token.low in ("today", "tomorrow"):
            found.append(line.today + timedelta(days=int(token.low == "tomorrow")))
        elif token.low in WEEKDAYS:
            found.append(line.today + timedelta(days=(WEEKDAYS[token.low] - line.today.weekday()) % 7))
        elif (text := month_and_day(line, token)) is not None:
            found.append(coming(iso_in(token) or text, line.today))
        else:
            continue
        token.taken = True
    if len(found) != 1:
        raise Refused("For which day? Write one, such as: 10-15, friday or tomorrow.", near=("10-15",))
    return found[0]
