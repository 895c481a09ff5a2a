"""Figures of a crop sheet as they stand in a line: "days to first cut 90", "spacing 12 in", "stage 'half open'"."""

from __future__ import annotations

import re

from core.book.entry import Entry
from core.crops.figure_words import LONGEST, figure_called, figures_begun
from core.crops.library import own_value
from core.crops.sheet import FIGURES, KINDS
from core.language.days import day_said
from core.language.line import Line, Refused, either
from core.language.tokens import Token
from core.language.words import DEGREES, GLUED_UNITS, METRIC, MONTHS, SCALES, UNIT_WORDS
from core.patterns import pattern
from core.problems import Problem
from core.units import as_typed

TIMES = {
    **dict.fromkeys(("day", "days"), ("days", 1.0)),
    **dict.fromkeys(("week", "weeks"), ("days", 7.0)),
    **dict.fromkeys(("month", "months"), ("months", 1.0)),
    **dict.fromkeys(("year", "years"), ("months", 12.0)),
}
"""A word for a time -> what it is told by, days or months, and how many of them."""
INCHES = {"in": 1.0, "ft": 12.0, "cm": METRIC["cm"][1], "mm": METRIC["mm"][1], "m": METRIC["m"][1] * 12}
"""Unit of a length -> inches."""
_OWN_UNIT = {"f": "F", "c": "C", "cm": "cm"}
"""The unit of a figure as the sheet prints it after its name -> the unit."""
_IN_WORDS = pattern(
    r"(-?\d+(?:\.\d+)?)(?: to |-)(-?\d+(?:\.\d+)?) ?°?([cf])\b|(-?\d+(?:\.\d+)?) ?°?([cf])\b", re.I
)
"""Degrees in a figure that is kept as words: "20 to 24 C", "18C for 14 days"."""
MEASURES = frozenset((*GLUED_UNITS.values(), "m", DEGREES))
"""Units of which a figure has its own or none: with another it is refused."""
_RANGE = pattern(r"([-+]?[0-9]+(?:\.[0-9]+)?)-([-+]?[0-9]+(?:\.[0-9]+)?)([a-z%]*)")
_ONE_NUMBER = pattern(r"(?<!\d)[-+]?\d+(?:\.\d+)?")
_BARE_RANGE = pattern(r"-?\d+(?:\.\d+)?(?:(?: to |-)-?\d+(?:\.\d+)?)?(?! ?[°cf\d])", re.I)
_SMALL = ("is", "are", "of", "about", "at", "in", "days", "weeks", "months")


def figure_at(words: list[Token], *, exact: bool = False) -> tuple[list[str], int]:
    """(the figures that the first of these words name, in how many words); several where it is ambiguous.

    `exact`: a beginning of a name is none.
    """
    several: list[str] = []
    for length in range(min(LONGEST, len(words)), 0, -1):
        run = words[:length]
        typed = " ".join(t.low if t.is_word else f"{t.low} {t.unit}".rstrip() for t in run)
        counts = not all(t.is_word for t in run)  # "of 100 stems" stands in the names of some
        if counts and (run[0].quoted or figure_called(typed) is None):
            continue
        if exact or counts:
            found = list(filter(None, (figure_called(typed),)))
        else:
            found = figures_begun(typed)
        if len(found) == 1:
            return found, length
        several = several or found
    return several, 0


def take_value(line: Line, crop: str, figure: str, rest: list[Token]) -> tuple[str, list[Token]]:
    """(the figure's value as it is kept, the words after it); refused where it is none of that figure.

    Words that are no number go to the next figure that is named, or to the end; quotes end them as well.
    """
    label = FIGURES[figure].told
    before = ""  # "days to dry weeks 2": what is counted may stand before its number
    while len(rest) > 1 and rest[0].is_word and rest[0].low in _SMALL:
        rest[0].taken = True
        before = rest[0].low if {rest[0].low, FIGURES[figure].unit} <= TIMES.keys() else before
        rest = rest[1:]
    if not rest:
        raise Refused(f"What is its {label}? Write the value after it.")
    scale = _OWN_UNIT.get(rest[0].low, "") if len(rest) > 1 and rest[0].is_word else ""
    if scale and figure.endswith("_f" if scale in SCALES else "_in"):  # as printed: "lowest once hardened, F"
        rest[0].taken = True
        rest = rest[1:]
    if KINDS[figure] == "str":
        used = 1 if rest[0].quoted else _to_next(rest)
        value = rest[0].text if used == 1 else line.text[rest[0].start : rest[used - 1].end]
        if figure.endswith("_f"):
            value = _in_fahrenheit(line, value, scale)
    elif KINDS[figure] == "MonthDay":
        value, used = _day_of_the_year(line, rest)
    elif KINDS[figure] == "HardinessClass":
        used = 2 if [t.low for t in rest[:2]] == ["half", "hardy"] else 1
        value = "-".join(t.low for t in rest[:used])
    else:
        value, used = _number(line, figure, rest, scale)
        begins_another = figure_at(rest[used:], exact=True)[1]  # "80, weeks of cutting 4"
        after = rest[used].low if len(rest) > used and rest[used].is_word and not begins_another else ""
        used += after in TIMES or after in UNIT_WORDS
        value = _in_its_time(figure, value, after if after in TIMES else before)
    for token in rest[:used]:
        token.taken = True
    if isinstance(problem := own_value(crop, figure, value), Problem):
        raise Refused(problem.sentence, problem.code, problem.nearest)
    return value, rest[used:]


