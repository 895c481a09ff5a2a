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
