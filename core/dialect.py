"""What the program says, in the words, dates and units of the farm: of North America unless it says otherwise.

Words are written once, as the trade in North America has them. Where text is laid out or told, `in_words` turns them
into British ones (one table of spellings, the day before the month where a number stands for a month). Her own words (a
note, a variety, a buyer) are never changed: `keep` remembers those that would be. A figure is told in the farm's own
unit where its sentence is made (`told_degrees`, `told_feet`, `told_time` and their like), from its value.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import ClassVar, NamedTuple, Protocol

from core.measures import LITERS_A_GALLON, METERS, METERS_A_FOOT
from core.patterns import pattern
from core.units_told import (
    celsius,
    centimeters,
    degree_days_in_c,
    degrees_in_c,
    frost_in_c,
    kilometers_an_hour,
    meters,
    millimeters,
    plain,
    square_meters,
    to_a_tenth,
    twelve_hours,
)

AMERICAN, BRITISH = "american", "british"
DIALECTS: Mapping[str, str] = {
    "american": AMERICAN,
    "us": AMERICAN,
    "usa": AMERICAN,
    "british": BRITISH,
    "uk": BRITISH,
    "english": BRITISH,
}
"""As it is typed -> the words a farm may have."""

SPELLED: Mapping[str, str] = {
    "gray": "grey",
    "mold": "mould",
    "molds": "moulds",
    "moldy": "mouldy",
    "color": "colour",
    "colors": "colours",
    "colored": "coloured",
    "bicolor": "bicolour",
    "fall": "autumn",
    "falls": "autumns",
    "boutonniere": "buttonhole",
    "boutonnieres": "buttonholes",
    "center": "centre",
    "centerpiece": "centrepiece",
    "centerpieces": "centrepieces",
    "sulfur": "sulphur",
    "fiber": "fibre",
    "favorite": "favourite",
    "canceled": "cancelled",
    "meter": "metre",
    "meters": "metres",
    "centimeter": "centimetre",
    "centimeters": "centimetres",
    "the month first": "the day first",
    "6/20": "20/6",
}
"""What is said in North America -> in Britain; of what begins alike the longer is taken."""


Turned = Callable[[re.Match[str]], str]


def _any_of(words: Mapping[str, str]) -> re.Pattern[str]:
    longest_first = sorted(words, key=len, reverse=True)
    return re.compile(
        rf"(?<![\w-])(?:{'|'.join(map(re.escape, longest_first))})(?![\w/])(?! short\b)", re.IGNORECASE
    )


_WORDS = _any_of(SPELLED)
_MONTH_DAY = pattern(r"(?<![\w/.-])(0[1-9]|1[0-2])-([0-2][0-9]|3[01])(?![\w/-])")
_NAMED_DAY = pattern(
    r"\b(?P<what>(?:by|from|until|before) )(?P<first>\d{1,2}-\d{1,2})(?:(?P<to> to )(?P<last>\d{1,2}-\d{1,2}))?"
    r"(?![\w/-])(?! (?:days|weeks|in|ft|stems)\b)"
)
"""Days after a word that says that they are days: "by 10-15", "from 7-1 to 8-26"."""


class Said(Protocol):
    """What a farm has said of how it is to be told; None where it said nothing."""

    @property
    def words(self) -> str | None: ...
    @property
    def degrees(self) -> str | None: ...
    @property
    def lengths(self) -> str | None: ...
    @property
    def hours(self) -> int | None: ...


class Way(NamedTuple):
    """How a farm is told what the program says."""

    british: bool = False
    celsius: bool = False
    metric: bool = False
    """Whether lengths are in meters and centimeters, and rain in millimeters."""
    twelve: bool = False
    """Whether a time of day is of twice twelve hours."""


def way_of(said: Said) -> Way:
    """As the farm's settings have it: degrees are C where its words are British and nothing else is said."""
    british = said.words == BRITISH
    celsius = said.degrees == "C" if said.degrees else british
    return Way(british, celsius, said.lengths == METERS, said.hours == 12)


AS_WRITTEN = Way()


class _Spoken:
    """How the farm that is open speaks."""

    way: ClassVar[Way] = AS_WRITTEN
    patterns: ClassVar[Mapping[re.Pattern[str], Turned]] = {}
    hers: ClassVar[set[tuple[str, str] | str]] = set()
    typed: ClassVar[frozenset[str]] = frozenset()
    to_program: ClassVar[bool] = False
    to_her: ClassVar[bool] = False


def speak(way: Way = AS_WRITTEN) -> None:
    """From now on everything is told so."""
    _Spoken.way = way
    _Spoken.patterns = {**_DAYS, _WORDS: _spelled} if way.british else {}
    _Spoken.hers = set()
    _Spoken.typed = frozenset()


