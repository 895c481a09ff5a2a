"""The crop library: which crops and ways there are, finding one by its beginning, and its sheet.

The table is `data/crops.csv`: one line a crop, or a crop and a way of growing it, whose blank cells are taken
from the crop's own line ("-" where the way has no such figure). A cell ends with its source in square
brackets, "from memory" and "common practice" written out; one without rests on the sources of its line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from core.crops.figure_values import read_value
from core.crops.prose import in_farms_units
from core.crops.sheet import KINDS, OWN_ONLY, Clash, Figure, Sheet, Span
from core.dialect import Units, farm_units
from core.patterns import pattern
from core.problems import Problem
from core.text import clean, nearest

DATA = Path(__file__).parent / "data"

Row = dict[str, str]

NEARLY = 0.7
"""How alike a word must be to one of a crop's name, from 0 to 1, to be taken for a slip of it."""

_MARKED = pattern(r"(.*) \[([^\[\]]+)\]", re.DOTALL)


@cache
def crop_names() -> tuple[str, ...]:
    """The names of all crops, in the order of the library."""
    return tuple(crop for crop, way in _rows() if not way)


def ways(crop: str) -> tuple[str, ...]:
    """The ways of growing `crop` besides the usual one: () for most, ("early",) for strawflower."""
    return tuple(way for name, way in _rows() if name == crop and way)


def find_crops(
    text: str, *, written: bool = False, own: tuple[str, ...] = (), whole: bool = False
) -> list[str]:
    """The crops that `text` may mean: [] for none, several where it is ambiguous.

    `own` are the farm's own crops beside the library's; one that is called so goes before all others.

    Each word of `text` must begin some word of the crop's name or of a plain alias ("gom", "celosia pl"); a
    whole name or alias wins over beginnings, the plural is as good. Names that begin with `text` come first. Case
    does not matter.

    Of what is to be `written`, one of the words must begin the name itself, and of an alias all words must be begun
    ("bill butt"), for single words of them are other plants as well ("annual delphinium", "celosia, wheat").
    Where it must be a `whole` name or alias, no beginning does.
    """
    wanted = _words(text)
    if not wanted:
        return []
    every = _called(own)
    if exact := [crop for crop, called in every.items() if wanted in called]:
        return [crop for crop in exact if crop in own] or exact
    if whole:
        return []
    for words in (wanted, *_singular(wanted)):
        found = [
            crop
            for crop, called in every.items()
            if words in called
            or any(
                _begins(words, name, whole=written and n > 0, first=written) for n, name in enumerate(called)
            )
        ]
        if found:
            start = " ".join(words)
            return sorted(found, key=lambda crop: not " ".join(_words(crop)).startswith(start))
    return []


def crops_with(word: str, own: tuple[str, ...] = ()) -> list[str]:
    """The crops in whose name or aliases the word stands, or begins a word, or is written nearly so."""
    low = word.lower()
    by_word: dict[str, list[str]] = {}
    for crop, called in _called(own).items():
        for part in {part for name in called for part in name if len(part) > 3}:
            by_word.setdefault(part, []).append(crop)
    same = [part for part in by_word if len(low) > 2 and (part.startswith(low) or low.rstrip("s") == part)]
    near = same or nearest(low, by_word, cutoff=NEARLY)
    return list(dict.fromkeys(crop for part in near for crop in by_word[part]))


def every_name() -> Iterator[tuple[str, str]]:
    """Each crop with its name, its full trade name and its aliases, as they are written."""
    for (crop, way), row in _rows().items():
        if not way:
            for name in dict.fromkeys((crop, row["title"], *row["aliases"].split(";"))):
                if name.strip():
                    yield crop, name.strip()


def is_in_library(crop: str) -> bool:
    """Whether the library has a crop of exactly that name."""
    return (crop, "") in _rows()


def crop_called(name: str) -> str | None:
    """The crop of the library of which `name` is the whole name, or another whole name; None where it is none's."""
    wanted = _words(name)
    return next((crop for crop, called in _called().items() if wanted in called), None)


