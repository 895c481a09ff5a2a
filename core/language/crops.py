"""The crop of a line, its way of growing and its variety: found among the plain words, in any order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from itertools import pairwise, product

from core.codes import LOT, ORDER, PACKET, PIECE, PLANTING, TRAY, canonical
from core.crops.color import is_of_color
from core.crops.library import crops_with, find_crops, ways
from core.crops.own_crop import make_it_yours, own_names
from core.farm import Farm
from core.language.line import QUOTES, Line, Refused, either, not_understood, short
from core.language.tokens import Token
from core.language.words import (
    COLOURS,
    FILLERS,
    FLOWER_COLOURS,
    SAID_OTHERWISE,
    SHADES,
    is_keyword,
)
from core.marked import with_figures
from core.text import nearest, nearly

LONGEST_NAME = 4
"""Words in the longest name of a crop ("love in a mist")."""


@lru_cache(maxsize=2048)
def crops_called(words: str, own: tuple[str, ...] = ()) -> tuple[str, ...]:
    """The crops that these words may mean, those of the farm's `own` among them; kept, since a line is read again at
    every key. A color that begins a crop's name ("blue salvia") is a color, and means none; so is a day (daylily)."""
    is_other = words in COLOURS or words in ("day", "days")
    return tuple(find_crops(words, written=True, own=own, whole=is_other))


def take_crop(line: Line, among: Callable[[], Iterable[str]] | None = None) -> str | None:
    """The crop named in the line, or None; refused where several are meant.

    Where a beginning may be several crops, what stands in the bed named decides, or what the tray, planting or lot
    named is; else those `among` which it must be (what hangs, what is on hand).
    """
    if line.crop_sought:
        return line.crop
    runs = _best_runs(line) or _in_quotes(line)
    if not runs:
        line.crop_sought = True
        return None
    meant = {crop for _, crops in runs for crop in crops}
    if len(runs) == 1 and len(meant) > 1:
        for likely in (_named_with(line), among() if among else ()):
            meant = meant.intersection(likely) or meant
        runs = [(runs[0][0], tuple(crop for crop in runs[0][1] if crop in meant))]
    first = " ".join(t.text for t in runs[0][0])
    if len(runs) > 1 and len(meant) > 1:
        second = " ".join(t.text for t in runs[1][0])
        raise Refused(
            f"'{short(first)}' and '{short(second)}' are both crops: write one to a line.", "ambiguous"
        )
    if len(meant) > 1:
        names = runs[0][1]
        more = ", ..." if len(names) > 6 else ""
        raise Refused(
            f"'{short(first)}' may be {either(names[:6])}{more}: write more of it.", "ambiguous", names[:6]
        )
    for words, _ in runs:
        for token in words:
            token.taken = True
    line.crop, line.crop_named, line.crop_sought = meant.pop(), True, True
    return line.crop


def _named_with(line: Line) -> Iterator[str]:
    """The crops of what the line names beside: beds, trays, plantings, lots."""
    farm = line.farm
    beds = {t.low for t in line.words if t.is_word and t.low in farm.beds}
    if beds:
        yield from (p.crop for p in farm.plantings.live() if p.bed in beds)
    for token in line.words:
        code = canonical(token.low) if token.is_word else None
        known = (
            {"S": farm.trays.get, "P": farm.plantings.get, "L": farm.lots.get}.get(code[0]) if code else None
        )
        if code and known and (item := known(code)) is not None:
            yield item.crop


def need_crop(line: Line) -> str:
    """The crop named in the line, or a question for it."""
    crop = take_crop(line)
    if crop is None:
        raise no_crop(line)
    return crop


def no_crop(line: Line) -> Refused:
    """The question which crop, with the nearest to a word that is none."""
    for token in line.free():
        if token.is_word and not is_keyword(token.low) and token.low not in COLOURS:
            return unknown_crop(line, token)
    color = next((t for t in line.free() if t.is_word and t.low in COLOURS), None)
    return unknown_crop(line, color) if color else Refused("Which crop? Write the beginning of its name.")


def unknown_crop(line: Line, token: Token) -> Refused:
    """The refusal of a word that is no crop: the crops in whose names it stands, or something like it, are asked
    about; and it is said how the words are made a crop of hers."""
    if code := canonical(token.low):
        return what_about(code)
    near = crops_with(token.low, own_names(line.farm))[:3]
    hint = f" Did you mean {either(near)}?" if near else ""
    if not nearly(token.low, [crop.lower() for crop in near]):  # one slip away it is none of her own
        hint += f" {make_it_yours(' '.join(t.low for t in _name_from(line, token)))}"
    return Refused(f"No crop is called '{short(token.text)}'.{hint}", "unknown", near)


