"""The book itself: the farm's settings, own figures, notes, makings, undo and strike."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from itertools import islice

from core.codes import MOST_ALIKE, canonical, code_in, named
from core.crops.library import check_own_figure
from core.crops.sheet import KINDS
from core.dialect import AMERICAN, BRITISH, DIALECTS
from core.farm import Farm
from core.language.crops import need_crop, take_way
from core.language.days import take_day
from core.language.line import Line, Reading, Refused, either, short
from core.language.offers import crops, varieties, words
from core.language.tokens import Number, Token
from core.language.verb import Verb
from core.mending.lines import entry_named
from core.problems import Matter
from core.register import given_again
from core.settings.kinds import WIRE_STANDARDS, open_clashes
from core.text import nearest

FARM_WORDS: Mapping[str, str] = {
    "name": "name",
    "latitude": "latitude",
    "lat": "latitude",
    "longitude": "longitude",
    "lon": "longitude",
    "zone": "zone",
    "wire": "wire",
    "words": "words",
}


FIGURES_MEANT: Mapping[str, str] = {"spacing": "spacing_in", "stage": "fresh_stage"}
"""Short words for a figure of the crop sheet that several figures begin with."""

_ENTRY_ID = re.compile(r"[0-9a-f][0-9a-f-]{3,35}")


def farm(line: Line) -> Reading:
    """ "farm latitude 44.1 longitude -72.6 zone America/New_York", "farm name 'Low Barn'"."""
    fields: dict[str, str | Number] = {}
    for word in [t for t in line.free() if t.is_word and t.low in FARM_WORDS]:
        if word.taken:
            continue
        name = FARM_WORDS[word.low]
        value = line.after(word)
        if value is None:
            raise Refused(f"What {name}? Write it after the word.")
        word.taken = True
        if name in ("latitude", "longitude"):
            if value.number is None or value.unit:
                raise Refused(
                    f"The {name} is a number of degrees, such as {'44.1' if name == 'latitude' else '-72.6'}."
                )
            fields[name] = value.number
        elif name == "wire":
            if value.text.upper() not in WIRE_STANDARDS:
                raise Refused("Wire is sold by SWG or by AWG: write farm wire SWG.", near=WIRE_STANDARDS)
            fields[name] = value.text.upper()
        elif name == "words":
            if value.low not in DIALECTS:
                raise Refused(
                    "Whose words? Write farm words british, or farm words american.", near=(BRITISH, AMERICAN)
                )
            fields[name] = DIALECTS[value.low]
        elif name == "name" and not value.quoted:
            fields[name] = _name(line, value)
            continue
        else:
            fields[name] = value.text
        value.taken = True
    line.refuse_leftovers(FARM_WORDS)
    if not fields:
        raise Refused(
            "Say what to set: name, latitude, longitude, zone, wire or words.",
            near=tuple(dict.fromkeys(FARM_WORDS.values())),
        )
    return line.reading(line.draft("farm", **fields))


def _name(line: Line, first: Token) -> str:
    """The words of a name up to the next setting."""
    last = first
    first.taken = True
    while (token := line.after(last)) is not None and token.low not in FARM_WORDS:
        token.taken = True
        last = token
    return line.text[first.start : last.end]


def sheet(line: Line) -> Reading:
    """ "sheet strawflower early drying_days 14-21 own record": a figure of the farm's own and its source."""
    figure, value, source = _figure(line)
    crop = need_crop(line)
    way = take_way(line, crop)
    line.refuse_leftovers(KINDS)
    if problem := check_own_figure(crop, figure, value):
        raise Refused(problem.sentence, problem.code, problem.nearest)
    return line.reading(line.draft("sheet", crop=crop, way=way, figure=figure, value=value, source=source))


def _figure(line: Line) -> tuple[str, str, str | None]:
    """The figure (by its beginning, in one word or several), its value, and the rest as its source."""
    words = line.free()
    several: list[str] = []
    for i in range(1, len(words)):
        for length in range(min(5, len(words) - i), 0, -1):
            run = words[i : i + length]
            if not all(t.is_word for t in run):
                continue
            typed = "_".join(t.low for t in run)
            meant = _figures_called(typed)
            if len(meant) == 1:
                for token in run:
                    token.taken = True
                return (meant[0], *_value(line, meant[0], words[i + length :]))
            several = several or meant
    if several:
        raise Refused(f"Which figure: {either(several[:6])}?", "ambiguous", several[:6])
    last = words[-1] if words else None
    near = nearest(last.low, KINDS) if last else ()
    hint = either(near) if near else "spacing, drying_days or another line of the crop's sheet"
    raise Refused(f"Which figure? Write its name and its value: {hint}.", "unknown", near)


def _figures_called(typed: str) -> list[str]:
    if typed in KINDS:
        return [typed]
    if typed in FIGURES_MEANT:
        return [FIGURES_MEANT[typed]]
    if len(typed) < 3:
        return []
    return [name for name in KINDS if name.startswith(typed)]


