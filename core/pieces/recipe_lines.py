"""Recipes in one line: written, copied from the library or from another, a part changed, dropped."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import takewhile

from core.book.entry import Draft
from core.codes import canonical
from core.farm import Farm, Recipe
from core.happened import PartForm, PartOf
from core.language.crops import no_crop, take_crop, take_variety
from core.language.line import Line, Reading, Refused, either, short, whole
from core.language.tokens import Token
from core.language.words import FILLERS, USE_OF, is_keyword
from core.makings.lines import making_and_count
from core.marked import size_word, typed_size, with_figures
from core.patterns import pattern
from core.pieces.kinds import PIECES, check_name, find_recipe
from core.pieces.making import part_text
from core.pieces.parts import ANY, MAKING
from core.pieces.recipes import LIBRARY, ROLES, LibraryRecipe, library_called
from core.pieces.taking import sized_parts
from core.problems import Problem
from core.settings.sheets import sheet_bunch
from core.text import nearest
from core.units import plainly

PIECE_OF: Mapping[str, str] = {
    "head": "wired head",
    "heads": "wired head",
    "boutonniere": "boutonniere",
    "buttonhole": "boutonniere",
    "corsage": "corsage",
    "crown": "crown",
    "wreath": "wreath",
    "bouquet": "bouquet",
    "posy": "bouquet",
    "centerpiece": "centerpiece",
    "centrepiece": "centerpiece",
}
"""Words for a sort of piece -> the sort."""


_MAKING_WORDS = (
    "wire tape ring hoop frame base ribbon raffia twine string lace pin glue foam moss vase jar bowl sleeve wrap "
    "paper card bow magnet clip comb elastic tube pick"
)


MAKING_WORDS = frozenset(_MAKING_WORDS.split())
"""Words that begin the name of a making: "ring 12in" in a recipe is no crop, though none was bought yet."""

_FORM: Mapping[str, PartForm] = {"fresh": "fresh", "dry": "dry", "wire": "wired"}
_FORM_OF = {word: _FORM[use] for word, use in USE_OF.items() if word != "wire"}
_PLURALS = {"fillers": "filler", "grasses": "grass", "greenery": "foliage", "greens": "foliage"}
_ENDS_PART = pattern(r"[,;]\s*\Z")
_EXAMPLE = (
    "recipe winter-wreath wreath {typed_size:12} 60min: 100 dry statice, 1 ring {typed_size:12}, 2 wire 26"
)


def recipe(line: Line) -> Reading:
    """ "recipe winter-wreath wreath 12in 60min: 100 dry statice, 1 ring 12in", "recipe crown-b as crown 24in"."""
    head, written = _head_and_parts(line)
    name = _take_name(head)
    known = line.farm.recipes.get(name)
    size, minutes = positive(head, "in", size_word()), positive(head, "min", "minutes")
    base = _take_base(head)
    if base is not None and written:
        raise Refused(
            f"Write the parts of {name}, or 'as {_called(base)}', not both; a part is changed with 'part'."
        )
    if base is not None:
        return _copied(line, head, name, base, size, minutes)
    sort = _take_sort(head, name, known)
    if not written and any(t.number is not None and not t.unit for t in head.free()):
        raise Refused(
            f"Write a colon before the parts: recipe {name} {sort}: 100 dry statice, 1 ring {typed_size(12)}."
        )
    head.refuse_leftovers(PIECE_OF)
    parts = _summed(_read_part(line, tokens) for tokens in written)
    if known is None and not parts:
        raise Refused(
            f"What goes into {name}? Write its parts after a colon, or begin from the library: recipe {name} as "
            f"{sort if sort in LIBRARY else 'wreath'}.",
            near=("as",),
        )
    if known is not None and not parts and size is minutes is None and sort == known.sort:
        raise Refused(
            f"{name} is on record, {_told(known)}. A part is changed so: part {name} 6 dry strawflower."
        )
    if any(part.number == 0 for part in parts):
        raise Refused(
            f"None of a part is no part: leave it out; 'part {name} 0 ...' takes one out.", "impossible"
        )
    return _written(line, name, sort, size, minutes, parts)


def _told(known: Recipe) -> str:
    """ "a wreath of 100 dry statice, 1 ring 12in"."""
    parts = ", ".join(part_text(part.what, part.form, part.number) for part in known.parts)
    return f"a {known.sort} of {parts}" if parts else f"a {known.sort} without parts"


def _written(
    line: Line, name: str, sort: str, size: float | None, minutes: float | None, parts: list[PartOf]
) -> Reading:
    """The recipe and the parts that are new or other than they were; parts left out of a new list are taken out."""
    known = line.farm.recipes.get(name)
    before = known.parts if known else []
    gone = [
        part._replace(number=0) for part in before if parts and not any(_same(part, new) for new in parts)
    ]
    if known is not None:
        size = known.size_in if size is None else size
        minutes = known.minutes if minutes is None else minutes
        line.remark(f"{name} was on record: it is changed")
    changed = [*gone, *(part for part in parts if part not in before)]
    return line.reading(
        line.draft("recipe", recipe=name, sort=sort, size_in=size, minutes=minutes),
        *(_part_draft(line, name, part) for part in changed),
    )


def _same(one: PartOf, other: PartOf) -> bool:
    return (one.what, one.form) == (other.what, other.form)


def _part_draft(line: Line, name: str, part: PartOf) -> Draft:
    return line.draft("part", recipe=name, what=part.what, count=part.number, form=part.form)


def _copied(
    line: Line,
    head: Line,
    name: str,
    base: Recipe | LibraryRecipe,
    size: float | None,
    minutes: float | None,
) -> Reading:
    """A copy of a recipe of the library or of her own, in the size and form said."""
    forms = {_FORM_OF[t.low] for t in head.take_words(_FORM_OF)}
    if len(forms) > 1:
        raise Refused(f"{either(sorted(forms), 'and')}: in which form? Write one.", "ambiguous")
    head.refuse_leftovers(_FORM_OF)
    ratio = 1.0
    if size is not None and base.size_in is None:
        raise Refused(f"{_called(base)} has no size: leave the {size_word()} out.", "impossible")
    if size is not None and base.size_in is not None:
        ratio = size / base.size_in
    rows = base.as_recipe().parts if isinstance(base, LibraryRecipe) else base.parts
    parts = list(sized_parts(rows, ratio, base.size_in, size))
    if forms:
        form = forms.pop()
        parts = [part if part.form == MAKING else part._replace(form=form) for part in parts]
    if isinstance(base, LibraryRecipe):
        line.remark(f"from the library: {with_figures(base.source)}")
        line.remark("a starting point: change what your own hands do otherwise")
    taken = round(base.minutes * max(ratio, 1), 2) if base.minutes else None
    return _written(
        line,
        name,
        base.sort,
        size or base.size_in,
        taken if minutes is None else minutes,
        _summed(parts),
    )


def _called(base: Recipe | LibraryRecipe) -> str:
    return base.name if isinstance(base, LibraryRecipe) else base.code


def part(line: Line) -> Reading:
    """ "part winter-wreath 90 dry statice": one part put in or changed; 0 takes it out."""
    names = [t for t in line.free() if t.is_word and t.low in line.farm.recipes]
    if not names:
        said = next((t.low for t in line.free() if t.is_word and t.low not in FILLERS), "")
        raise refused(_no_recipe(line.farm, said))
    names[0].taken = True
    name = names[0].low
    known = line.farm.recipes[name]
    parts = _summed(_read_part(line, tokens) for tokens in _runs(line, line.free()))
    if not parts:
        raise Refused(f"Which part of {name}? Write it: part {name} 20 dry statice.")
    for new in parts:
        if new.number == 0 and not any(_same(new, row) for row in known.parts):
            here = either(
                [part_text(what, form, n) for what, n, form in known.parts][:4] or ["no part"], "and"
            )
            raise Refused(f"{name} has no {new.form} {new.what} to take out: it has {here}.", "unknown")
    return line.reading(*(_part_draft(line, name, new) for new in parts))


def drop(line: Line) -> Reading:
    """ "drop crown-b": every part is taken out, and the bench shows the recipe no more."""
    named = [t for t in line.free() if t.is_word and t.low in line.farm.recipes]
    named[0].taken = True
    known = line.farm.recipes[named[0].low]
    if not known.parts:
        raise Refused(f"{known.code} has no parts: it is dropped already.", "impossible")
    gone = [row._replace(number=0) for row in known.parts]
    return line.reading(*(_part_draft(line, known.code, part) for part in gone))


def _no_recipe(farm: Farm, said: str) -> Problem:
    found = find_recipe(farm, said)
    if isinstance(found, Problem) and said:
        return found
    return Problem(
        f"Which recipe? Write its name: part {next(iter(farm.recipes), 'winter-wreath')} 20 dry statice.",
        "unreadable",
        tuple(farm.recipes)[:6],
    )


# the words of a recipe


def _head_and_parts(line: Line) -> tuple[Line, list[list[Token]]]:
    """The words before the colon as a line of their own, and the words of every part after it."""
    colon = line.text.find(":")
    words = line.free()
    head = [t for t in words if colon < 0 or t.start < colon]
    return _among(line, head), list(_runs(line, [t for t in words if t not in head]))


def _among(line: Line, words: list[Token]) -> Line:
    """Some words of the line, read by themselves."""
    return Line(line.text, line.farm, line.today, line.known, words, line.on, verb=line.verb)


def _runs(line: Line, words: list[Token]) -> Iterator[list[Token]]:
    """The words of each part: parts end at a comma, a semicolon or "and"."""
    run: list[Token] = []
    for i, token in enumerate(words):
        if token.is_word and token.low == "and":
            token.taken = True
        else:
            run.append(token)
        following = words[i + 1].start if i + 1 < len(words) else len(line.text)
        ends = token.low == "and" or _ENDS_PART.search(line.text[token.start : following])
        if run and (ends or i + 1 == len(words)):
            yield run
            run = []


def _take_name(head: Line) -> str:
    words = [t for t in head.free() if t.is_word]
    if not words:
        raise Refused(f"What is the recipe called? Write its name after the word: {with_figures(_EXAMPLE)}.")
    token = words[0]
    if problem := check_name(token.low):
        raise refused(problem)
    if is_keyword(token.low) or canonical(token.low):
        raise Refused(
            f"'{short(token.low)}' means something else in a line: call the recipe otherwise, such as "
            f"{token.low[:20]}-piece.",
            "impossible",
        )
    token.taken = True
    return token.low


def _take_base(head: Line) -> Recipe | LibraryRecipe | None:
    """The recipe named after "as": one of her own, or one of the library."""
    start = next((t for t in head.free() if t.is_word and t.low == "as"), None)
    if start is None:
        return None
    start.taken = True
    after = (t for t in head.words if t.start > start.start and t.low not in FILLERS)
    words = list(takewhile(lambda t: t.is_word and not t.taken, after))
    named = [t for t in words if t.low not in _FORM_OF]
    if words and words[0].low == "wired":  # "as wired head"
        named = [words[0], *named]
    said = " ".join(t.low for t in named)
    for token in named:
        token.taken = True
    if said in head.farm.recipes:
        return head.farm.recipes[said]
    if (found := library_called(said)) is not None:
        return found
    known = (*head.farm.recipes, *(name.replace(" ", "-") for name in LIBRARY))
    near = nearest(said.replace(" ", "-"), known) if said else ()
    hint = either(near or known[:9])
    raise Refused(f"As which recipe? There is {hint}.", "unknown", near or known[:6])


def _take_sort(head: Line, name: str, known: Recipe | None) -> str:
    """The sort said, that of the recipe before, or the one in the name ("winter-wreath")."""
    found = head.take_words(PIECE_OF)
    if found:
        for word in head.take_words({w for w in PIECE_OF if PIECE_OF[w] == PIECE_OF[found[-1].low]}):
            word.taken = True
        return PIECE_OF[found[-1].low]
    if known is not None:
        return known.sort
    in_name = [PIECE_OF[word] for word in name.split("-") if word in PIECE_OF]
    if in_name:
        return in_name[-1]
    raise Refused(f"What is {name}: a {either(PIECES)}? Write it after the name.", near=PIECES)


def positive(line: Line, unit: str, what: str) -> float | None:
    value = line.take_unit(unit, what)
    if value is not None and value <= 0:
        raise Refused(f"{plainly(value)} {what}: it is more than 0.", "impossible")
    return value


def _summed(parts: Iterable[PartOf]) -> list[PartOf]:
    """The same part written twice is one part."""
    total: dict[tuple[str, PartForm], float] = {}
    for part in parts:
        total[part.what, part.form] = round(total.get((part.what, part.form), 0) + part.number, 3)
    return [PartOf(what, int(n) if n == int(n) else n, form) for (what, form), n in total.items()]


# one part


def _read_part(line: Line, tokens: list[Token]) -> PartOf:
    """ "100 dry statice", "3 bunches dry statice", "20 wired strawflower apricot", "6 dry any filler", "2 wire 26"."""
    sub = _among(line, tokens)
    if _is_making(sub):
        making, number = making_and_count(sub, "part")
        return PartOf(making, number, MAKING)
    forms = list(dict.fromkeys(_FORM_OF[t.low] for t in sub.take_words(_FORM_OF)))
    if len(forms) > 1:
        raise Refused(
            f"{either(forms, 'and')} in one part: write each by itself, with a comma between.", "ambiguous"
        )
    times_said = sub.take_times()
    bunches = sub.take_unit("bunches", "bunches")
    what, crop = _take_what(sub)
    count = whole(bunches, "bunches") if bunches is not None else sub.take_count("stems", "stems")
    sub.refuse_leftovers()
    shown = " ".join(filter(None, (forms[0] if forms else "", what)))
    if times_said is not None:
        count = times_said[0] * times_said[1]
    elif bunches is not None and count is not None:
        count *= _bunch(line, crop, forms)
    if count is None:
        raise Refused(f"How many {shown}? Write the number before it: 20 {shown}.")
    if not forms:
        raise Refused(
            f"In which form is the {what}: {count} dry {what}, wired or fresh?",
            near=("dry", "wired", "fresh"),
        )
    return PartOf(what, count, forms[0])


def _is_making(sub: Line) -> bool:
    """Whether the words are a making: one bought before, or one of the usual words for them."""
    words = [t for t in sub.free() if t.number is None and not (t.is_word and t.low in FILLERS)]
    if any(t.is_word and t.low in _FORM_OF for t in words):
        return False
    ends = {word for t in (*words[:1], *words[-1:]) for word in (t.low, t.low.removesuffix("s"))}
    if ends & MAKING_WORDS:
        return True
    return " ".join(t.low for t in words) in sub.farm.makings


def _take_what(sub: Line) -> tuple[str, str | None]:
    """What the part asks for, as it stands in the book, and the crop if one is named."""
    if sub.take_words((ANY,)):
        roles = sub.take_words({*ROLES, *_PLURALS})
        if len(roles) > 1:
            raise Refused(f"{roles[0].text} and {roles[1].text}: write one to a part.", "ambiguous")
        if not roles:
            return ANY, None
        said = roles[0].low
        return f"{ANY} {said if said in ROLES else _PLURALS[said]}", None
    crop = take_crop(sub)
    if crop is None:
        refused = no_crop(sub)
        words = [t.text for t in sub.free() if t.number is None and t.low not in FILLERS]
        if words and not refused.problem.nearest:
            raise Refused(
                f"'{short(' '.join(words))}' is no crop, and no making that the book knows: write more of a crop's "
                "name, or what was bought of it.",
                "unknown",
            )
        raise refused
    variety = take_variety(sub, crop)
    return " ".join(filter(None, (crop, variety))), crop


def _bunch(line: Line, crop: str | None, forms: list[PartForm]) -> int:
    size = sheet_bunch(line.farm, crop, "fresh" if forms == ["fresh"] else "dried") if crop else None
    if size is None:
        raise Refused("How many stems to a bunch? Write them as bunches times stems: 3x10 dry statice.")
    line.remark(f"bunches of {size}, as the {crop} sheet has it")
    return size


def refused(problem: Problem) -> Refused:
    """The refusal that says what the problem says."""
    return Refused(problem.sentence, problem.code, problem.nearest)
