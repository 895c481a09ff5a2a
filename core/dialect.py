"""What the program says, in the words, dates and units of the farm: of North America unless it says otherwise.

Everything is written once, as the trade in North America writes it. Where text is laid out or told, `in_words` turns it
into British words (one table of spellings, the day before the month where a number stands for a month), degrees C,
meters, twelve hours: each as the farm has it. Her own words (a note, a variety, a buyer) are never changed: `keep`
remembers those that would be.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import ClassVar, NamedTuple, Protocol

from core.measures import METERS
from core.patterns import pattern
from core.units_told import METRIC, TWELVE_HOURS, Turned, centimeters, figure_in_cm, meters, plain

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
IN_CELSIUS: Mapping[str, str] = {
    "Fahrenheit": "Celsius",
    "degree days F": "degree days C",
    "degrees F": "degrees C",
    "the upper 20s F": "-3 to -2 C",
    "upper 20s F": "-3 to -2 C",
    "58 to 84 41": "14 to 29 41",
    "58 to 84": "14 to 29",
}
"""What is said where degrees are F -> where they are C."""


def _any_of(words: Mapping[str, str]) -> re.Pattern[str]:
    longest_first = sorted(words, key=len, reverse=True)
    return re.compile(
        rf"(?<![\w-])(?:{'|'.join(map(re.escape, longest_first))})(?![\w/])(?! short\b)", re.IGNORECASE
    )


_WORDS, _DEGREE_WORDS = _any_of(SPELLED), _any_of(IN_CELSIUS)
_CASELESS = {said.lower(): turned for said, turned in {**SPELLED, **IN_CELSIUS}.items()}
_DEGREES = pattern(
    r"(?P<before>about |within |own ground )?(?<![\w.])(?P<low>[-+]?\d+(?:\.\d+)?)"
    r"(?:(?P<to> to |-)(?P<high>-?\d+(?:\.\d+)?))?(?P<space> ?)F\b"
    r"(?P<after> colder| milder| above outdoors| of each other| of this)?(?P<gap>  +)?"
)
_OF_FROST = pattern(
    r"(?: at)? \d+(?:\.\d+)? ?%| in \d+ of 100 seasons| in (?:spring|fall), |: too few|  +\d+ [A-Z][a-z]{2}\b|  +any\b"
)
"""What stands after the cold of a frost: its chance, or its dates."""
_FIGURE = pattern(r"(?P<label>, )F(?P<gap>: +| is )(?P<value>[^\[]*)")
"""A figure of a crop's sheet after its label: "germinates at, F:  70-75"."""
_LONG_FIGURE = pattern(r"(?P<label>, )in(?P<gap>: +| is )(?P<value>[^\[]*)")
"""And one that is a length: "height, in:  24 to 36"."""
_OF_FIGURE = pattern(r"(\d+(?:\.\d+)?)(?:(-)(\d+(?:\.\d+)?))?(?!\d|\.\d|-| ?(?:d\b|days|weeks|wk|h\b|\d))")
_BOTH_SCALES = pattern(r"(?<![\w.])-?\d+(?:\.\d+)? F \((?P<celsius>-?\d+(?:\.\d+)? C)\)")
"""Degrees that are told in F and in C."""
_DEGREE_DAYS = pattern(r"(?<![\w.])(?P<values>\d[\d.]*(?:(?: of | to |-)\d[\d.]*)*) degree days F\b")
_DEGREE_DAYS_FIGURE = pattern(r", degree days F(?P<gap>: +| is )(?P<values>\d[\d.]*(?:(?: to |-)\d[\d.]*)?)")
_BARE = pattern(
    r"\b(?P<what>(?:low|high|tonight|forecast|dusk|dew|tomorrow|(?:mon|tue|wed|thu|fri|sat|sun)(?: night)?) )"
    r"(?P<number>-?\d{1,3})(?![\d:/%.-]| ?[FC]\b| [a-z]*(?:uary|rch|ril|may|june|july|ust|ember|ober)\b)"
)
"""The low of a line given as an example, without its unit."""
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


def speak(way: Way = AS_WRITTEN) -> None:
    """From now on everything is told so."""
    _Spoken.way = way
    _Spoken.patterns = {
        **(_DAYS if way.british else {}),
        **(_CELSIUS if way.celsius else {}),
        **({_LONG_FIGURE: _long_figure, **METRIC} if way.metric else {}),
        **(TWELVE_HOURS if way.twelve else {}),
        **({_WORDS: _spelled} if way.british else {}),
    }
    _Spoken.hers = set()
    _Spoken.typed = frozenset()


def is_british() -> bool:
    """Whether the farm that is open speaks British."""
    return _Spoken.way.british


def is_metric() -> bool:
    """Whether the farm that is open has its lengths in meters."""
    return _Spoken.way.metric


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


def told_f(degrees_f: float) -> str:
    """Degrees F to a whole one, for a sentence; where they will be told in C, as they are."""
    return f"{degrees_f:g}" if _Spoken.way.celsius else f"{degrees_f:.0f}"


def told_course(degrees_f: float) -> str:
    """The degrees of one hour of a night, a whole number without its unit."""
    return celsius(degrees_f, whole=True) if _Spoken.way.celsius else f"{degrees_f:.0f}"


def told_spread(degrees_f: float) -> str:
    """By how many degrees an estimate may be wrong, without their unit."""
    return f"{degrees_f / 1.8 if _Spoken.way.celsius else degrees_f:.1f}"


