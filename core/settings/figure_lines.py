"""Figures of a crop sheet as they stand in a line: "days to first cut 90", "spacing 12 in", "stage 'half open'"."""

from __future__ import annotations

from core.book.entry import Entry
from core.crops.figure_words import LONGEST, figure_called, figures_begun
from core.crops.library import own_value
from core.crops.sheet import FIGURES, KINDS
from core.language.line import Line, Refused, either
from core.language.tokens import Token
from core.language.words import UNIT_WORDS
from core.problems import Problem

_COUNTED = ("day", "days", "week", "weeks", "month", "months", *UNIT_WORDS)
"""What may be written after the number of a figure, which says itself what it counts."""
_SMALL = ("is", "are", "of", "about", "at")


def figure_at(words: list[Token], *, exact: bool = False) -> tuple[list[str], int]:
    """(the figures that the first of these words name, in how many words); several where it is ambiguous.

    `exact`: a beginning of a name is none.
    """
    several: list[str] = []
    for length in range(min(LONGEST, len(words)), 0, -1):
        run = words[:length]
        if not all(t.is_word for t in run):
            continue
        typed = " ".join(t.low for t in run)
        if exact:
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
    label = FIGURES[figure].label
    while len(rest) > 1 and rest[0].is_word and rest[0].low in _SMALL:
        rest[0].taken = True
        rest = rest[1:]
    if not rest:
        raise Refused(f"What is its {label}? Write the value after it.")
    if KINDS[figure] == "str":
        used = 1 if rest[0].quoted else _to_next(rest)
        value = rest[0].text if used == 1 else line.text[rest[0].start : rest[used - 1].end]
    elif KINDS[figure] == "HardinessClass":
        used = 2 if [t.low for t in rest[:2]] == ["half", "hardy"] else 1
        value = "-".join(t.low for t in rest[:used])
    else:
        value, used = _number(figure, rest)
    for token in rest[:used]:
        token.taken = True
    if isinstance(problem := own_value(crop, figure, value), Problem):
        raise Refused(problem.sentence, problem.code, problem.nearest)
    return value, rest[used:]


def _to_next(rest: list[Token]) -> int:
    return next((n for n in range(1, len(rest)) if figure_at(rest[n:], exact=True)[1]), len(rest))


def _number(figure: str, rest: list[Token]) -> tuple[str, int]:
    """ "12", "12 to 14", "-2 to 0", "36-38", and the word for what is counted, if one follows."""
    first = _plain(figure, rest[0])
    used = 1
    if len(rest) >= 3 and rest[1].low in ("to", "-") and rest[2].number is not None:
        first, used = f"{first} to {_plain(figure, rest[2])}", 3
    if len(rest) > used and rest[used].is_word and rest[used].low in _COUNTED:
        used += 1
    return first, used


def _plain(figure: str, token: Token) -> str:
    """The number without the unit that the figure has anyway, feet as inches; another unit stays, to be refused."""
    if token.number is None:
        return token.text
    if token.unit == "ft" and figure.endswith("_in"):
        return f"{token.number * 12:.10g}"
    other = token.unit in ("ft", "bunches", "gauge", "%", "mph", "min")
    return f"{token.number:.10g}{f' {token.unit}' if other else ''}"


def correct_figure(line: Line, entry: Entry) -> dict[str, str]:
    """ "7f3a09c2 was 12": another value of the figure."""
    value, _ = take_value(line, entry.fields["crop"], entry.fields["figure"], line.free())
    line.refuse_leftovers()
    return {"value": value}


def which_figure(several: list[str]) -> Refused:
    """The question which of several figures is meant."""
    names = [name.replace("_", " ") for name in several[:6]]
    return Refused(f"Which figure: {either(names)}?", "ambiguous", names)