_ABOUT = {TRAY: "step", PLANTING: "pinch", LOT: "hang", PIECE: "sold 1", ORDER: "pick", PACKET: "sow 72"}
"""What is often done with a thing of that code."""


def what_about(code: str) -> Refused:
    """The refusal of a line that names a code and does not say what was done."""
    return Refused(
        f"What about {code}? Write what was done first, such as {_ABOUT[code[0]]} {code}. A mistake in it is put "
        f"right so: {code} was 35."
    )


def _name_from(line: Line, token: Token) -> list[Token]:
    """The word with those after it that mean nothing in a line; of colors only such as are flowers, too."""
    name = [token]
    while len(name) < LONGEST_NAME and (after := line.after(name[-1])) is not None and after.is_word:
        known = is_keyword(after.low) or after.low in line.farm.beds or canonical(after.low)
        if known or (after.low in COLOURS and after.low not in FLOWER_COLOURS) or not after.low.isalpha():
            break
        name.append(after)
    return name


def begins_crop(line: Line, token: Token) -> bool:
    """Whether the word, with those after it, names a crop or may be the beginning of several."""
    own = own_names(line.farm)
    return any(
        words[0] is token and crops_called(" ".join(t.low for t in words), own) for words in _runs(line)
    )


def _best_runs(line: Line) -> list[tuple[list[Token], tuple[str, ...]]]:
    """The longest runs of words that name a crop; a color is a crop only where no other word is."""
    own = own_names(line.farm)
    runs = [
        (words, crops)
        for words in _runs(line)
        if (crops := crops_called(" ".join(t.low for t in words), own))
    ]
    runs = [run for run in runs if not _is_in_variety(line, run, runs)] or runs
    longest = max((_length(words) for words, _ in runs), default=0)
    runs = [(words, crops) for words, crops in runs if _length(words) == longest]
    plain = [run for run in runs if run[0][0].low not in COLOURS] if longest == 1 else runs
    certain = [run for run in plain if len(run[1]) == 1]
    if longest > 1 and len(certain) > 1:
        return certain[:1]  # overlapping runs of one name
    if len(plain) > 1 and len(certain) == 1:
        return certain
    return plain or _of_colors(line, runs)


def _in_quotes(line: Line) -> list[tuple[list[Token], tuple[str, ...]]]:
    """A name in quotes that is the whole name of a crop, where no crop is named without them."""
    own = own_names(line.farm)
    quoted = [t for t in line.free() if t.quoted]
    found = [([t], tuple(find_crops(t.low, written=True, own=own, whole=True))) for t in quoted]
    return [run for run in found if len(run[1]) == 1][:1]


def _is_in_variety(
    line: Line, run: tuple[list[Token], tuple[str, ...]], runs: list[tuple[list[Token], tuple[str, ...]]]
) -> bool:
    """Whether these words stand in the name of a variety that the farm has of another crop in the line: of "tulip pink
    lady" the lady is none of its own."""
    words, meant = run
    others = {
        crops[0]
        for of, crops in runs
        if len(crops) == 1 and crops != meant and not any(t in words for t in of)
    }
    said = [t.low for t in line.words]
    first = line.words.index(words[0])
    for variety in (name.lower().split() for crop in others for name in varieties_of(line.farm, crop)):
        for start in range(max(first + len(words) - len(variety), 0), first + 1):
            if len(variety) > len(words) and said[start : start + len(variety)] == variety:
                return True
    return False


def _of_colors(
    line: Line, runs: list[tuple[list[Token], tuple[str, ...]]]
) -> list[tuple[list[Token], tuple[str, ...]]]:
    """Of words that are colors and crops at once ("lavender rose") the one that is the crop: what stands in the bed
    named, else one that is a whole name; asked where two are."""
    there = set(_named_with(line))
    whole = [run for run in runs if run[1] == (run[0][0].low,)]
    standing = [run for run in whole if run[1][0] in there]
    found = standing or whole or runs
    if len(found) > 1 and any(run[1][0] in line.farm.crops for run in found):
        first, second = found[0][1][0], found[1][1][0]
        raise Refused(
            f"'{first}' and '{second}' are both crops: put the one that is the color in quotes.", "ambiguous"
        )
    return found[:1]


def _length(words: list[Token]) -> int:
    return sum(len(t.low.split()) for t in words)


def _runs(line: Line) -> Iterator[list[Token]]:
    words = line.words
    for length in range(LONGEST_NAME, 0, -1):
        for start in range(len(words) - length + 1):
            run = words[start : start + length]
            text = " ".join(t.low for t in run)
            if (
                len(text) > 1
                and all(_may_name(t, line.farm) or t.low in FILLERS for t in run)
                and not any(t.taken for t in run)
                and run[0].low not in FILLERS
                and run[-1].low not in FILLERS
            ):
                yield run


