"""Small believable farms in a few lines, for every test that needs one."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import count
from typing import Any

from core.asks import PageLine, Sight
from core.book.entry import Draft, Entry
from core.cache import freeze
from core.door import Door, Written
from core.farm import Farm
from core.fold import check, fold
from core.problems import Problem
from core.today import morning, page

STRAW: dict[str, Any] = {
    "crop": "strawflower",
    "variety": "apricot",
    "use": "dry",
    "stems": 120,
    "due_on": "2026-09-19",
    "sow_on": "2026-03-19",
    "set_out_on": "2026-05-14",
    "cut_from": "2026-08-07",
    "cells": 78,
    "seeds": 78,
    "plants": 50,
    "feet": 13.9,
}
"""A plan kept for 120 strawflowers, as the fields of its entry."""

DEER_FLAT_DAM = {
    (36, 50): date(2026, 5, 15),
    (36, 10): date(2026, 6, 9),
    (32, 90): date(2026, 3, 31),
    (32, 50): date(2026, 4, 28),
    (32, 10): date(2026, 5, 25),
    (28, 50): date(2026, 4, 11),
    (28, 10): date(2026, 5, 3),
    (24, 50): date(2026, 3, 18),
    (24, 10): date(2026, 4, 12),
}
"""Deer Flat Dam, Idaho, freeze table reprinted from government normals [S64]: (degrees F, chance of that cold later in
spring) -> the date."""


class Pencil:
    """Writes entries into memory as the book would: checked against the fold, in the order of writing."""

    def __init__(self, start: str = "2026-03-01", by: str = "ml") -> None:
        self.entries: list[Entry] = []
        self.today = date.fromisoformat(start)
        self.by = by
        self._ids = count(1)

    def id(self) -> str:
        """The next id, in time order like a UUIDv7."""
        return f"0195{next(self._ids):08x}-0000-7000-8000-000000000000"

    def made(self, kind: str, on: str | None = None, **fields: Any) -> Entry:
        """An entry with its id and instant, not yet checked."""
        entry_id = self.id()
        on = on or self.today.isoformat()
        return Entry(
            entry_id, on, f"{on}T06:00:00.{int(entry_id[4:12], 16) % 1000:03d}Z", self.by, kind, fields
        )

    def write(self, kind: str, on: str | None = None, **fields: Any) -> Entry:
        """Write one entry; a refusal fails the test with its sentence."""
        refused = self.refusal(kind, on, **fields)
        assert refused is None, refused.sentence
        entry = self.made(kind, on, **fields)
        self.entries.append(entry)
        return entry

    def refusal(self, kind: str, on: str | None = None, **fields: Any) -> Problem | None:
        """Why the book would not take this entry now."""
        return check(self.farm, Draft(kind, on or self.today.isoformat(), fields), self.today.isoformat())

    def later(self, days: int) -> Pencil:
        """Some days go by."""
        self.today += timedelta(days=days)
        return self

    @property
    def farm(self) -> Farm:
        """The farm as it stands."""
        return fold(self.entries)


def small_farm(start: str = "2026-05-20") -> Pencil:
    """A farm with a frost date, two beds, and strawflower and zinnia standing in them since `start`."""
    pencil = Pencil(start)
    pencil.write("frost", season="spring", threshold_f=32, risk_pct=50, month_day="05-14")
    pencil.write("bed", bed="b1", feet=50, width_in=36)
    pencil.write("bed", bed="b2", feet=50, width_in=36)
    pencil.write("set out", planting="P01", crop="strawflower", bed="b1", feet=25, plants=90)
    pencil.write("set out", planting="P02", crop="zinnia", bed="b2", feet=25, plants=120)
    return pencil


def write(door: Door, *lines: str) -> Written:
    """Lines that the book must take; what it answers to the last."""
    answer: Written | Problem = Problem("No line was given.")
    for line in lines:
        answer = door.write(line)
        assert not isinstance(answer, Problem), f"{line}: {answer.sentence}"
    assert not isinstance(answer, Problem)
    return answer


def frozen(farm: Farm) -> tuple[str, str]:
    """Everything about a farm as text, the live part and the finished one: two farms are the same if these are."""
    every = (farm.trays, farm.plantings, farm.lots, farm.pieces)
    finished = [[str(item) for item in register.all() if not item.is_live] for register in every]
    return freeze(farm)[0], "\n".join(map(str, finished))


def page_of(pencil: Pencil, width: int = 78) -> list[PageLine]:
    """The lines of its morning page."""
    return page(morning(Sight(pencil.farm, pencil.today)), pencil.farm, width)


def asked_of(pencil: Pencil, part: str) -> tuple[Any, ...]:
    """The rows of one part of its morning page."""
    return morning(Sight(pencil.farm, pencil.today)).parts.get(part, ())
