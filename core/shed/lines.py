"""The shed in a line: a reading of its air, what its max-min thermometer saw, and its lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from core.book.entry import Draft
from core.dialect import told_time
from core.language.clock import take_clock
from core.language.days import take_day
from core.language.line import Line, Reading, Refused, either, short
from core.language.named_places import take_places
from core.language.names import has_bed, has_lot
from core.language.offers import words
from core.language.tokens import Number, Token
from core.language.verb import LIKELY, NOT, Verb, first_or_sure, leave_word
from core.language.words import DEGREES
from core.marked import length_word, typed_degrees, typed_feet, typed_span, with_figures
from core.patterns import pattern
from core.places import COOLER
from core.shed.kinds import AIR_ROOMS
from core.units import month_day

_DEGREES = pattern(r"([+-]?[0-9]+(?:\.[0-9]+)?)°?([cf])?")
_PAIR = pattern(r"([+-]?[0-9]+(?:\.[0-9]+)?)-([+-]?[0-9]+(?:\.[0-9]+)?)(%|°?[cf])?")
_DAY_LIKE = pattern(r"[0-9]{2}-[0-9]{2}")
HUMIDITY_WORDS = ("rh", "humidity")
LOW_WORDS, HIGH_WORDS = ("low", "min"), ("high", "max")
TO = "to"
EXAMPLE: Mapping[str, str] = {COOLER: "{typed_degrees:36} 88%"}
RANGE_EXAMPLE: Mapping[str, str] = {COOLER: "{typed_span:34 to 39} 80 to 92%"}
_USUAL, _USUAL_RANGE = "{typed_degrees:72} 55%", "{typed_span:58 to 84} 41 to 68%"
"""An example of the air of any other room, and of what its max-min thermometer saw."""
DARK, LIGHT, FAN, NO = "dark", "light", "fan", "no"
LINE_WORDS = (DARK, LIGHT, FAN)
_WITHOUT = (NO, "without")


# the air


@dataclass(slots=True)
class _Value:
    """A number of the line: `unit` is "F", "C", "%" or "" where none is said; `end` is "low", "high" or ""."""

    text: str
    number: Number
    unit: str
    end: str = ""


def air(line: Line) -> Reading:
    """ "shed 72F 55%", "cooler 36F 88%", "shed 22C 55% at 6:40"; "shed 58 to 84 41 to 68%" since the last reset."""
    named = line.take_words(AIR_ROOMS)
    rooms = list(dict.fromkeys(token.low for token in named))
    if len(rooms) != 1:
        raise Refused(f"Whose air? Write one of {either(AIR_ROOMS)}, and its reading.", near=AIR_ROOMS)
    clock = take_clock(line)
    pairs = _pairs(line)  # before the days: "58-84" is none
    take_day(line)
    single, more = _values(line)
    pairs += more
    line.refuse_leftovers((*AIR_ROOMS, *HUMIDITY_WORDS))
    drafts = [*_reading(line, rooms[0], single, clock), *_range(line, rooms[0], pairs)]
    if not drafts:
        example = with_figures(EXAMPLE.get(rooms[0], _USUAL))
        raise Refused(
            f"What is the air? Write {rooms[0]} {example}, or what the max-min thermometer saw: "
            f"{rooms[0]} {with_figures(RANGE_EXAMPLE.get(rooms[0], _USUAL_RANGE))}.",
            near=tuple(example.split()),
        )
    return line.reading(*drafts)


def _has_unit(token: Token) -> bool:
    found = None if token.quoted else _DEGREES.fullmatch(token.low) or _PAIR.fullmatch(token.low)
    return found is not None and bool(found[found.lastindex or 0]) and token.low[-1] in "cf%"


def _reading(line: Line, room: str, values: list[_Value], clock: str | None) -> Iterator[Draft]:
    """The draft of what was read just now, from single numbers."""
    degrees = [v for v in values if v.unit in ("F", "C")]
    humidity = [v for v in values if v.unit == "%"]
    bare = [v for v in values if not v.unit]
    if bare and not degrees:
        degrees = [bare.pop(0)]
    if bare:
        raise Refused(
            f"What is {short(bare[0].text)}? Write degrees with F or C and humidity with %: {room} "
            f"{with_figures(_USUAL)}.",
            "ambiguous",
        )
    for several, what in ((degrees, "temperature"), (humidity, "humidity")):
        if len(several) > 1:
            raise Refused(
                f"{several[0].text} and {several[1].text}: which is the {what}? Of a range write its low, 'to' and "
                "its high.",
                "ambiguous",
            )
    if degrees or humidity:
        yield line.draft(
            "air",
            room=room,
            f=line.fahrenheit(degrees[0].number, degrees[0].unit) if degrees else None,
            rh_pct=humidity[0].number if humidity else None,
            clock=clock,
        )
    elif clock is not None:
        raise Refused(
            f"What was the air at {told_time(clock)}? A range since the last reset has no time.",
            near=(typed_degrees(72),),
        )


def _range(line: Line, room: str, pairs: list[tuple[_Value, _Value]]) -> Iterator[Draft]:
    """The draft of what the max-min thermometer saw, from pairs of numbers."""
    fields: dict[str, Number] = {}
    for first, last in pairs:
        unit = first.unit or last.unit
        if last.unit and unit != last.unit:
            raise Refused(f"{first.text} to {last.text}: write both in the same unit.", "ambiguous")
        low, high = (last, first) if first.end == "high" or last.end == "low" else (first, last)
        if unit == "%":
            names, ends = ("low_rh", "high_rh"), (low.number, high.number)
        else:
            names = ("low_f", "high_f")
            ends = (line.fahrenheit(low.number, unit), line.fahrenheit(high.number, unit))
        if names[0] in fields:
            what = "humidity" if unit == "%" else "temperature"
            raise Refused(
                f"Two ranges of {what} are there: write one, and humidity with %: {room} {with_figures(_USUAL_RANGE)}.",
                "ambiguous",
            )
        fields |= dict(zip(names, ends, strict=True))
    if fields:
        line.remark("since the thermometer was last reset: reset it now")
        yield line.draft("air range", room=room, **fields)


def _values(line: Line) -> tuple[list[_Value], list[tuple[_Value, _Value]]]:
    """(single numbers, pairs of low and high) of the line, all of them taken."""
    found: list[_Value | None] = []  # None where "to" stands
    is_low = False
    for token in line.free():
        if token.taken:
            continue
        if token.is_word and token.low == TO:
            token.taken = True
            found.append(None)
        elif (value := _value(line, token)) is not None:
            if is_low and not value.end:
                value.end = "low"
            # "max 84 min 58": no minutes, but the word before the next number
            is_low = token.unit == "min"
            found.append(value)
    singles: list[_Value] = []
    pairs: list[tuple[_Value, _Value]] = []
    i = 0
    while i < len(found):
        one = found[i]
        after = found[i + 1 : i + 3]
        if one is None:
            raise Refused(f"From what to what? Write the low, 'to' and the high: {typed_span(58, 84)}.")
        if len(after) == 2 and after[0] is None and isinstance(after[1], _Value):
            pairs.append((one, after[1]))
            i += 2
        elif one.end and after and isinstance(after[0], _Value) and after[0].end not in ("", one.end):
            pairs.append((one, after[0]))
            i += 1
        elif one.end:
            raise Refused(
                f"{short(one.text)} is the {one.end}: write the other end as well, such as {typed_span(58, 84)}."
            )
        else:
            singles.append(one)
        i += 1
    return singles, pairs


def _pairs(line: Line) -> list[tuple[_Value, _Value]]:
    """The pairs written as one word, "58-84" or "41-68%"; what may be a day is left to be one."""
    pairs = []
    for token in line.free():
        found = None if token.quoted else _PAIR.fullmatch(token.low)
        if found is None or (_DAY_LIKE.fullmatch(token.low) and month_day(token.low, 2024)):
            continue
        token.taken = True
        unit = (found[3] or "").removeprefix("°").upper()
        low, high = (_Value(text, float(text), unit) for text in found.groups()[:2])
        pairs.append((low, high))
    return pairs


def _value(line: Line, token: Token) -> _Value | None:
    """The number in "72F", "72", "22C", "22 C", "55%", "rh 55" or "low 58", with the words around it taken."""
    if token.quoted:
        return None
    number, unit = token.number, token.unit
    if number is None:
        glued = _DEGREES.fullmatch(token.low)
        if glued is None:
            return None
        number, unit = float(glued[1]), (glued[2] or "").upper()
    elif unit == "min" and token.text.lower().endswith("min"):
        return None
    elif unit in ("min", DEGREES):
        unit = ""
    elif unit not in ("", "F", "C", "%"):
        return None
    before, after = line.after(token, -1), line.after(token)
    token.taken = True
    if unit in ("", "F") and after is not None and after.low in ("c", "°c", "celsius"):
        after.taken, unit = True, "C"
    elif not unit and after is not None and after.low in HUMIDITY_WORDS:
        after.taken, unit = True, "%"
    elif unit == "%" and after is not None and after.low in HUMIDITY_WORDS:
        after.taken = True
    end = ""
    while before is not None and before.is_word:
        if before.low in HUMIDITY_WORDS and unit in ("", "%"):
            unit = "%"
        elif before.low in LOW_WORDS or before.low in HIGH_WORDS:
            end = "low" if before.low in LOW_WORDS else "high"
        else:
            break
        before.taken = True
        before = line.after(before, -1)
    return _Value(token.text, number, unit, end)


# its lines


def describe_line(line: Line) -> Reading:
    """ "line 2 is 40ft dark fan": a line's feet, and whether it hangs dark and in moved air."""
    places = [place for _, place in take_places(line)]
    if len(places) != 1 or not places[0].is_line:
        raise Refused(
            f"Which line? Write its number and its {length_word()}, one to a line: line 2 is {typed_feet(40)}."
        )
    fan = _flag(line, FAN)
    dark, light = _flag(line, DARK), _flag(line, LIGHT)
    if dark is not None and light is not None:
        raise Refused(f"Is {places[0]} dark or light? Write one.", "ambiguous", (DARK, LIGHT))
    if dark is None and light is not None:
        dark = not light
    feet = line.take_length()
    line.refuse_leftovers((DARK, LIGHT, FAN, NO))
    if feet is None:
        known = line.farm.lines.get(places[0])
        if known is None or (dark is None and fan is None):
            raise Refused(
                f"How long is {places[0]}? Write its {length_word()}: {places[0]} is {typed_feet(40)}.",
                near=(typed_feet(40),),
            )
        feet = known[0]
    return line.reading(line.draft("line", line=places[0], feet=feet, dark=dark, fan=fan))


