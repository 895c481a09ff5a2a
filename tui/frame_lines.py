"""The lines around a view, each made for one line of the screen: the views above; the entry line and the keys below."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tui.keys import Key, key_line, pairs
from tui.registry import NUMBER_KEYS, views
from tui.row_keys import RowKey
from tui.table import Line, Span, cells, fit

FARM_LEAST = 8
"""Columns that a longer farm's name is cut to at the least; with fewer it is left out."""
DAY_FROM = 60
"""Columns from which the day stands before the entry line."""
GAP = "  "
EXAMPLE = "40 strawflower b3 dry"
HINTS_HERE = f"a line such as: {EXAMPLE}", f"such as: {EXAMPLE}", EXAMPLE
HINTS = f"w, then a line such as: {EXAMPLE}   / finds", f"w: {EXAMPLE}   / finds", f"w: {EXAMPLE}"
"""What may be typed into an empty entry line, where the keys go there and where they go to the list; said is the first
for which there is room."""


def hint(hints: Sequence[str], room: int) -> str:
    """That of the hints which is said in so many columns; "" where none fits."""
    return next((said for said in hints if cells(said) <= room), "")


def prompt(word: str, day: str, width: int) -> Line:
    """What stands before the entry line: the day its lines are dated with, where there is room, and a word."""
    return ((f"{day}{GAP}" if day and width >= DAY_FROM else "", ""), (word, "bold"))


def keys_line(own: tuple[Key | RowKey, ...], width: int) -> Line:
    """The keys of a row, and those that work everywhere."""
    return fitting(key_line(own), width, own=len(pairs(own)))


def top_line(view: str, farm: str, width: int) -> Line:
    """The views with a number, and the open one unless only those fit, on one line of `width`.

    Where they do not fit, those from the last on have their numbers alone.
    """
    listed = views()
    labels = {name: f"{v.key} {v.says}" for name, v in listed.items() if v.key in [*NUMBER_KEYS]}
    if view in listed and view not in labels:
        more = {**labels, view: f"{listed[view].key} {listed[view].says}".strip()}
        if _wide(labels) > width or _wide(more) <= width:
            labels = more
    for name in reversed(labels):
        if _wide(labels) > width and name != view:
            labels[name] = listed[name].key
    spans: list[Span] = []
    for key, label in labels.items():
        spans += [(" ", ""), (label, "chosen" if key == view else "")]
    room = max(width - sum(cells(text) for text, _ in spans), 0)
    if farm and room - 3 >= min(cells(farm), FARM_LEAST):
        spans.append((fit(fit(farm, min(cells(farm), room - 3)).rstrip(), room, right=True), ""))
    else:
        spans.append((" " * room, ""))
    return tuple(spans)


def _wide(labels: Mapping[str, str]) -> int:
    return sum(len(label) + 1 for label in labels.values())


def fitting(told: list[tuple[str, str]], width: int, *, own: int = 0) -> Line:
    """(key, word) pairs on one line of `width`; on a narrow screen the last of a row's `own` are left to the help."""
    told = list(told)
    while _wide_told(told) > width and len(told) > 1:
        own -= 1
        told.pop(own if own >= 0 else max(len(told) - 3, 0))
    spans: list[Span] = []
    for key, word in told:
        spans += [(f"{key} ", "key"), (word + GAP, "")]
    spans[-1] = (told[-1][1], "")
    return tuple(spans)


def _wide_told(told: list[tuple[str, str]]) -> int:
    return sum(len(key) + 1 + len(word) for key, word in told) + len(GAP) * (len(told) - 1)
