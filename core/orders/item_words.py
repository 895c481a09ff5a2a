"""What a line says of the items of an order: how much of what, in which form and colors, and at what price."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from core.farm import Farm
from core.language.crops import is_color, no_crop, take_crop, take_variety, varieties_of
from core.language.line import Line, Refused, short, whole
from core.language.money import cents_in, has_sign, is_in_currency, take_cents
from core.language.tokens import Token, times
from core.language.words import COLOURS, FILLERS, UNIT_WORDS, USE_OF
from core.order_rows import Item, ItemForm
from core.orders.kinds import OR
from core.patterns import pattern
from core.plans.lines import take_recipe
from core.settings.sheets import farm_sheet, sheet_bunch
from core.units import money, plural

FORM_OF_USE: dict[str, ItemForm] = {"fresh": "fresh", "dry": "dry", "wire": "wired"}
AT = ("at", "@")
ALSO = ("plus", "+", "&", "and")
PER_WORDS = ("a", "per", "the", "each")
ANY_COLOR = ("any", "mixed", "mix", "assorted")
COLOR_WORDS = ("color", "colors", "colour", "colours")
_GLUED_PRICE = pattern(r"@?([$£€]?[0-9][0-9.,]*)(?:/(bu|bunch|b|stem|st|ea|each|piece))?")
_EACH = {"stem": "stems", "st": "stems", "piece": "piece"} | dict.fromkeys(("bu", "b", "bunch"), "bunches")


@dataclass(slots=True)
class Said:
    """What is said of one item; None and () where it is not said."""

    number: int | None = None
    """Stems, or pieces; bunches where `per` or `in_bunches` says so have been turned into stems."""
    bunches: int | None = None
    per: int | None = None
    form: ItemForm | None = None
    crop: str = ""
    recipe: str = ""
    colors: tuple[str, ...] = ()
    any_color: bool = False
    instead: tuple[str, ...] = ()
    cents: int | None = None
    price_of: str = ""
    """ "bunches", "stems", "piece"; "" where the price says no more than the number."""
    remarks: list[str] = field(default_factory=list)


def parts_of(line: Line) -> list[Line]:
    """The rest of the line cut into its items: each has one number, mostly as its first word, or a comma before it."""
    words = line.free()
    counts = [_is_count(words, i) for i in range(len(words))]
    commas = [i > 0 and "," in line.text[words[i - 1].start : token.start] for i, token in enumerate(words)]
    parts: list[list[Token]] = [[]]
    has_count = False
    for i, token in enumerate(words):
        end = next((n for n in range(i + 1, len(words)) if commas[n]), len(words))
        if has_count and (counts[i] or (commas[i] and any(counts[i:end]))):
            parts.append([])
            has_count = False
        has_count = has_count or counts[i]
        parts[-1].append(token)
    found = [
        Line(line.text, line.farm, line.today, line.known, part, line.on, line.insists, line.verb)
        for part in parts
    ]
    return [part for part in found if any(t.low not in (*FILLERS, *ALSO) for t in part.words)]


def _is_count(words: list[Token], i: int) -> bool:
    """Whether the word is the number of an item: no price, and no stems to a bunch."""
    token, before = words[i], words[i - 1].low if i else ""
    is_number = token.number is not None or times(token.low) is not None
    return is_number and before not in (*AT, "of", "in") and not cents_only(words, i)


def cents_only(words: list[Token], i: int) -> bool:
    """Whether the number is money: a word of a currency stands after it ("9 dollars")."""
    return i + 1 < len(words) and words[i + 1].low in ("dollars", "dollar", "bucks", "cents", "euros")


def read_item(part: Line, known: Item | None = None) -> Said:
    """What one part of a line says; of an item that is known what is not said stays as it is."""
    for token in part.words:
        if token.low in ALSO and not token.taken:
            token.taken = True
    said = Said()
    _take_price(part, said)
    said.bunches, said.per, said.number = take_number(part)
    uses = list(dict.fromkeys(USE_OF[t.low] for t in part.take_words(USE_OF)))
    if len(uses) > 1:
        raise Refused("Fresh, dry or wired? Write one to an item.", "ambiguous", ("fresh", "dry", "wired"))
    if uses:
        said.form = FORM_OF_USE[uses[0]]
    if (recipe := take_recipe(part)) is not None:
        said.recipe, said.form = recipe.code, "piece"
        part.take_words(("piece", "pieces"))
    else:
        _take_crops(part, said, known)
    part.refuse_leftovers()
    return said


# the price


def _take_price(part: Line, said: Said) -> None:
    """ "at 9", "at 9 a bunch", "@9", "$9 each", "9/bu"."""
    found: list[int] = []
    for token in part.free():
        if token.taken:
            continue
        after = part.after(token)
        if token.low in AT and token.is_word:
            if after is None or (glued := _glued(after)) is None:
                raise Refused("At what price? Write the amount after 'at': at 9, or at 9.50 a bunch.")
            token.taken = True
            found.append(_taken_price(part, after, glued, said))
        elif token.is_word and token.low.startswith("@") and (glued := _glued(token)) is not None:
            found.append(_taken_price(part, token, glued, said))
        elif (has_sign(token) or is_in_currency(part, token)) and (
            cents := take_cents(part, token)
        ) is not None:
            found.append(cents)
            _take_unit(part, token, said)
    if len(found) > 1:
        raise Refused(
            f"{money(found[0])} and {money(found[1])}: which is the price? Write one to an item.", "ambiguous"
        )
    if found:
        said.cents = found[0]


def take_bare_price(line: Line, said: Said) -> None:
    """The one amount of a line that says nothing but a price, with or without "at" before it."""
    for token in line.free():
        before = line.after(token, -1)
        if token.taken or (glued := _glued(token)) is None:
            continue
        if said.cents is not None:
            raise Refused("Two amounts are named: write one price to a line.", "ambiguous")
        if before is not None and before.low in AT:
            before.taken = True
        said.cents = _taken_price(line, token, glued, said)


def _glued(token: Token) -> re.Match[str] | None:
    return None if token.quoted else _GLUED_PRICE.fullmatch(token.text.lower())


def _taken_price(part: Line, token: Token, glued: re.Match[str], said: Said) -> int:
    if glued[2]:
        said.price_of = _EACH.get(glued[2], "")
    if glued[2] or token.text.startswith("@"):
        bare = Token(glued[1], glued[1], token.start, token.end)
        cents = cents_in(bare)
        token.taken = True
    else:
        said.price_of = {"bunches": "bunches", "stems": "stems"}.get(token.unit, "")
        token.unit = ""  # "9 bunch": the unit is the price's
        cents = take_cents(part, token)
    if cents is None:
        raise Refused("At what price? Write the amount after 'at': at 9, or at 9.50 a bunch.")
    _take_unit(part, token, said)
    return cents


def _take_unit(part: Line, token: Token, said: Said) -> None:
    """ "a bunch", "per stem", "each" after a price."""
    first = at = part.words.index(token) + 1
    while at < len(part.words) and (part.words[at].taken or part.words[at].low in PER_WORDS):
        at += 1
    if at >= len(part.words) or not part.words[at].is_word:
        return
    word = part.words[at].low
    of = UNIT_WORDS.get(word, "") if at > first or len(word) > len("bu") else ""
    is_said = any(one.low in PER_WORDS for one in part.words[first:at]) or at == first
    if is_said and (of in ("bunches", "stems") or word in ("piece", "pieces", "ea")):
        said.price_of = of or ("piece" if word != "ea" else "")
        for used in part.words[first - 1 : at + 1]:
            used.taken = True


# how many


def take_number(part: Line) -> tuple[int | None, int | None, int | None]:
    """(bunches, stems to a bunch, stems or pieces) of "20 bu", "20x10", "20 bu of 10", "120 stems", "12"."""
    bunches: int | None = None
    per: int | None = None
    number: int | None = None
    if (both := part.take_times()) is not None:
        bunches, per = both
    elif (said := part.take_unit("bunches", "bunches")) is not None:
        bunches = whole(said, "bunches")
        for token in part.free():
            before = part.after(token, -1)
            is_size = token.number is not None and token.unit in ("", "stems")
            if is_size and before is not None and before.low in ("of", "in") and token.number is not None:
                per = whole(token.number, "stems to a bunch")
                token.taken = before.taken = True
    else:
        number = part.take_count("stems", "stems")
    if 0 in (bunches, per, number):
        raise Refused("At least one is meant: write how many.", "impossible")
    return bunches, per, number


def _take_crops(part: Line, said: Said, known: Item | None) -> None:
    """The crop, its colors ("coral or peach"), and other crops that will do ("or cosmos")."""
    part.take_words(COLOR_WORDS)
    groups = _alternatives(part)
    first, *others = groups or [part]
    ahead: list[Line] = []  # "white or coral dahlia": the colors before the crop is named
    while others and _is_color_alone(first):
        ahead.append(first)
        first, *others = others
    crop = take_crop(first) or (known.crop if known is not None else None)
    if crop is None:
        if known is not None and not first.free():
            return
        raise (
            no_piece(first)
            if first.free()
            else Refused("Of what? Write the crop after the number: 20 bu lavender dry.")
        )
    if known is None or crop != known.crop:
        said.crop = crop
    colors = [color for group in ahead if (color := take_variety(group, crop)) is not None]
    if first.take_words(ANY_COLOR):
        said.any_color = True
    for group in (first, *others):
        if group is not first and not _is_color(part.farm, crop, group):
            other = take_crop(group)
            if other is None:
                if colors:
                    take_variety(group, crop)  # refuses it with what would do
                raise no_crop(group)
            said.instead = (*said.instead, other)
            group.refuse_leftovers()
            continue
        if (color := take_variety(group, crop)) is not None:
            colors.append(color)
    said.colors = tuple(dict.fromkeys(colors))


def _is_color_alone(group: Line) -> bool:
    """Whether the words are a color and no crop ("rose" alone is one)."""
    return is_color(" ".join(t.low for t in group.words if t.low not in FILLERS)) and take_crop(group) is None


def no_piece(part: Line) -> Refused:
    """The refusal of what is no crop, and no piece of which there is a recipe."""
    refused = no_crop(part)
    word = next((t.text for t in part.free() if t.is_word and t.low not in FILLERS), "")
    if refused.problem.nearest or not word:
        return refused
    return Refused(
        f"'{short(word)}' is no crop of the library or the farm, and no piece of a recipe: write the crop after its "
        "number.",
        "unknown",
    )


def _alternatives(part: Line) -> list[Line]:
    """The words between "or" and "or", or a comma between two colors, each as a line of its own."""
    groups: list[list[Token]] = [[]]
    words = part.free()
    for i, token in enumerate(words):
        if token.is_word and token.low in ("or", "else"):
            token.taken = True
            if groups[-1]:
                groups.append([])
            continue
        if i and "," in part.text[words[i - 1].start : token.start] and groups[-1] and token.low in COLOURS:
            groups.append([])
        groups[-1].append(token)
    return [
        Line(part.text, part.farm, part.today, part.known, group, part.on, part.insists, part.verb)
        for group in groups
        if group
    ]


def _is_color(farm: Farm, crop: str, group: Line) -> bool:
    """Whether the words are a color, or a variety of the crop, and no other crop."""
    low = " ".join(t.low for t in group.words if t.low not in FILLERS)
    if any(t.quoted for t in group.words):
        return True
    if any(low and name.lower().startswith(low) for name in varieties_of(farm, crop)):
        return True
    return is_color(low)


# as fields of an entry


def item_fields(line: Line, said: Said) -> dict[str, Any]:
    """The fields of a new item; refused where it does not say how many of what."""
    what = said.recipe or said.crop
    if said.number is None and said.bunches is None:
        raise Refused(f"How many of {what}? Write the number before it: 20 bu {what}.")
    form = said.form
    if form is None:
        form, why = usual_form(line.farm, said.crop)
        line.remark(f"{what} {form}, {why}")
    found: dict[str, Any] = {"form": form}
    if said.recipe:
        if said.bunches is not None:
            raise Refused(f"{what} is made by the piece: write its number alone, such as 12 {what}.")
        return found | {"count": said.number, "recipe": said.recipe} | _some(cents=said.cents)
    per = said.per or 0
    if said.bunches is not None or said.price_of == "bunches":
        per = per or bunch_of(line.farm, said.crop, form)
    count = said.bunches * per if said.bunches is not None else said.number
    assert count is not None
    if said.price_of == "bunches" and count % per:
        raise Refused(
            f"{plural(count, 'stem')} of {what} are no whole bunches of {per}: write the price of a stem, or bunches.",
            "impossible",
        )
    if said.price_of == "stems" and said.bunches is not None and said.cents is not None:
        said.cents *= per
    return (
        found
        | {"count": count, "crop": said.crop}
        | _some(colors=OR.join(said.colors), instead=OR.join(said.instead), per=per, cents=said.cents)
    )


def usual_form(farm: Farm, crop: str) -> tuple[ItemForm, str]:
    """In what form a crop is meant where none is said, and why: fresh, unless it is not sold fresh, or what there is of
    it is dry and none grows that could be cut."""
    sheet = farm_sheet(farm, crop)
    if sheet is not None and sheet.fresh_stage is None and sheet.dry_stage is not None:
        return "dry", "as it is not sold fresh"
    grows = crop in {one.crop for one in farm.plantings.live()} | {one.crop for one in farm.trays.live()}
    planned = any(plan.crop == crop and plan.is_live and plan.use == "fresh" for plan in farm.plans.values())
    lots = [lot for lot in farm.lots.live() if lot.crop == crop]
    if lots and not grows and not planned and all(lot.use == "dry" for lot in lots):
        return "dry", "as only dry is there"
    return "fresh", "as nothing else is said"


def _some(**fields: Any) -> dict[str, Any]:
    return {name: value for name, value in fields.items() if value or (name == "cents" and value is not None)}


def bunch_of(farm: Farm, crop: str, form: ItemForm) -> int:
    """Stems to a bunch by the farm's sheet of the crop; asked where it has none."""
    known = sheet_bunch(farm, crop, "fresh" if form == "fresh" else "dried")
    if known is None:
        raise Refused(f"How many stems to a bunch of {crop}? Write it after the bunches: 20 bu of 10 {crop}.")
    return known


