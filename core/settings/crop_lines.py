"""A crop of the farm's own in one line: "crop didiscus like ammi", "crop 'tea rose' perennial woody, fresh"."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from core.book.entry import Entry
from core.codes import canonical
from core.crops.figure_words import example, how_to_write
from core.crops.library import crop_called, crop_names, crops_with
from core.crops.own_crop import own_names
from core.crops.sheet import HARDINESS_CLASSES
from core.farm import Farm
from core.field_words import CODE_LONGEST
from core.language.crops import LONGEST_NAME, crops_called
from core.language.line import Line, Reading, Refused, either, not_understood, short
from core.language.tokens import Token
from core.language.verb import FIRST, NOT
from core.language.words import FILLERS, UNIT_WORDS, USE_OF, is_keyword
from core.settings.figure_lines import figure_at, take_value, which_figure
from core.settings.kinds import library_has
from core.settings.sheets import farm_sheet
from core.text import nearest, nearly

LIKE = "like"
CYCLES: Mapping[str, str] = {
    form: cycle
    for cycle, forms in {
        "annual": ("annual", "annuals"),
        "biennial": ("biennial", "biennials"),
        "perennial": ("perennial", "perennials"),
        "shrub": ("shrub", "shrubs", "woody", "bush", "tree"),
        "bulb": ("bulb", "bulbs"),
        "corm": ("corm", "corms"),
        "tuber": ("tuber", "tubers"),
    }.items()
    for form in forms
}
"""A word for the kind of plant -> the kind."""
HARDINESS = HARDINESS_CLASSES
_KNOWN = (LIKE, *CYCLES, *HARDINESS, *USE_OF)
_JOINS = ("and", "but", "for", "a", "an", "is")
ASKED_FOR = ("days_to_first_cut", "stems_per_plant", "cut_weeks", "spacing_in")
"""The figures without which no plan can be made of any crop."""


def crop(line: Line) -> Reading:
    """A crop of the farm's own: its name, the crop it is like, and what is told of it."""
    words = line.free()
    name, rest = _name(line, words)
    like, figures = _told(line, name, rest)
    known = name in line.farm.crops
    if not like and not figures:
        raise Refused(_says_nothing(line.farm, name, known), near=(LIKE, "annual", "perennial", "biennial"))
    drafts = [line.draft("crop", crop=name, like=like)] if like or not known else []
    drafts += [line.draft("sheet", crop=name, figure=f, value=value) for f, value in figures.items()]
    _remark(line, name, like, figures)
    return line.reading(*drafts)


def _says_nothing(farm: Farm, name: str, known: bool) -> str:
    if known:
        return f"{name} is a crop of yours already: write a figure of it, such as {how_to_write(name, 'spacing_in')}."
    return (
        f"What is {name}? Write what it is like (like zinnia), or annual, biennial, perennial, woody, bulb."
    )


def _remark(line: Line, name: str, like: str | None, figures: Mapping[str, str]) -> None:
    """Whose figures hold, or which are missing for a plan and the line that gives them."""
    if like:
        line.remark(f"all that you do not tell of {name} is taken from {like}, until you write your own")
        return
    sheet = farm_sheet(line.farm, name)
    have = sheet.figures() if sheet is not None else {}
    missing = [figure for figure in ASKED_FOR if figure not in figures and figure not in have]
    if missing:
        said = ", ".join(example(figure) for figure in missing)
        line.remark(f"a plan for it wants more, such as: crop {name} {said}")


# its name


def _name(line: Line, words: list[Token]) -> tuple[str, list[Token]]:
    """(the crop's name in small letters, the words after it); refused where it cannot be one, asked where it may be a
    slip of another."""
    if not words:
        raise Refused("Which crop? Write its name, and what it is like: crop didiscus like ammi.")
    if words[0].quoted:
        run, rest = words[:1], words[1:]
    else:
        end = next((n for n in range(len(words)) if _ends_name(words[n:])), len(words))
        run, rest = words[:end], words[end:]
    for token in run:
        token.taken = True
    name = " ".join(t.low for t in run)
    _refuse_no_name(line, name, run)
    if name not in own_names(line.farm):
        _ask_slip(line, name, quoted=run[0].quoted)
    return name, rest


def _ends_name(words: list[Token]) -> bool:
    first = words[0]
    if not first.is_word:
        return True
    has_value = len(words) > 1 and words[1].number is not None
    found, length = figure_at(words, exact=not has_value)
    return first.low in (*_KNOWN, "half") or bool(length or (has_value and found))


def _refuse_no_name(line: Line, name: str, run: list[Token]) -> None:
    shown = short(name)
    if not name:
        raise Refused("Which crop? Write its name first: crop didiscus like ammi.")
    parts = name.split()
    if len(name) > CODE_LONGEST or len(parts) > LONGEST_NAME:
        raise Refused(f"'{shown}' is too long for a name: four words, {CODE_LONGEST} letters at most.")
    if len(name) < 3 or any(c.isdigit() for c in name) or canonical(name) or not name[0].isalpha():
        raise Refused(f"A crop is called by letters, three at least, not '{shown}'.")
    if "," in name or parts[0] in FILLERS or parts[-1] in FILLERS or parts[0] in UNIT_WORDS:
        raise Refused(f"'{shown}' cannot be read as a name in a line: call the crop otherwise.", "impossible")
    if len(parts) == 1 and (is_keyword(name) or name in line.farm.beds):
        raise Refused(
            f"'{shown}' means something else in a line: call the crop by two words, such as '{shown} flower'.",
            "impossible",
        )


