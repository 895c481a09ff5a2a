"""Weather in a line: temperatures, wind, the night at dusk, frost dates and the risk taken."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta

from core.book.entry import Draft
from core.dialect import degrees_unit, told_degrees, wind_unit
from core.language.days import take_day
from core.language.line import Line, Reading, Refused
from core.language.names import has_bed, names_crop
from core.language.offers import words
from core.language.tokens import Number, Token
from core.language.verb import ALWAYS, LIKELY, NOT, Verb, leave_word
from core.language.words import SCALES, WEEKDAYS
from core.marked import typed_low
from core.problems import Problem
from core.reckon.climate.air import air, c_from_f, f_from_c
from core.units import short_day
from core.weather import SUBJECT
from core.weather.frost_lines import FROST
from core.weather.kinds import SKIES
from core.weather.night import night_name

SKY_WORDS: Mapping[str, str] = {
    "clear": "clear",
    "calm": "clear",
    "cloudy": "cloudy",
    "cloud": "cloudy",
    "overcast": "cloudy",
    "windy": "windy",
    "wind": "windy",
}
"""How a night begins: clear (and calm), or not."""


def weather(line: Line) -> Reading:
    """ "low 34 high 61", "tonight 38 sat 31", "wind 18": one draft for each."""
    ahead = _take_nights(line)
    take_day(line)
    drafts: list[Draft] = []
    said: dict[str, Number] = {}
    for word in [t for t in line.free() if t.is_word and t.low in READINGS]:
        following = line.after(word)
        if following is not None and following.low in ("of", "was", "is"):  # "a low of 34"
            following.taken, following = True, line.after(following)
        beside = next(
            (t for t in (following, line.after(word, -1)) if t is not None and t.number is not None), None
        )
        is_wind = word.low == "wind"
        if is_wind:
            line.read_metric("mph")
        if beside is None:
            raise Refused(
                f"{word.low.capitalize()} how much? Write the number after it: "
                f"{word.low} {_example(word.low)}."
            )
        if beside.unit not in (("", "mph") if is_wind else SCALES):
            raise Refused(
                f"{word.low.capitalize()} is written in "
                f"{wind_unit() if is_wind else f'degrees {degrees_unit()}'}."
            )
        if word.low in said:
            raise Refused(f"{word.low} is there twice: write it once.", "ambiguous")
        word.taken = beside.taken = True
        assert beside.number is not None
        said[word.low] = beside.number
        if is_wind:
            drafts.append(line.draft("wind", mph=line.mph(beside)))
        else:
            drafts.append(line.draft(word.low, f=line.fahrenheit(beside.number, beside.unit)))
    drafts += [_forecast(line, *night) for night in ahead]
    if not drafts:
        line.refuse_leftovers(READINGS)
        raise Refused(
            f"Of which night, and how cold? Write it: tonight {typed_low(38)} sat {typed_low(31)}.",
            near=(f"tonight {typed_low(38)}",),
        )
    low, high = (next((d.fields["f"] for d in drafts if d.kind == kind), None) for kind in ("low", "high"))
    if low is not None and high is not None and low > high:
        raise Refused(
            f"A low of {said['low']} is above a high of {said['high']}: which is which?", "impossible"
        )
    nights = [draft.fields["night"] for draft in drafts if draft.kind == "forecast"]
    if len(set(nights)) < len(nights):
        raise Refused("One night is there twice: write it once.", "ambiguous")
    return line.reading(*drafts)


READINGS = ("low", "high", "tonight", "wind")
NIGHT, FORECAST = "night", "forecast"


def _take_nights(line: Line) -> list[tuple[Token, Number]]:
    """The days with the low of their night after them, where the line speaks of nights to come: "tonight 38 sat 31",
    "forecast sat 31", "sat night 31"."""
    line.words = [t for n, t in enumerate(line.words) if not _only_says_low(line.words, n)]
    is_forecast = False
    found: list[tuple[Token, Number]] = []
    for token in line.free():
        if token.taken or not token.is_word:
            continue
        after = line.after(token)
        if token.low == FORECAST:
            token.taken = is_forecast = True
            tonight_too = any(t.low == "tonight" for t in line.words)
            if after is not None and after.number is not None and not tonight_too:  # "forecast 38"
                token.taken, token.low = False, "tonight"
        elif token.low == "tonight":
            is_forecast = True
        elif (token.low in WEEKDAYS or token.low == "tomorrow") and (
            low := _low_of(line, token, is_forecast)
        ) is not None:
            found.append((token, low))
            is_forecast = True
    return found


def _only_says_low(words: Sequence[Token], n: int) -> bool:
    """Whether a word is the "low" of a forecast, which says nothing more: "tonight low 38", "low tonight 38"."""
    before = words[n - 1].low if n else ""
    after = words[n + 1].low if n + 1 < len(words) else ""
    return words[n].low == "low" and (before in ("tonight", NIGHT, FORECAST) or after == "tonight")


def _low_of(line: Line, day: Token, is_forecast: bool) -> Number | None:
    """The number after a day that is the low of its night; None where the day only dates the line."""
    before, after = line.after(day, -1), line.after(day)
    night = after if after is not None and after.low == NIGHT else None
    value = line.words[line.words.index(night) + 1 :][:1] if night else [after] if after is not None else []
    number = value[0].number if value else None
    if number is None:
        if night is None:
            return None
        raise Refused(f"How cold will {day.text} night be? Write it after: {day.low} night {typed_low(31)}.")
    says_low = before is not None and before.low == "low"
    if not is_forecast and night is None:
        if says_low and day.low in WEEKDAYS:
            raise Refused(
                f"The forecast, or what was read last {day.text}? Write '{day.low} night {number}' for the night to "
                f"come, 'low {number} {day.low}' for the reading.",
                "ambiguous",
            )
        return None
    if value[0].unit not in SCALES:
        raise Refused(f"A low is written in degrees {degrees_unit()}.")
    for token in (before if says_low else None, day, night, value[0]):
        if token is not None:
            token.taken = True
    return line.fahrenheit(number, value[0].unit)


def _forecast(line: Line, day: Token, low: Number) -> Draft:
    """The low of the night after the next such day."""
    ahead = 1 if day.low == "tomorrow" else (WEEKDAYS[day.low] - line.on.weekday()) % 7
    if not ahead:
        tonight = f"tonight {low:g}{'F' if line.way.celsius else ''}"
        raise Refused(f"Today is {day.text}: write '{tonight}'.", "ambiguous", (tonight,))
    night = line.on + timedelta(days=ahead)
    line.remark(f"{night_name(night)}, {short_day(night)}")
    return line.draft("forecast", f=low, night=night.isoformat())


def _example(word: str) -> str:
    return {"wind": "18", "high": "61"}.get(word, "34")


def dusk(line: Line) -> Reading:
    """ "dusk 52 dew 44 clear", "dusk 52 rh 74 cloudy": two hours after sunset, degrees F."""
    skies = list(dict.fromkeys(SKY_WORDS[t.low] for t in line.take_words(SKY_WORDS)))
    if len(skies) > 1:
        raise Refused("Clear and calm, or not? Write clear, cloudy or windy.", "ambiguous")
    dew = _after(line, ("dew",), SCALES)
    humidity = _after(line, ("rh", "humidity"), ("", "%"))
    degrees = line.take_degrees("degrees")
    if degrees is None and (bare := line.take_number("degrees")) is not None:
        degrees = line.fahrenheit(bare)
    line.refuse_leftovers(SKY_WORDS)
    if degrees is None or (dew is None) == (humidity is None):
        raise Refused(
            "What is it two hours after sunset? Write the degrees and the dew point (or the humidity): "
            f"dusk {typed_low(52)} dew {typed_low(44)} clear.",
            near=("dew", "rh"),
        )
    if dew is None and humidity is not None:
        dew = _dew_point_f(degrees, humidity)
        line.remark(f"dew point {told_degrees(dew)}, from {humidity:g} %")
    return line.reading(line.draft("dusk", f=degrees, dew_f=dew, sky=skies[0] if skies else None))


def _after(line: Line, forms: tuple[str, ...], units: tuple[str, ...]) -> Number | None:
    """The number after one of the words, both taken; None where none of them is there."""
    for word in line.free():
        if not word.is_word or word.low not in forms:
            continue
        value = line.after(word)
        if value is not None and value.low == "point":
            value.taken = True
            value = line.words[line.words.index(value) + 1] if value is not line.words[-1] else None
        if value is None or value.number is None or value.unit not in units:
            raise Refused(f"How much? Write the number after '{word.low}'.")
        word.taken = value.taken = True
        return line.fahrenheit(value.number, value.unit) if units is SCALES else value.number
    return None


def _dew_point_f(degrees: Number, humidity: Number) -> float:
    found = air(c_from_f(degrees), humidity)
    if isinstance(found, Problem):
        raise Refused(found.sentence, found.code)
    return round(f_from_c(found.dew_point_c), 1)


def _claims_weather(line: Line, token: Token) -> int:
    """ "low", "wind" and their like are also causes: a line that begins with one, or names no crop, is weather."""
    if has_bed(line):
        return NOT
    return LIKELY if token is line.words[0] or not names_crop(line) else NOT


def _always(line: Line, token: Token) -> int:
    """ "clear" in the line is how the night is, nothing that is done."""
    return ALWAYS


_JOB = "Weather and frost"

VERBS = (
    Verb(
        "weather",
        weather,
        _JOB,
        (
            (
                "low {typed_low:34} high {typed_low:61}",
                "last night and today, degrees {degrees_unit}; -2C on any farm (help units)",
            ),
            ("tonight {typed_low:38}", "the low forecast for tonight"),
            (
                "tonight {typed_low:38} sat {typed_low:31}",
                "and for the night after Saturday; alone: sat night {typed_low:31}",
            ),
            ("wind {typed_wind:18}", "{wind_word}"),
        ),
        (words(*SUBJECT.loose["weather"]),),
        follow=("high", "tonight", "wind", "yesterday"),
        own_day=True,
        claims=_claims_weather,
        take=leave_word,
    ),
    Verb(
        "dusk",
        dusk,
        _JOB,
        (
            (
                "dusk {typed_low:52} dew {typed_low:44} clear",
                "two hours after sunset; or by the humidity: dusk {typed_low:52} rh 74 cloudy",
            ),
        ),
        (words("dew", "rh", *SKIES),),
        follow=(*SKIES, "yesterday"),
        claims=_always,
    ),
    *FROST,
)