def changed_fields(line: Line, said: Said, item: Item) -> dict[str, Any]:
    """The fields of an item that are to be otherwise, by what is said; None for what is left out."""
    now: dict[str, Any] = {}
    crop, form = said.crop or item.crop, said.form or item.form
    if said.recipe and said.recipe != item.recipe:
        now |= {
            "recipe": said.recipe,
            "form": "piece",
            "crop": None,
            "colors": None,
            "instead": None,
            "per": None,
        }
    elif said.crop and said.crop != item.crop:
        now |= {"crop": said.crop, "recipe": None, "colors": None, "instead": None}
    if not said.recipe and said.form is not None:
        now["form"] = said.form
    if said.colors or said.any_color:
        now["colors"] = OR.join(said.colors) or None
    if said.instead:
        now["instead"] = OR.join(said.instead)
        if gone := [crop for crop in item.instead if crop not in said.instead and "crop" not in now]:
            both = "".join(f" or {name}" for name in (*gone, *said.instead))
            line.remark(f"no more or {', or '.join(gone)}: '{both.strip()}' keeps both")
    per = item.per if not said.crop else 0
    if said.bunches is not None:
        per = said.per or per or bunch_of(line.farm, crop, form)
        now |= {"count": said.bunches * per, "per": per}
    elif said.number is not None:
        now["count"] = said.number
        if item.per and said.number % item.per:
            now["per"] = None
    if said.cents is not None:
        now["cents"] = said.cents
        if said.price_of == "bunches" and not now.get("per", item.per):
            now["per"] = bunch_of(line.farm, crop, form)
        elif said.price_of == "stems" and now.get("per", item.per):
            now["cents"] = said.cents * (now.get("per") or item.per)
    return now