def _ask_slip(line: Line, name: str, *, quoted: bool) -> None:
    """Whether a new name is one of the library's, or a slip of a known one: in quotes it is taken at its word."""
    if (crop := crop_called(name)) is not None:
        problem = library_has(name, crop)
        raise Refused(problem.sentence, problem.code, problem.nearest)
    if quoted:
        return
    known = [*line.farm.own_crops, *crop_names()]
    near = [*crops_called(name, line.farm.own_crops), *_slips(name, known)]
    if near := list(dict.fromkeys(near))[:3]:
        raise Refused(
            f"'{short(name)}' is new. Did you mean {either(near)}? A crop so like it is written in quotes: "
            f"crop '{short(name)}' like {near[0]}.",
            "unknown",
            near,
        )


def _slips(name: str, known: list[str]) -> Iterable[str]:
    low = {other.lower(): other for other in known}
    return [low[n] for n in dict.fromkeys((*nearly(name, low), *nearest(name, low, cutoff=0.82)))]


# what is told of it


def _told(line: Line, name: str, rest: list[Token]) -> tuple[str | None, dict[str, str]]:
    """(the crop it is like, figure -> value)."""
    like: str | None = None
    cycle: list[str] = []
    uses: list[str] = []
    figures: dict[str, str] = {}
    while rest:
        first, figure = rest[0], figure_at(rest, exact=True)
        if first.is_word and first.low == LIKE:
            first.taken = True
            like, rest = _like(line, name, rest[1:])
            continue
        if not figure[1] and _is_told(first.low, first.is_word, rest, cycle, uses, figures):
            rest = [t for t in rest if not t.taken]
            continue
        found, length = figure if figure[1] else figure_at(rest)
        if not length:
            raise which_figure(found) if found else not_understood(first, _KNOWN, "crop")
        for token in rest[:length]:
            token.taken = True
        figures[found[0]], rest = take_value(line, name, found[0], rest[length:])
    if cycle:
        figures["life_cycle"] = _kind_of_plant(cycle, figures.get("hardiness"))
    if uses:
        figures["uses"] = ", ".join(dict.fromkeys(uses))
    return like, figures


def _is_told(
    word: str, is_word: bool, rest: list[Token], cycle: list[str], uses: list[str], figures: dict[str, str]
) -> bool:
    """Whether the first of the words tells the kind of plant, its hardiness or a use, or is a small word; it is taken
    and kept."""
    if [t.low for t in rest[:2]] == ["half", "hardy"]:
        rest[1].taken = True
        figures["hardiness"] = "half-hardy"
    elif is_word and word in CYCLES:
        cycle.append(CYCLES[word])
    elif is_word and word in HARDINESS:
        figures["hardiness"] = word
    elif is_word and word in USE_OF:
        uses.append(USE_OF[word])
    elif not is_word or word not in (*_JOINS, *FILLERS):
        return False
    rest[0].taken = True
    return True


def _kind_of_plant(cycle: list[str], hardiness: str | None) -> str:
    """ "hardy annual", "perennial", "perennial (shrub)" as the sheets say it."""
    first, *more = dict.fromkeys(cycle)
    if more and "perennial" in (first, *more):
        first, more = "perennial", [other for other in (first, *more) if other != "perennial"]
    said = f"{hardiness} {first}" if hardiness and first == "annual" else first
    return f"{said} ({', '.join(more)})" if more else said


def _like(line: Line, name: str, rest: list[Token]) -> tuple[str, list[Token]]:
    """(the crop that it is like, the words after it)."""
    own = line.farm.own_crops
    for length in range(min(LONGEST_NAME, len(rest)), 0, -1):
        run = rest[:length]
        text = " ".join(t.low for t in run)
        found = crops_called(text, (*own, name)) if all(t.number is None for t in run) else ()
        if not found:
            continue
        if len(found) > 1:
            raise Refused(
                f"'{short(text)}' may be {either(found[:6])}: write more of it.", "ambiguous", found[:6]
            )
        if found[0] == name:
            raise Refused(f"{name} cannot be like itself: name another crop.", "impossible")
        for token in run:
            token.taken = True
        return found[0], rest[length:]
    if not rest:
        raise Refused(f"Like what is {short(name)}? Write a crop after 'like'.")
    near = crops_with(rest[0].low, own)[:3]
    raise Refused(
        f"No crop is called '{short(rest[0].text)}'." + (f" Did you mean {either(near)}?" if near else ""),
        "unknown",
        near,
    )


def correct_crop(line: Line, entry: Entry) -> dict[str, str]:
    """ "7f3a09c2 was like cosmos": the crop that one of the farm's own is like."""
    words = line.free()
    if not words or words[0].low != LIKE:
        raise Refused("What was it like? Write it so: was like cosmos.")
    words[0].taken = True
    like, _ = _like(line, entry.fields["crop"], words[1:])
    line.refuse_leftovers()
    return {"like": like}


def claims(line: Line, token: Token) -> int:
    """Only a line that begins with the word is about a crop of the farm's own."""
    return FIRST if token is line.words[0] else NOT


def offers(line: Line, farm: Farm) -> Iterable[str]:
    """What may be told of a crop, and the crops that it may be like."""
    told = {t.low for t in line.words}
    if line.words and line.words[-1].low == LIKE:
        yield from farm.own_crops
        yield from crop_names()
        return
    if LIKE not in told:
        yield LIKE
    yield from (
        *dict.fromkeys(CYCLES.values()),
        *HARDINESS,
        *dict.fromkeys(USE_OF.values()),
        "spacing",
        "days",
    )
