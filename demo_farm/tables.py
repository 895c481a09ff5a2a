"""The season's facts, from the tables beside: what is grown and how it is cut, what goes wrong, what is written."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any, NamedTuple, get_type_hints

USES = {"f": "fresh", "d": "dry", "w": "wire"}


class Crop(NamedTuple):
    """How a crop is cut and dried here: its uses in turn, the days between two cuts, the kind of box it shares; grams
    of a fresh stem, the share of them that is left when it is dry, the shape of its drying (below 1: a slow end); the
    stage it is cut at for each use; what it looks like that was cut too late, and what it is lost by afterwards; where
    no frost date tells its first cut, about when that is, "MM-DD", and for how many weeks.
    """

    crop: str
    uses: str
    every: int
    box: str
    grams: float
    kept: float
    shape: float
    fresh: str
    dry: str
    wire: str
    late: str
    late_cause: str
    first_cut: str
    weeks: int


class Sowing(NamedTuple):
    """One tray of so many cells, or without cells a row drilled in a bed; tubers go out as so many `plants`.

    `when` is "MM-DD", `year` "" for each year. What `waits` has no bed free: it stays under the lights.
    """

    crop: str
    variety: str
    feet: int
    cells: int
    when: str
    year: str
    germination: float
    way: str
    waits: str
    plants: int


class Trouble(NamedTuple):
    """From `day` on, for `days`, `what` happens to `of` (a crop, a box, a recipe), how much of it, and the cause that
    is written. Weather that the story needs is a trouble too: a low or a warm cooler in F, a wind in mph.

    "lost in a tray" and "mold" are shares, "lost in a bed" plants, "moth" and "boxes counted" bunches.
    """

    day: str
    what: str
    of: str
    amount: float
    cause: str
    days: int

    @property
    def dates(self) -> list[date]:
        return [date.fromisoformat(self.day) + timedelta(n) for n in range(self.days)]


class Said(NamedTuple):
    """What is written as it stands: on the first day the farm itself, later at the table in the evening."""

    day: str
    line: str


def _table(name: str, row: Callable[..., Any]) -> tuple[Any, ...]:
    """The rows of a table, each field made what its row says it is."""
    makers = get_type_hints(row).values()
    with (Path(__file__).parent / "tables" / name).open(encoding="utf-8", newline="") as file:
        _, *lines = csv.reader(file)
    return tuple(row(*(make(text) for make, text in zip(makers, line, strict=True))) for line in lines)


CROPS: dict[str, Crop] = {row.crop: row for row in _table("crops.csv", Crop)}
SOWINGS: tuple[Sowing, ...] = _table("sowings.csv", Sowing)
TROUBLES: tuple[Trouble, ...] = _table("troubles.csv", Trouble)
SAID: tuple[Said, ...] = _table("said.csv", Said)
_ON = {(str(day), row.what, row.of): row for row in TROUBLES for day in row.dates}


def on(day: date | str, what: str, of: str = "") -> Trouble | None:
    """The trouble of that day, if it has it."""
    return _ON.get((str(day), what, of))