def one_crop(text: str, own: tuple[str, ...] = ()) -> str | Problem:
    """The crop that `text` names, of the library or of the farm's `own`, or why it is none, or not one."""
    found = [text] if text in own or is_in_library(text) else find_crops(text, own=own)
    return found[0] if len(found) == 1 else _not_one(text, found, own)


def sheet(
    crop: str, way: str | None = None, own: Mapping[str, tuple[str, str]] | None = None
) -> Sheet | Problem:
    """The sheet of `crop` (any unambiguous beginning will do), grown the usual way or a named one.

    `own` holds the farm's own figures, {figure name: (value, where it comes from)}; each stands in place of
    the library's, which stays beside it as `instead_of`. A Problem says which crop, way or figure is unknown.
    """
    name = one_crop(crop)
    if isinstance(name, Problem):
        return name
    if way and way not in ways(name):
        known = ways(name)
        other = f"write {_either(known)}, or leave the way out" if known else "leave the way out"
        return Problem(f'{name} has no way called "{clean(way)}": {other}.', "unknown", known)
    figures = own_figures(name, _library_figures(name, way or "", farm_units()), own or {})
    if isinstance(figures, Problem):
        return figures
    if "sow_weeks_before" not in figures or _moves_sowing(own or {}):
        derive_sowing(figures)
    row = _rows()[name, ""]
    return Sheet(
        crop=name,
        way=way or None,
        title=row["title"] or name,
        botanical=row["botanical"],
        sources=tuple(row["sources"].split()),
        notes=in_farms_units(
            " ".join(filter(None, (_rows()[name, way]["notes"] if way else "", row["notes"])))
        ),
        clashes=_clashes(farm_units()).get(name, ()),
        own_like=None,
        **figures,
    )


def own_figures(
    crop: str, library: Mapping[str, Figure[Any]], own: Mapping[str, tuple[str, str]]
) -> dict[str, Figure[Any]] | Problem:
    """The library's figures of a crop with the farm's own, {name: (value, source)}, in their place."""
    figures: dict[str, Figure[Any]] = dict(library)
    for figure, (text, source) in own.items():
        value = own_value(crop, figure, text)
        if isinstance(value, Problem):
            return value
        said = clean(source) if source.startswith("own sheet") else f"own sheet: {clean(source)}"
        figures[figure] = Figure(value, said, library.get(figure))
    return figures


def own_value(crop: str, figure: str, text: str) -> Any | Problem:
    """A figure of the farm's own for `crop` as it is reckoned with, read from its text, or what is wrong with it."""
    if figure not in KINDS:
        known = tuple(KINDS)
        close = nearest(figure, known) or tuple(name for name in known if name.startswith(figure[:3]))[:3]
        hint = f"did you mean {_either(close)}?" if close else "see the sheet for the names."
        return Problem(f'The sheet of {crop} has no figure "{clean(figure)}": {hint}', "unknown", close)
    return read_value(figure, clean(text))


# How the table is read


@cache
def _rows() -> dict[tuple[str, str], Row]:
    return {(row["crop"], row["way"]): row for row in _table("crops.csv")}


def _table(name: str) -> list[Row]:
    from csv import DictReader  # names and figures are asked for by many, and on most mornings by nobody

    with (DATA / name).open(encoding="utf-8", newline="") as table:
        return [*DictReader(table)]


@cache
def _clashes(_units: Units) -> dict[str, tuple[Clash, ...]]:
    readings: dict[str, dict[str, list[Figure[str]]]] = {}
    for row in _table("clashes.csv"):
        by_figure = readings.setdefault(row["crop"], {})
        by_figure.setdefault(row["figure"], []).append(
            Figure(in_farms_units(row["reading"]), in_farms_units(row["source"]))
        )
    return {
        crop: tuple(Clash(figure, tuple(says)) for figure, says in by_figure.items())
        for crop, by_figure in readings.items()
    }