def _value(line: Line, figure: str, rest: list[Token]) -> tuple[str, str | None]:
    if not rest:
        raise Refused(f"What is its {figure}? Write the value after it.")
    for token in rest:
        token.taken = True
    is_range = (
        len(rest) >= 3 and rest[0].number is not None and rest[1].low == "to" and rest[2].number is not None
    )
    used = 3 if is_range else 1
    if KINDS[figure] == "str" and not rest[0].quoted:
        used = len(rest)
    value = rest[0].text if used == 1 else line.text[rest[0].start : rest[used - 1].end]
    left = rest[used:]
    source = line.text[left[0].start : left[-1].end].strip("'\" ") if left else None
    return value, source


def note(line: Line) -> Reading:
    """ "note b3 slugs along the north edge": the rest as it is, about the bed, tray or lot that leads it."""
    words = line.words
    start = next(i for i, t in enumerate(words) if t.is_word and t.low == "note")
    if start > 0:
        later = words[start + 1 :]
        for token in later:
            token.taken = True
        words[start].taken = True
        take_day(line)
        line.refuse_leftovers()
    words[start].taken = True
    rest = words[start + 1 :]
    for token in rest:
        token.taken = True
    about = None
    if len(rest) > 1 and (about := _about(line, rest[0])):
        rest = rest[1:]
    if not rest or (len(rest) == 1 and _about(line, rest[0])):
        raise Refused("What is the note? Write it after the word: note b3 slugs along the north edge.")
    text = rest[0].text if len(rest) == 1 else line.text[rest[0].start :].strip()
    return line.reading(line.draft("note", about=about, text=text))


def _about(line: Line, token: Token) -> str | None:
    if token.low in line.farm.beds:
        return token.low
    code = canonical(token.low)
    return code if code is not None and named(line.farm, code) is not None else None


def settled(line: Line) -> Reading:
    """ "settled L001-2": what was given a code that another machine gave too has its own on the tag now."""
    words = line.free()
    code = code_in(words[0].low) if len(words) == 1 else ""
    if not code:
        raise Refused("What is settled? Write its code: settled L001-2.")
    words[0].taken = True
    clashes = {m.entry: _name_now(line.farm, m) for m in open_clashes(line.farm, code)}
    meant = {entry: name for entry, name in clashes.items() if name == code} or clashes
    if not meant:
        raise Refused(f"{code} was not given twice, or is settled already.", "impossible")
    if len(meant) > 1:
        raise Refused(f"Which is settled: {either([*meant.values()])}?", "ambiguous", [*meant.values()])
    ((ref, name),) = meant.items()
    return line.reading(line.draft("settled", about=name, ref=ref))


def _name_now(farm: Farm, clash: Matter) -> str:
    """What is called otherwise for a clash, as it is called now."""
    given = clash.key[1]
    names = islice(given_again(given), MOST_ALIKE + 1)
    return next((n for n in names if (it := named(farm, n)) is not None and it.made_by == clash.entry), given)


def undo(line: Line) -> Reading:
    """ "undo", or "undo yes" for what is asked about first: the last line is taken back; the session knows which."""
    line.take_words(("that", "it", "last"))
    sure = [word for word in line.free() if word.low == "yes"]
    for word in sure:
        word.taken = True
    line.refuse_leftovers()
    return Reading((), undo=True, sure=bool(sure))


def strike(line: Line) -> Reading:
    """ "strike 0190a3...": the entry with that id, or whose id begins so, is struck."""
    words = line.free()
    if len(words) != 1:
        raise Refused(
            "Take back which entry? Write the code of what it made, or its id: cancel L041. 'undo' takes back the last."
        )
    typed = entry_named(line, words[0].low) or words[0].low.rstrip(".")
    if not _ENTRY_ID.fullmatch(typed):
        raise Refused(f"'{short(words[0].text)}' is no entry's id: it begins like 0190a3.", "unknown")
    words[0].taken = True
    return line.reading(line.draft("strike", entry=typed))


_JOB = "The book"


def _figures(line: Line, farm: Farm) -> Iterable[str]:
    return KINDS


VERBS = (
    Verb(
        "note",
        note,
        _JOB,
        (("note b3 slugs along the north edge", "a note about a bed, tray or lot, or about nothing"),),
        follow=(),
        own_day=True,
        own_words=True,
    ),
    Verb(
        "sheet",
        sheet,
        _JOB,
        (("sheet strawflower drying_days 14-21 own record", "a figure of your own in the crop's sheet"),),
        (crops, varieties, _figures),
        follow=(),
        own_day=True,
        own_words=True,
    ),
    Verb(
        "farm",
        farm,
        _JOB,
        (
            ("farm name 'Low Barn' latitude 44.1", "also longitude, zone; 'farm wire SWG' for gauges"),
            (
                "farm words british",
                "spelled so, the day before the month, degrees C; or: farm words american",
            ),
        ),
        (words(*FARM_WORDS),),
        follow=tuple(dict.fromkeys(FARM_WORDS.values())),
    ),
    Verb(
        "undo",
        undo,
        _JOB,
        (
            ("40 strawflower b3 dry yesterday", "any line may say its day: mon, 20 june, on 2026-06-20"),
            ("undo", "takes your last line back; 'cancel 0190a3' an older one"),
        ),
        own_day=True,
    ),
    Verb(
        "settled",
        settled,
        _JOB,
        (("settled M001-2", "two machines gave one code, and the later has its own tag now"),),
        follow=(),
    ),
    Verb("strike", strike, follow=(), own_day=True),
)
