"""The published sources that figures of the crop library rest on."""

from __future__ import annotations

import csv
import re
from functools import cache
from typing import NamedTuple

from core.crops.library import DATA


class Source(NamedTuple):
    """One published source; `grade` begins with A (extension, agency, trial), B (trade, good press) or C."""

    id: str
    title: str
    publisher: str
    year: str
    url: str
    grade: str


@cache
def sources() -> dict[str, Source]:
    """All sources by id ("S01")."""
    with (DATA / "sources.csv").open(encoding="utf-8", newline="") as table:
        return {row["id"]: Source(**row) for row in csv.DictReader(table)}


def cited(text: str) -> tuple[Source, ...]:
    """The sources named in a figure's source text, in its order; none for "common practice" and the like."""
    known = sources()
    return tuple(known[id_] for id_ in re.findall(r"\bS\d+\b", text) if id_ in known)


RESTS_ON = ("A", "B", "C", "one of the row's", "common practice", "derived", "from memory")
"""What a figure may rest on, the best first."""


def rests_on(source: str) -> str:
    """Which of `RESTS_ON` a figure's source text is: the grade of its best source, unless part of it is from memory."""
    if "from memory" in source:
        return "from memory"
    if source.startswith("one of"):
        return "one of the row's"
    if "common practice" in source and not source.startswith("S"):
        return "common practice"
    if source.startswith("derived"):
        return "derived"
    return min((found.grade[0] for found in cited(source)), default="C")