def _to_next(rest: list[Token]) -> int:
    return next((n for n in range(1, len(rest)) if figure_at(rest[n:], exact=True)[1]), len(rest))


def _day_of_the_year(line: Line, rest: list[Token]) -> tuple[str, int]:
    """ "1 july", "july 1", "7/1", "07-01": ("07-01", the words it took)."""
    if (beside := rest[1:2]) and (month := MONTHS.get(rest[0].low) or MONTHS.get(beside[0].low)) is not None:
        number = next((t.number for t in (rest[0], *beside) if t.number is not None and not t.unit), None)
        if isinstance(number, int):
            return f"{month:02d}-{number:02d}", 2
    if (day := day_said(line, rest[0])) is not None:
        return f"{day:%m-%d}", 1
    return rest[0].text, 1


def _number(line: Line, figure: str, rest: list[Token], scale: str = "") -> tuple[str, int]:
    """ "12", "12 to 14 cm", "-2 to 0", "36-38F"; of degrees without a unit in the `scale` that the figure's name
    said."""
    first, used = rest[0], 1
    if first.number is None:
        found = _RANGE.fullmatch(first.low)
        unit = GLUED_UNITS.get(found[3], found[3]) if found else ""
        value = (
            f"{_kept(line, figure, float(found[1]), unit)}-{_kept(line, figure, float(found[2]), unit)}"
            if found
            else ""
        )
        value = value or first.text
    elif len(rest) >= 3 and rest[1].low in ("to", "-") and rest[2].number is not None:
        least = _kept(line, figure, first.number, first.unit or rest[2].unit)
        value, used = f"{least} to {_kept(line, figure, rest[2].number, rest[2].unit)}", 3
    else:
        value = _kept(line, figure, first.number, first.unit or scale)
    return value, used


def _in_its_time(figure: str, value: str, said: str) -> str:
    """The number, or both of a range, in what the figure counts where another time is `said`: "9 weeks" of days as 63.

    Refused where it cannot be turned: a month has no certain number of days."""
    about = FIGURES[figure]
    if not said or said == about.unit:
        return value
    (told_by, times), (own, one) = TIMES[said], TIMES.get(about.unit, ("", 1.0))
    if told_by != own:
        kinds = {"days": "days or weeks", "months": "months or years"}
        counted = kinds.get(own, about.unit or "a number")
        raise Refused(f"{about.told[0].upper()}{about.told[1:]}: write {counted}, not {said}.", "impossible")
    return _ONE_NUMBER.sub(lambda found: as_typed(round(float(found[0]) * times / one, 2)), value)


def _kept(line: Line, figure: str, number: float, unit: str) -> str:
    """The number in the figure's own unit; a unit of something else stays, to be refused."""
    own = number
    if FIGURES[figure].unit == "degree days" and not unit and line.way.celsius:
        own = number * 1.8
    elif figure.endswith("_f") and unit in SCALES:
        own, unit = line.fahrenheit(number, unit), ""
    elif figure.endswith("_in") and (unit or own_length(line)) in INCHES:
        own, unit = number * INCHES[unit or own_length(line)], ""
    if own != number:
        return as_typed(round(own, 2))
    return f"{as_typed(number)}{f' {unit}' if unit in MEASURES else ''}"


def own_length(line: Line) -> str:
    """The unit of a length of a crop without one: that of the farm."""
    return "cm" if line.way.metric else "in"


def _in_fahrenheit(line: Line, value: str, scale: str) -> str:
    """Words with degrees in them, all told in F; a bare number, or a range, is of the farm's own scale."""
    if not scale and not re.search(r"[cf]\b", value, re.IGNORECASE) and line.way.celsius:
        scale = "C"
    if scale:
        value = _BARE_RANGE.sub(lambda found: f"{found[0]} {scale}", value, count=1)

    def turned(found: re.Match[str]) -> str:
        unit = (found[3] or found[5]).upper()
        ends = [
            as_typed(round(line.fahrenheit(float(end), unit)))
            for end in (found[1], found[2], found[4])
            if end
        ]
        return "-".join(ends)

    return _IN_WORDS.sub(turned, value)


def correct_figure(line: Line, entry: Entry) -> dict[str, str]:
    """ "7f3a09c2 was 12": another value of the figure."""
    value, _ = take_value(line, entry.fields["crop"], entry.fields["figure"], line.free())
    line.refuse_leftovers()
    return {"value": value}


def which_figure(several: list[str]) -> Refused:
    """The question which of several figures is meant."""
    names = [name.replace("_pct", "").replace("_", " ") for name in several[:6]]
    return Refused(f"Which figure: {either(names)}?", "ambiguous", names)
