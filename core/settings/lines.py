"""The book itself: the farm's settings, own figures, notes, makings, undo and strike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import islice

from core.codes import MOST_ALIKE, canonical, code_in, named
from core.crops.sheet import KINDS
from core.dialect import AMERICAN, BRITISH, DIALECTS
from core.farm import Farm
from core.language.crops import need_crop, take_variety, take_way
from core.language.days import take_day
from core.language.line import Line, Reading, Refused, either, short
from core.language.offers import crops, varieties, words
from core.language.tokens import Number, Token
from core.language.verb import Verb
from core.measures import LENGTHS
from core.mending.lines import entry_named
from core.patterns import pattern
from core.problems import Matter
from core.register import given_again
from core.settings import bloom_lines, crop_lines
from core.settings.figure_lines import correct_figure, figure_at, take_value, which_figure
from core.settings.kinds import WINTER_ZONES, WIRE_STANDARDS, open_clashes
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
    "degrees": "degrees",
    "lengths": "lengths",
    "length": "lengths",
    "hours": "hours",
    "clock": "hours",
    "winters": "winters",
    "winter": "winters",
}


_PLACE = pattern(r"([+-]?\d+(?:\.\d+)?)([nsew]?)")
_ENTRY_ID = pattern(r"[0-9a-f][0-9a-f-]{3,35}")


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
            fields[name] = _degrees_of_place(line, name, value)
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
        elif name in _UNITS:
            fields[name] = _unit(name, value)
        elif name == "name" and not value.quoted:
            fields[name] = _name(line, value)
            continue
        else:
            fields[name] = value.text
        value.taken = True
    line.refuse_leftovers(FARM_WORDS)
    if not fields:
        raise Refused(
            f"Say what to set: {either(tuple(dict.fromkeys(FARM_WORDS.values())))}.",
            near=tuple(dict.fromkeys(FARM_WORDS.values())),
        )
    return line.reading(line.draft("farm", **fields))


def _degrees_of_place(line: Line, name: str, value: Token) -> Number:
    """ "-43.5", "43.5 S", "43.5S": south and west are below 0."""
    north, south = "ns" if name == "latitude" else "ew"
    found, after = _PLACE.fullmatch(value.low), line.after(value)
    side = found[2] if found else ""
    if found and not side and after is not None and after.low in (north, south):
        side, after.taken = after.low, True
    if found is None or side not in ("", north, south) or (side and found[1].startswith("-")):
        raise Refused(
            f"The {name} is a number of degrees, such as {'44.1' if name == 'latitude' else '-72.6'}."
        )
    degrees = float(found[1]) * (-1 if side == south else 1)
    return int(degrees) if degrees == int(degrees) else degrees


_UNITS: Mapping[str, tuple[Mapping[str, str | int], str]] = {
    "degrees": ({"f": "F", "fahrenheit": "F", "c": "C", "celsius": "C"}, "F, or C"),
    "lengths": (LENGTHS, "feet, or meters"),
    "hours": ({"12": 12, "12h": 12, "24": 24, "24h": 24}, "12, or 24"),
    "winters": (
        {f"{zone}{half}": zone for zone in WINTER_ZONES for half in ("", "a", "b")},
        "4, or 6 (the zone on the map of hardiness)",
    ),
}
"""Setting -> (as it is typed -> as it is kept, the choice there is)."""


def _unit(name: str, value: Token) -> str | int:
    said = _UNITS[name][0].get(value.low)
    if said is None:
        choice = _UNITS[name][1]
        raise Refused(
            f"In which {name} is the farm told? Write farm {name} {choice}.", near=choice.split(", or ")
        )
    return said


def _name(line: Line, first: Token) -> str:
    """The words of a name up to the next setting."""
    last = first
    first.taken = True
    while (token := line.after(last)) is not None and token.low not in FARM_WORDS:
        token.taken = True
        last = token
    return line.text[first.start : last.end]


def sheet(line: Line) -> Reading:
    """ "sheet strawflower early drying_days 14-21 own record": a figure of the farm's own and its source; with a
    variety ("sheet zinnia lime days to first cut 70") it is that variety's alone."""
    words, figure = _figure(line)
    crop = need_crop(line)
    way = take_way(line, crop)
    variety = take_variety(line, crop)
    if way and variety:
        raise Refused(f"Of {variety}, or of {crop} grown the {way} way? Write one of them.", "ambiguous")
    value, left = take_value(line, crop, figure, words)
    for token in left:
        token.taken = True
    source = line.text[left[0].start : left[-1].end].strip("'\" ") if left else None
    line.refuse_leftovers(KINDS)
    said = {"figure": figure, "value": value, "source": source}
    if variety is not None:
        return line.reading(line.draft("variety sheet", crop=crop, variety=variety, **said))
    return line.reading(line.draft("sheet", crop=crop, way=way, **said))