def _may_name(token: Token, farm: Farm) -> bool:
    # "snap" begins snapdragon where it is not the snap test
    begins_none = is_keyword(token.low) and token.low != "snap"
    return token.is_word and not begins_none and token.low not in farm.beds


def take_way(line: Line, crop: str) -> str | None:
    """The way of growing named in the line ("early"), None for the usual one."""
    found = line.take_words(ways(crop))
    return found[0].low if found else None


def take_variety(line: Line, crop: str) -> str | None:
    """A variety known for the crop (by any beginning), a color, or text in quotes; None where none is named.

    Other words are refused with the nearest that would do: a slip must not become a new variety.
    """
    if (quoted := line.take_quoted()) is not None:
        return quoted
    if take_no_variety(line):
        return None
    known = varieties_of(line.farm, crop)
    words = [t for t in line.free() if t.is_word and t.low not in FILLERS]
    if not words:
        return None
    by_low = {name.lower(): name for name in known}
    for run in _joined(words, line):
        text = " ".join(t.low for t in run)
        meant = (
            [by_low[text]]
            if text in by_low
            else [name for low, name in by_low.items() if low.startswith(text)]
        )
        if len(meant) > 1 and not is_color(text):
            raise Refused(
                f"'{short(text)}' may be {either(meant[:6])}: write more of it.", "ambiguous", meant[:6]
            )
        if len(meant) == 1 or is_color(text):
            for token in run:
                token.taken = True
            return meant[0] if len(meant) == 1 else text
    raise _no_variety(words[0], crop, known, line.verb)


def take_variety_of(line: Line, names: Iterable[str | None]) -> str | None:
    """The one of these varieties that the line names by its whole name, or a color that one of them has in it; None
    where it names none of them."""
    known = {name.lower(): name for name in names if name}
    words = [t for t in line.free() if (t.is_word or t.quoted) and t.low not in FILLERS]
    for run in _joined(words, line):
        if name := known.get(" ".join(t.low for t in run)):
            for token in run:
                token.taken = True
            return name
    for run in _joined(words, line):
        text = " ".join(t.low for t in run)
        if is_color(text) and any(is_of_color(name, text) for name in known):
            for token in run:
                token.taken = True
            return text
    return None


def take_no_variety(line: Line) -> bool:
    """Whether the line says "no variety", which is taken: that of the crop of which none was ever written."""
    for no in line.free():
        variety = line.after(no)
        if no.is_word and no.low == "no" and variety is not None and variety.low == "variety":
            no.taken = variety.taken = True
            return True
    return False


def _joined(words: list[Token], line: Line) -> Iterator[list[Token]]:
    """Runs of words that stand side by side, longest first."""
    for length, start in product(range(min(4, len(words)), 0, -1), range(len(words))):
        run = words[start : start + length]
        if len(run) == length and all(line.after(a) is b for a, b in pairwise(run)):
            yield run


def is_color(text: str) -> bool:
    """Whether the words, in small letters, are a color, with its shade or another before it: "soft pink"."""
    *shades, color = text.split() or ("",)
    return color in COLOURS and all(s in SHADES or s in COLOURS for s in shades)


def varieties_of(farm: Farm, crop: str) -> list[str]:
    """The varieties and colors this farm has written for a crop."""
    standing = (p.variety for p in farm.plantings.live() if p.crop == crop)
    in_trays = (t.variety for t in farm.trays.live() if t.crop == crop)
    in_lots = (lot.variety for lot in farm.lots.live() if lot.crop == crop)
    return list(
        dict.fromkeys(v for v in (*farm.varieties.get(crop, ()), *standing, *in_trays, *in_lots) if v)
    )


def _no_variety(token: Token, crop: str, known: list[str], verb: str) -> Refused:
    if token.low in SAID_OTHERWISE:
        return Refused(
            f"'{short(token.text)}' is not understood here. {with_figures(SAID_OTHERWISE[token.low])}",
            "unknown",
        )
    if code := canonical(token.low):
        return Refused(
            f"What about {code}? Write what was done first, such as sold, hang or lost: lost 5 wilted {code}.",
            "unknown",
        )
    if is_keyword(token.low) or token.text[0] in QUOTES:
        return not_understood(token, known, verb if is_keyword(token.low) else "")
    near = nearest(token.low, dict.fromkeys((*known, crop, *COLOURS, *ways(crop))))
    hint = f"Did you mean {either(near)}? A" if near else "A"
    return Refused(
        f"'{short(token.text)}' is no variety or color known for {crop}. {hint} new variety is written in "
        f"quotes: '{short(token.text)}'.",
        "unknown",
        near,
    )