@contextmanager
def to_program(*, is_on: bool = True) -> Iterator[None]:
    """Meanwhile a program is told: figures stand as JSON and CSV have them, whatever the farm's units."""
    before, _Spoken.to_program = _Spoken.to_program, is_on and not _Spoken.to_her
    try:
        yield
    finally:
        _Spoken.to_program = before


@contextmanager
def to_her() -> Iterator[None]:
    """Meanwhile even what is asked for as CSV is told to her, in the words and units of the farm."""
    _Spoken.to_her = True
    try:
        yield
    finally:
        _Spoken.to_her = False


def is_to_her() -> bool:
    """Whether what is asked for as CSV is told to her."""
    return _Spoken.to_her


def _way() -> Way:
    """How figures are told where a sentence is made."""
    return AS_WRITTEN if _Spoken.to_program else _Spoken.way


def is_british() -> bool:
    """Whether the farm that is open speaks British."""
    return _Spoken.way.british


def is_metric() -> bool:
    """Whether lengths are told in meters."""
    return _way().metric


def is_celsius() -> bool:
    """Whether degrees are told in C."""
    return _way().celsius


Units = tuple[bool, bool]


def farm_units() -> Units:
    """(whether degrees are told in C, whether lengths are told in meters): what text that is kept was told in."""
    return is_celsius(), is_metric()


def keep(texts: Iterable[str | None]) -> None:
    """These are her own words: what in them looks like the program's is never changed."""
    if not _Spoken.patterns:
        return
    for text in filter(None, texts):
        for found in (found for each in _Spoken.patterns for found in each.finditer(text)):
            before, chunk, after = _around(text, found)
            if not before and not after:
                _Spoken.hers.add(chunk)
            if before:
                _Spoken.hers.add((before, chunk))
            if after:
                _Spoken.hers.add((chunk, after))


def keep_typed(line: str) -> None:
    """What she has typed last, which a refusal may quote."""
    if _Spoken.patterns:
        _Spoken.typed = frozenset(chunk.strip("',;:.()\"") for chunk in line.split())


def in_words(text: str) -> str:
    """The program's own text in the words of the farm. What is turned already is not turned again."""
    for each, turned in _Spoken.patterns.items():
        text = each.sub(lambda found, turned=turned: _as_kept(found) or turned(found), text)  # type: ignore[misc]
    return text


def degrees_unit() -> str:
    """ "F", or "C"."""
    return "C" if is_celsius() else "F"


def length_unit() -> str:
    """ "ft", or "m"."""
    return "m" if is_metric() else "ft"


def size_unit() -> str:
    """ "in", or "cm"."""
    return "cm" if is_metric() else "in"


def wind_unit() -> str:
    """ "mph", or "km/h"."""
    return "km/h" if is_metric() else "mph"


def told_degrees(*degrees_f: float) -> str:
    """Degrees, or the span of them, in the farm's own unit, with it: "34 F", "34 to 38 F", "1.1 C"."""
    ends = map(degrees_in_c, degrees_f) if is_celsius() else (plain(one, 2) for one in degrees_f)
    return f"{' to '.join(ends)} {degrees_unit()}"


def told_reading(*degrees_f: float) -> str:
    """What a thermometer said, or the span of it, with its unit: to a whole degree F, or as it was read in C."""
    return told_degrees(*(degrees_f if is_celsius() else map(round, degrees_f)))


def told_about(degrees_f: float) -> str:
    """Degrees that are an estimate, whole, with their unit."""
    return f"{told_course(degrees_f)} {degrees_unit()}"


def told_frost(degrees_f: float) -> str:
    """The cold of a frost, with its unit: "28 F", "-2 C"; a whole degree C where it is kept for that."""
    if is_celsius() and (whole_c := frost_in_c(degrees_f)):
        return f"{whole_c} C"
    return told_degrees(degrees_f)


def told_difference(degrees_f: float, form: str = ".1f") -> str:
    """By how many degrees two things differ, with their unit: "3.0 F", "1.7 C"; `form` as for `format`."""
    if not is_celsius():
        return f"{degrees_f:{form}} F"
    return f"{'+' if '+' in form and degrees_f > 0 else ''}{to_a_tenth(degrees_f / 1.8)} C"


def told_degree_days(values: str) -> str:
    """Degree days, or a range of them, with their unit: "900 to 1100 degree days F"."""
    return f"{degree_days_in_c(values) if is_celsius() else values} degree days {degrees_unit()}"


def told_course(degrees_f: float) -> str:
    """The degrees of one hour of a night, a whole number without its unit."""
    return celsius(degrees_f, whole=True) if is_celsius() else f"{degrees_f:.0f}"


def told_spread(degrees_f: float) -> str:
    """By how many degrees an estimate may be wrong, without their unit."""
    return f"{degrees_f / 1.8 if is_celsius() else degrees_f:.1f}"