def _flag(line: Line, word: str) -> bool | None:
    """True for the word, False for "no" before it, None where it is not there."""
    found = line.take_words((word,))
    if not found:
        return None
    before = line.after(found[0], -1)
    if before is not None and before.low in _WITHOUT:
        before.taken = True
        return False
    return True


def _room_air(line: Line) -> Reading:
    """ "room 68F 45%": the air of the room in which boxes are kept."""
    for token in line.words:
        token.taken = token.taken and token.low != "room"
    return air(line)


def _claims_room(line: Line, token: Token) -> int:
    """ "room" is a reading of the air where degrees or humidity are written, else how much room there is."""
    reads = any(t.unit in ("F", "C", DEGREES, "%") or _has_unit(t) for t in line.free())
    return first_or_sure(line, token) + 1 if reads else NOT


def _claims_shed(line: Line, token: Token) -> int:
    """ "shed" and "cooler" begin a reading, or stand behind one."""
    if has_bed(line) or has_lot(line):
        return NOT
    return LIKELY if token is line.words[0] or line.words[0].unit in ("F", "C", DEGREES, "%") else NOT


def _claims_line(line: Line, token: Token) -> int:
    """ "line 2 is 40ft dark" says what a line is like; elsewhere it is a place."""
    if has_bed(line) or has_lot(line) or token is not line.words[0]:
        return NOT
    says = any(t.unit == "ft" or (t.is_word and t.low in ("is", *LINE_WORDS)) for t in line.words)
    return LIKELY if says else NOT


_JOB = "The shed"

VERBS = (
    Verb(
        "shed",
        air,
        _JOB,
        (
            (
                "shed {typed_degrees:72} 55%",
                "its air just now; also: cooler {typed_degrees:36} 88%, shed 22C 55% at 6:40",
            ),
            (
                "shed {typed_span:58 to 84} 41 to 68%",
                "what the max-min thermometer saw since it was last reset",
            ),
        ),
        (words(*AIR_ROOMS, "rh", "at", "to"),),
        follow=("at", "yesterday"),
        own_day=True,
        claims=_claims_shed,
        take=leave_word,
    ),
    Verb("room", _room_air, follow=("at", "yesterday"), own_day=True, claims=_claims_room),
    Verb(
        "line",
        describe_line,
        _JOB,
        (("line 2 is {typed_feet:40} dark fan", "a line's {length_word}; also: light, no fan"),),
        (words("line", "is", *LINE_WORDS, "no"),),
        follow=LINE_WORDS,
        claims=_claims_line,
        take=leave_word,
    ),
)