def _figure(line: Line) -> tuple[list[Token], str]:
    """(the words after the figure that is named, set aside until the crop is found; the figure)."""
    words = line.free()
    several: list[str] = []
    of_names = _in_names(line, words)
    for i in range(1, len(words)):
        if i in of_names:
            continue
        found, length = figure_at(words[i:])
        if length:
            for token in words[i:]:
                token.taken = True
            return words[i + length :], found[0]
        several = several or found
    if several:
        raise which_figure(several)
    last = words[-1] if words else None
    near = nearest(last.low, KINDS) if last else ()
    hint = either(near) if near else "spacing, days to dry or another line of the crop's sheet"
    raise Refused(f"Which figure? Write its name and its value: {hint}.", "unknown", near)


def _in_names(line: Line, words: list[Token]) -> set[int]:
    """Which of the words stand in the name of a variety she has, be they called as a figure is: "color guard"."""
    farm = line.farm
    grown = [tray.variety for tray in farm.trays.live()] + [p.variety for p in farm.plantings.live()]
    grown += [variety for known in farm.varieties.values() for variety in known]
    names = {tuple(variety.lower().split()) for variety in grown if variety}
    lows = [token.low for token in words]
    return {
        i + n
        for name in names
        if len(name) > 1
        for i in range(len(lows))
        if tuple(lows[i : i + len(name)]) == name
        for n in range(len(name))
    }


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
    yield from (name.replace("_", " ") for name in KINDS)
    yield from KINDS


CHANGES = {
    "crop": crop_lines.correct_crop,
    "sheet": correct_figure,
    "variety sheet": correct_figure,
}

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
        "crop",
        crop_lines.crop,
        _JOB,
        (
            (
                "crop didiscus like ammi",
                "a crop that the library lacks: yours, with the figures of one like it",
            ),
            (
                "crop tea rose perennial woody, fresh",
                "or with as much as you know: spacing 36, stage 'soft bud'",
            ),
        ),
        (crop_lines.offers,),
        follow=(),
        own_day=True,
        own_words=True,
        claims=crop_lines.claims,
    ),
    Verb(
        "sheet",
        sheet,
        _JOB,
        (
            ("sheet strawflower days to dry 14-21 own record", "a figure of your own in the crop's sheet"),
            (
                "sheet zinnia lime days to first cut 70",
                "or of one variety: color, height, form, group, stems",
            ),
        ),
        (crops, varieties, _figures),
        follow=(),
        own_day=True,
        own_words=True,
    ),
    Verb(
        "bloom",
        bloom_lines.bloom,
        _JOB,
        (
            (
                "peony blooms 1 july",
                "here, or of one variety: looked at for cutting from then, each year",
            ),
        ),
        (crops, varieties),
        follow=(),
        own_day=True,
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
            ("farm lengths meters degrees C", "or the other way; 'farm hours 12' tells pm and am"),
            ("farm winters 6", "your zone of hardiness: what lives through the winter from a fall sowing"),
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
