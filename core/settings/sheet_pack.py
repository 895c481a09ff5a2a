"""A pack of sheets: a farm's own crops and figures as one file, carried to another farm and looked through there."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from core.book.disk import open_to_read, trouble
from core.book.entry import Draft
from core.crops.figure_words import figure_told
from core.crops.library import is_in_library, own_value
from core.crops.sheet import FIGURES
from core.farm import Farm
from core.happened import OwnFigure
from core.problems import Problem
from core.settings.kinds import sheet_name
from core.text import clean, is_clean, named

FORMAT = "shedbook sheets"
VERSION = 1
LARGEST = 4_000_000
"""Bytes of the largest pack that is read: many times all figures of all crops (ours)."""
LONGEST_SOURCE = 300


class Pack(NamedTuple):
    """What a pack has for a farm: entries to write, what she has otherwise, what is there already, what cannot be."""

    farm: str
    drafts: tuple[Draft, ...]
    differs: tuple[str, ...]
    same: int
    refused: tuple[str, ...]


def packed(farm: Farm) -> dict[str, Any]:
    """The farm's own crops and figures as plain JSON."""
    crops = [{"crop": crop, "like": own.like} for crop, own in sorted(farm.crops.items())]
    figures = [
        {"crop": crop, "way": way, "variety": None, **_of(name, figure)}
        for sheet, own in sorted(farm.sheets.items())
        for crop, way in (_parts(sheet),)
        for name, figure in own.items()
    ]
    figures += [
        {"crop": crop, "way": None, "variety": variety, **_of(name, figure)}
        for crop, sorts in sorted(farm.variety_sheets.items())
        for variety, own in sorted(sorts.items())
        for name, figure in own.items()
    ]
    return {
        "format": FORMAT,
        "version": VERSION,
        "farm": farm.settings.name or "",
        "crops": crops,
        "figures": figures,
    }


def _of(name: str, figure: OwnFigure) -> dict[str, str]:
    return {"figure": name, "value": figure.value, "source": figure.source}


def _parts(sheet: str) -> tuple[str, str | None]:
    """ "strawflower (early)" -> ("strawflower", "early")."""
    crop, _, way = sheet.partition(" (")
    return crop, way.removesuffix(")") or None


def write_pack(path: Path, farm: Farm) -> Problem | None:
    """Write the pack into a new file; nothing that is there is written over."""
    text = json.dumps(packed(farm), ensure_ascii=False, indent=1) + "\n"
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        return Problem(
            f"{clean(str(path))} is there already: name another file, or move it away.", "impossible"
        )
    except OSError as error:
        raise trouble(error, "write the pack", path) from error
    return None


def read_pack(path: Path) -> Mapping[str, Any] | Problem:
    """What stands in the file, as far as it is such a pack."""
    no_pack = Problem(
        f"{clean(str(path))} is no pack of sheets: 'shedbook sheets out FILE' makes one.", "unreadable"
    )
    try:
        with open_to_read(path, LARGEST, follow=True) as fd:
            text = os.read(fd, LARGEST + 1)
    except OSError as error:
        raise trouble(error, "read the pack", path) from error
    try:
        data = json.loads(text.decode("utf-8"))
    except (ValueError, RecursionError):
        return no_pack
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        return no_pack
    if data.get("version") != VERSION:
        return Problem(
            f"{clean(str(path))} is of a newer shedbook: update this one to read it.", "unreadable"
        )
    return data