def _cell(text: str, row_sources: str) -> tuple[str, str]:
    """A cell's value and its source."""
    found = _MARKED.fullmatch(text)
    if found:
        return found[1], found[2]
    return text, row_sources if " " not in row_sources else f"one of {row_sources}"


@cache
def _library_figures(crop: str, way: str, _units: Units) -> dict[str, Figure[Any]]:
    usual = _rows()[crop, ""]
    special = _rows()[crop, way]
    figures: dict[str, Figure[Any]] = {}
    for name in (name for name in KINDS if name not in OWN_ONLY):
        cell = special[name] or usual[name]
        if cell and cell != "-":
            text, source = _cell(in_farms_units(cell), usual["sources"])
            figures[name] = Figure(read_value(name, text), source)
    return figures


def _moves_sowing(own: Mapping[str, object]) -> bool:
    """Whether the farm's own figures make the library's weeks of sowing out of date."""
    return "sow_weeks_before" not in own and ("weeks_in_tray" in own or "set_out_weeks" in own)


def derive_sowing(figures: dict[str, Figure[Any]]) -> None:
    """Add the weeks of sowing before last frost: weeks in the tray counted back from setting out."""
    tray: Figure[Span] | None = figures.get("weeks_in_tray")
    out: Figure[Span] | None = figures.get("set_out_weeks")
    if tray is None or out is None:
        return
    weeks = (tray.value[0] - out.value[1], tray.value[1] - out.value[0])
    of = ", ".join(
        f"{what} {figure.text} ({figure.source})"
        for what, figure in (("weeks in the tray", tray), ("set out", out))
    )
    figures["sow_weeks_before"] = Figure(weeks, f"derived from {of}")


# How a crop is found


@lru_cache(maxsize=8)
def _called(own: tuple[str, ...] = ()) -> dict[str, tuple[tuple[str, ...], ...]]:
    """Each crop's name, full trade name and aliases, as words; of the farm's own crops the name."""
    called: dict[str, dict[tuple[str, ...], None]] = {name: {_words(name): None} for name in own}
    for crop, name in every_name():
        if crop not in own:
            called.setdefault(crop, {})[_words(name)] = None
    return {crop: tuple(names) for crop, names in called.items()}


def _words(text: str) -> tuple[str, ...]:
    return tuple(re.findall(r"[^\W_]+", text.lower().replace("'", "").replace("’", "")))


def _singular(words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """The words with the last one of them taken for a plural: "zinnias", "peonies", "poppies"."""
    last = words[-1]
    if len(last) > 4 and last.endswith("ies"):
        yield (*words[:-1], last[:-3] + "y")
    if len(last) > 3 and last.endswith("s"):
        yield (*words[:-1], last[:-1])


def _begins(wanted: tuple[str, ...], name: tuple[str, ...], *, whole: bool, first: bool) -> bool:
    """Whether each wanted word begins a word of `name`, no word of it used twice; every word of a `whole` name must be
    begun, its `first` among them."""
    if whole and len(wanted) != len(name):
        return False
    if first and not any(name[0].startswith(word) for word in wanted):
        return False
    left = list(name)
    for word in wanted:
        match = next((other for other in left if other.startswith(word)), None)
        if match is None:
            return False
        left.remove(match)
    return True


def _not_one(text: str, found: list[str], own: tuple[str, ...] = ()) -> Problem:
    shown = clean(text)
    if found:
        sentence = f'"{shown}" may be {_either(tuple(found[:6]))}: write more of it.'
        return Problem(sentence, "ambiguous", tuple(found))
    by_word = {" ".join(words): crop for crop, called in _called(own).items() for words in called}
    close = tuple(dict.fromkeys(by_word[name] for name in nearest(shown, by_word)))
    hint = f"did you mean {_either(close)}?" if close else "`shedbook crop` lists those it has."
    return Problem(f'No crop is called "{shown}": {hint}', "unknown", close)


def _either(names: tuple[str, ...]) -> str:
    if len(names) == 1:
        return names[0]
    between = "; " if any("," in name for name in names) else ", "
    return f"{between.join(names[:-1])} or {names[-1]}"