def told_length(feet: float) -> str:
    """A length in the farm's own unit, without it."""
    return meters(feet) if is_metric() else plain(feet, 2)


def told_feet(*feet: float) -> str:
    """A length, or the span of one, in the farm's own unit, with it: "20 ft", "1 to 2000 ft", "6.1 m"."""
    return f"{' to '.join(map(told_length, feet))} {length_unit()}"


def told_a_foot(count: float, what: str) -> str:
    """How many to a foot, or to a meter: "4.5 plants a foot"."""
    if is_metric():
        return f"{plain(count / METERS_A_FOOT, 2)} {what} a meter"
    return f"{plain(count, 2)} {what} a foot"


def told_size(*inches: float) -> str:
    """A size, or the span of one, in the farm's own unit, with it: "14 in", "6 to 240 in", "35.6 cm"."""
    ends = map(centimeters, inches) if is_metric() else (plain(one, 2) for one in inches)
    return f"{' to '.join(ends)} {size_unit()}"


def told_rain(inches: float, digits: int = 2) -> str:
    """Rain or water in the farm's own unit, with it: "0.4 in", "10.2 mm"; inches to so many decimals."""
    return f"{millimeters(inches)} mm" if is_metric() else f"{plain(inches, digits)} in"


def told_water(gallons: float, *, as_of: float | None = None) -> str:
    """Gallons of water with their unit; in liters where lengths are metric, and where they were said in liters, which
    shows in gallons finer than anybody says them. `as_of` are the gallons that were said, where those are a part."""
    said = gallons if as_of is None else as_of
    if not _Spoken.to_program and (_way().metric or abs(round(said, 2) - said) > 1e-9):
        liters = gallons * LITERS_A_GALLON
        return f"{plain(liters, 0 if liters >= 10 else 1)} l"
    return f"{plain(gallons, 2 if as_of is None else 1)} gal"


def told_time(clock: str) -> str:
    """A time of day in the farm's own way: "18:40", or "6:40pm"."""
    return twelve_hours(clock) if _way().twelve else clock


def told_wind(*mph: float) -> str:
    """A wind in the farm's own unit, with it, or the range of one: "11.2 mph", "18 km/h", "15-20 mph"."""
    if is_metric():
        return f"{'-'.join(map(kilometers_an_hour, mph))} km/h"
    return f"{'-'.join(plain(one, 1) for one in mph)} mph"


def told_area(square_feet: float) -> str:
    """An area in the farm's own unit, with it: "450 sq ft", "41.8 m2"."""
    if is_metric():
        return f"{square_meters(square_feet)} m2"
    return f"{plain(square_feet, 0)} sq ft"


def _as_kept(found: re.Match[str]) -> str | None:
    """The text found, unchanged, where it is a word of hers; None where it may be turned."""
    if not _Spoken.hers and not _Spoken.typed:
        return None
    before, chunk, after = _around(found.string, found)
    hers = _Spoken.hers
    is_hers = chunk in hers or (before, chunk) in hers or (chunk, after) in hers
    start, end = found.span()
    is_quoted = found.string[max(start - 1, 0) : end + 1] == f"'{found[0]}'" and found[0] in _Spoken.typed
    return found[0] if is_hers or is_quoted else None


def _around(text: str, found: re.Match[str]) -> tuple[str, str, str]:
    """What was found with all that is written together with it, and the words before and after."""
    start, end = found.span()
    while start and not text[start - 1].isspace():
        start -= 1
    while end < len(text) and not text[end].isspace():
        end += 1
    before, after = text[:start].split()[-1:], text[end:].split()[:1]
    return _bare(before[0] if before else ""), _bare(text[start:end]), _bare(after[0] if after else "")


def _bare(chunk: str) -> str:
    return chunk.strip("',;:.()\"").lower()


def _spelled(found: re.Match[str]) -> str:
    british = SPELLED[found[0].lower()]
    return british[0].upper() + british[1:] if found[0][0].isupper() else british


def _day_first(found: re.Match[str]) -> str:
    """ "05-14" as "14/5"; "10-12", which may be a range of anything, is left."""
    month, day = found[1], found[2]
    if "0" not in (month[0], day[0]) or day == "00" or found[0] in _Spoken.typed:
        return found[0]
    return f"{int(day)}/{int(month)}"


def _named_days(found: re.Match[str]) -> str:
    days = [day for day in (found["first"], found["last"]) if day]
    ends = [tuple(map(int, day.split("-"))) for day in days]
    if any(day in _Spoken.typed or not 1 <= month <= 12 for day, (month, _) in zip(days, ends, strict=True)):
        return found[0]
    return found["what"] + (found["to"] or "").join(f"{day}/{month}" for month, day in ends)


_DAYS: Mapping[re.Pattern[str], Turned] = {_NAMED_DAY: _named_days, _MONTH_DAY: _day_first}