def told_length(feet: float) -> str:
    """A length in the farm's own unit, without it."""
    return meters(feet) if _Spoken.way.metric else plain(feet, 2)


def told_size(inches: float) -> str:
    """A size in the farm's own unit, with it: "14 in", "35.6 cm"; for text that may end with it."""
    return f"{centimeters(inches)} cm" if _Spoken.way.metric else f"{plain(inches, 2)} in"


def told_rain(inches: float) -> str:
    """Inches of rain or water for a sentence; where they will be told in millimeters, as they are."""
    return f"{inches:.4f}" if _Spoken.way.metric else plain(inches, 2)


def told_wind(mph: float) -> str:
    """The wind for a sentence, to a tenth of a mile an hour; where it will be told in kilometers, as it is."""
    return f"{mph:.4f}" if _Spoken.way.metric else plain(mph, 1)


def celsius(degrees_f: float, *, whole: bool = False) -> str:
    """So many degrees F in C, to a tenth or to a whole one."""
    return _plain(round((degrees_f - 32) / 1.8, 0 if whole else 1))


def _as_kept(found: re.Match[str]) -> str | None:
    """What was found as it is, where it is of her own words."""
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
    british = _CASELESS[found[0].lower()]
    return british[0].upper() + british[1:] if found[0][0].isupper() else british


def _degrees(found: re.Match[str]) -> str:
    before, space, after = found["before"] or "", found["space"], found["after"] or ""
    differ = bool(after) or before in ("within ", "own ground ")
    numbers = [number for number in (found["low"], found["high"]) if number is not None]
    is_frost = not found["high"] and _OF_FROST.match(found.string, found.end() - len(found["gap"] or ""))
    turned = [
        _difference(number)
        if differ
        else (is_frost and _frost(number)) or _turned(number, is_about=before == "about ")
        for number in numbers
    ]
    told = (found["to"] or "").join(turned)
    if found["to"] == "-" and turned[-1].startswith("-"):
        told = " to ".join(turned)
    text, gap = f"{before}{told}{space}C{after}", found["gap"]
    if not gap:
        return text
    room = len(found[0]) - len(gap)  # of a column of a table
    if not found.string[: found.start()].strip():
        text = text.rjust(room)
    return text + " " * max(len(gap) + room - len(text), 1)


def _turned(number: str, *, is_about: bool) -> str:
    """Whole where it is an estimate, or a whole number far from freezing, where tenths say nothing."""
    degrees_f = float(number)
    return celsius(degrees_f, whole=is_about or ("." not in number and abs(degrees_f - 32) >= 18))


def _frost(number: str) -> str:
    """The cold of a frost: the whole degree C for which it is kept in whole degrees F; "" where there is none."""
    whole_c = celsius(float(number), whole=True)
    return whole_c if frost_in_f(float(whole_c)) == float(number) else ""


def frost_in_f(degrees_c: float) -> float:
    """The cold of a frost in F: of a whole degree C the nearest whole one, as records and packets have it (-2 C for
    28 F), so that both find the same date."""
    degrees_f = degrees_c * 1.8 + 32
    return round(degrees_f) if degrees_c == round(degrees_c) else round(degrees_f, 2)


def figure_told(label: str, value: str) -> str:
    """A figure's value in the units of the farm; its label on the sheet, such as "height, in", says its own."""
    if label.endswith(", F") and _Spoken.way.celsius:
        return _figure_in_c(value)
    if label.endswith(", degree days F") and _Spoken.way.celsius:
        return _degree_days(value)
    return figure_in_cm(value) if label.endswith(", in") and _Spoken.way.metric else value


def _figure_in_c(value: str) -> str:
    def turned(one: re.Match[str]) -> str:
        ends = [celsius(float(number), whole=True) for number in one.groups()[::2] if number]
        return (" to " if ends[0].startswith("-") else "-").join(ends)

    return _OF_FIGURE.sub(turned, value)


def _degree_days(values: str) -> str:
    return re.sub(r"\d+(?:\.\d+)?", lambda one: _plain(round(float(one[0]) / 1.8)), values)


def _figure(found: re.Match[str]) -> str:
    return f"{found['label']}C{found['gap']}{_figure_in_c(found['value'])}"


def _long_figure(found: re.Match[str]) -> str:
    return f"{found['label']}cm{found['gap']}{figure_in_cm(found['value'])}"


def _difference(number: str) -> str:
    sign = "+" if number.startswith("+") else ""
    return sign + _plain(round(float(number) / 1.8, 1))


def _plain(value: float) -> str:
    return f"{value + 0.0 if value else 0.0:.1f}".removesuffix(".0")


def _bare_degrees(found: re.Match[str]) -> str:
    if found["number"] in _Spoken.typed:
        return found[0]
    return f"{found['what']}{celsius(float(found['number']), whole=True)}C"


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
_CELSIUS: Mapping[re.Pattern[str], Turned] = {
    _FIGURE: _figure,
    _DEGREE_DAYS: lambda found: f"{_degree_days(found['values'])} degree days C",
    _DEGREE_DAYS_FIGURE: lambda found: f", degree days C{found['gap']}{_degree_days(found['values'])}",
    _BOTH_SCALES: lambda found: found["celsius"],
    _DEGREES: _degrees,
    _BARE: _bare_degrees,
    _DEGREE_WORDS: _spelled,
}