def unpacked(data: Mapping[str, Any], farm: Farm, day: str, *, over: bool = False) -> Pack:
    """The pack looked through for a farm: each crop and figure is taken, left as she has it, or refused by name.

    What she has otherwise stays hers, unless `over`. A crop that the library knows by now is not made anew.
    """
    drafts: list[Draft] = []
    differs: list[str] = []
    refused: list[str] = []
    same = 0
    known = set(farm.crops)
    for crop, like in _crops(data, refused):
        if is_in_library(crop) or (crop in farm.crops and farm.crops[crop].like == like):
            same += 1
        elif crop in farm.crops and not over:
            differs.append(
                f"{crop} is like {farm.crops[crop].like or 'none'} here, like {like or 'none'} there"
            )
        else:
            drafts.append(Draft("crop", day, {"crop": crop, **({"like": like} if like else {})}))
        known.add(crop)
    for said in _figures(data, known, refused):
        own = _own(farm, said).get(said["figure"])
        told = f"{_called(said)}: {FIGURES[said['figure']].told}"
        if own is not None and own.value == said["value"]:
            same += 1
        elif own is not None and not over:
            here, there = (figure_told(said["figure"], clean(value)) for value in (own.value, said["value"]))
            differs.append(f"{told} is {here} here, {there} there")
        else:
            kind = "variety sheet" if "variety" in said else "sheet"
            drafts.append(Draft(kind, day, said))
    farm_name = data.get("farm")
    name = clean(farm_name)[:60] if isinstance(farm_name, str) else ""
    return Pack(name, tuple(drafts), tuple(differs), same, tuple(refused))


def _own(farm: Farm, said: Mapping[str, str]) -> Mapping[str, OwnFigure]:
    if "variety" in said:
        return farm.variety_sheets.get(said["crop"], {}).get(said["variety"].lower(), {})
    return farm.sheets.get(sheet_name(said["crop"], said.get("way")), {})


def _called(said: Mapping[str, str]) -> str:
    return clean(named(said["crop"], said.get("variety")))


def _crops(data: Mapping[str, Any], refused: list[str]) -> Iterator[tuple[str, str]]:
    listed = data.get("crops")
    good: dict[str, str] = {}
    for item in listed if isinstance(listed, list) else ():
        crop, like = (item.get("crop"), item.get("like")) if isinstance(item, dict) else (None, None)
        if (
            not isinstance(crop, str)
            or not _is_name(crop)
            or crop != crop.lower()
            or not (like in (None, "") or _is_name(like))
        ):
            refused.append(f"a crop that has no good name: {clean(str(item))[:60]}")
        elif like and not is_in_library(like) and not any(_is_crop(other, like) for other in listed or ()):
            refused.append(f"{crop}: it is like {like}, which is neither in the library nor in the pack")
        else:
            good[crop] = like or ""
    while good:  # one that another is like comes before it
        first = next((crop for crop, like in good.items() if like not in good), None)
        if first is None:
            refused.extend(f"{crop}: it is like {like}, which is like it" for crop, like in good.items())
            return
        yield first, good.pop(first)


def _is_crop(item: object, crop: str) -> bool:
    return isinstance(item, dict) and item.get("crop") == crop


def _figures(data: Mapping[str, Any], known: set[str], refused: list[str]) -> Iterator[dict[str, str]]:
    listed = data.get("figures")
    for item in listed if isinstance(listed, list) else ():
        said = {k: v for k, v in item.items() if v is not None} if isinstance(item, dict) else {}
        names = {"crop", "way", "variety", "figure", "value", "source"}
        if not {"crop", "figure", "value"} <= set(said) <= names or not all(map(_is_text, said.values())):
            refused.append(f"a figure that is none: {clean(str(item))[:60]}")
        elif not (is_in_library(said["crop"]) or said["crop"] in known):
            refused.append(f"{_called(said)}: no crop is called so, and the pack does not make it one")
        elif isinstance(problem := own_value(said["crop"], said["figure"], said["value"]), Problem):
            refused.append(f"{_called(said)}: {problem.sentence}")
        else:
            yield said


def _is_name(text: object) -> bool:
    return _is_text(text) and len(str(text)) <= 40


def _is_text(text: object) -> bool:
    return isinstance(text, str) and bool(text.strip()) and is_clean(text) and len(text) <= LONGEST_SOURCE
