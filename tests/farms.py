"""Every farm that a test needs: made of drafts in memory, or of lines in a folder; what is only read is made once."""

from __future__ import annotations

import shutil
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date, timedelta
from functools import cache
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Self

from core.asks import PageLine, Sight
from core.book import ids
from core.book.book import Book
from core.book.entry import Draft, Entry
from core.cache import freeze
from core.farm import Farm
from core.fold import check, fold
from core.page import ALL, LINES, page
from core.problems import Problem
from core.session import Session, Written
from core.stems.rows import StockRow, stock_rows
from core.today import Morning, morning

TODAY = date(2026, 6, 23)
"""A Tuesday."""

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

FIFTY_FEET: dict[str, Any] = {"feet": 50, "width_in": 36}
APRICOT: dict[str, Any] = {"crop": "strawflower", "variety": "apricot"}
WHITE: dict[str, Any] = {"crop": "strawflower", "variety": "white"}

# in memory


class Pencil:
    """Writes entries into memory as the book would: checked against the fold, in the order of writing."""

    def __init__(self, start: str = "2026-03-01", by: str = "ml", ids: str = "") -> None:
        """`ids` makes them short: with "id", the first is "id-001"."""
        self.entries: list[Entry] = []
        self.today = date.fromisoformat(start)
        self.by = by
        self._prefix, self._ids = ids, count(1)
        self._folded: tuple[list[Entry], Farm] = [], Farm()
        self._kept: tuple[list[Entry], Farm] = [], Farm()

    def id(self) -> str:
        """The next id, in time order like a UUIDv7."""
        return self._id_of(next(self._ids))

    def _id_of(self, n: int) -> str:
        return f"{self._prefix}-{n:03d}" if self._prefix else f"0195{n:08x}-0000-7000-8000-000000000000"

    def made(self, kind: str, on: str | None = None, **fields: Any) -> Entry:
        """An entry with its id and instant, not yet checked."""
        n = next(self._ids)
        on = on or self.today.isoformat()
        return Entry(self._id_of(n), on, f"{on}T06:00:00.{n % 1000:03d}Z", self.by, kind, fields)

    def write(self, kind: str, on: str | None = None, **fields: Any) -> Entry:
        """Write one entry; a refusal fails the test with its sentence."""
        refused = self.refusal(kind, on, **fields)
        assert refused is None, refused.sentence
        entry = self.made(kind, on, **fields)
        self.entries.append(entry)
        return entry

    def refusal(self, kind: str, on: str | None = None, **fields: Any) -> Problem | None:
        """Why the book would not take this entry now."""
        return check(
            self._standing(), Draft(kind, on or self.today.isoformat(), fields), self.today.isoformat()
        )

    def _standing(self) -> Farm:
        """The farm for a check, kept up entry by entry; folded anew where something came in between or was struck."""
        done, farm = self._kept
        new = self.entries[len(done) :]
        is_next = self.entries[: len(done)] == done and not any(entry.kind == "strike" for entry in new)
        if not is_next or (done and new and min(e.key for e in new) < max(e.key for e in done)):
            new, farm = self.entries, Farm()
        self._kept = [*self.entries], fold(new, onto=farm)
        return self._kept[1]

    def later(self, days: int) -> Self:
        """Some days go by."""
        self.today += timedelta(days=days)
        return self

    @property
    def farm(self) -> Farm:
        """The farm as it stands, not to be changed."""
        if self._folded[0] != self.entries:
            self._folded = [*self.entries], fold(self.entries)
        return self._folded[1]


def beds(*names: str, start: str, last_frost: str = "", first_frost: str = "") -> Pencil:
    """A farm of 50 ft beds three feet wide, with its average frost dates ("MM-DD") where they are given."""
    pencil = Pencil(start)
    for season, day in (("spring", last_frost), ("autumn", first_frost)):
        if day:
            pencil.write("frost", season=season, threshold_f=32, risk_pct=50, month_day=day)
    for name in names:
        pencil.write("bed", bed=name, **FIFTY_FEET)
    return pencil


def small_farm(start: str = "2026-05-20") -> Pencil:
    """A farm with a frost date, two beds, and strawflower and zinnia standing in them since `start`."""
    pencil = beds("b1", "b2", start=start, last_frost="05-14")
    pencil.write("set out", planting="P01", crop="strawflower", bed="b1", feet=25, plants=90)
    pencil.write("set out", planting="P02", crop="zinnia", bed="b2", feet=25, plants=120)
    return pencil


def on(day: str, kind: str, **fields: Any) -> tuple[str, str, dict[str, Any]]:
    """An entry to be: its day, its kind and its fields."""
    return day, kind, fields


def farm_of(*entries: tuple[str, str, dict[str, Any]]) -> Farm:
    """The farm made by these, one after the other, as a book would hold them; the first has the id "id-001"."""
    farm = fold(entries_of(*entries))
    assert not farm.matters, farm.matters
    return farm


def entries_of(*entries: tuple[str, str, dict[str, Any]]) -> tuple[Entry, ...]:
    """These as a book would hold them, one written after the other."""
    pencil = Pencil(ids="id")
    return tuple(pencil.made(kind, day, **fields) for day, kind, fields in entries)


@cache
def sample_farm() -> Farm:
    """Four beds, three trays, five plantings, five lots: in the bucket, on lines, on the bench and in boxes.

    S01 strawflower (set out), S02 zinnia (hardening, step 2), S03 statice. P01 strawflower apricot in b3,
    P02 zinnia in b3, P03 statice in b4, P04 larkspur in b5, P05 strawflower white in b4.
    L001 strawflower hung on line 2 in 10s, L002 zinnia fresh in the bucket, L003 statice in box 4 and line 1,
    L004 strawflower heads on the bench, L005 strawflower apricot, dry, in the bucket; L005 is the last.
    """
    return farm_of(
        on("2026-01-05", "bed", bed="b3", **FIFTY_FEET),
        on("2026-01-05", "bed", bed="b4", **FIFTY_FEET),
        on("2026-01-05", "bed", bed="b5", **FIFTY_FEET),
        on("2026-01-05", "bed", bed="north", feet=30, width_in=48),
        on("2026-02-20", "sown", tray="S01", **APRICOT, way="early", cells=72, seeds=72),
        on("2026-05-20", "sown", tray="S02", crop="zinnia", cells=72, seeds=80, cell_size=72),
        on("2026-05-22", "sown", tray="S03", crop="statice", cells=128, seeds=128),
        on(
            "2026-03-28",
            "set out",
            planting="P01",
            **APRICOT,
            bed="b3",
            feet=20,
            plants=72,
            tray="S01",
            ref="id-005",
        ),
        on("2026-05-16", "set out", planting="P02", crop="zinnia", bed="b3", feet=20, plants=80),
        on("2026-05-16", "set out", planting="P03", crop="statice", bed="b4", feet=20),
        on("2026-04-10", "drilled", planting="P04", crop="larkspur", bed="b5", feet=30),
        on("2026-05-18", "set out", planting="P05", **WHITE, bed="b4", feet=20, plants=60),
        on("2026-06-01", "up", tray="S02", count=64, ref="id-006"),
        on("2026-06-21", "step", tray="S02", step=1, ref="id-006"),
        on("2026-06-22", "step", tray="S02", step=2, ref="id-006"),
        on("2026-06-10", "bought", making="wire 22", count=500),
        on("2026-06-10", "bought", making="tape", count=4),
        on(
            "2026-06-12",
            "cut",
            lot="L001",
            **APRICOT,
            planting="P01",
            bed="b3",
            use="dry",
            stems=36,
            ref="id-008",
        ),
        on("2026-06-12", "hung", lot="L001", stems=36, source="bucket", line="line 2", per=10),
        on("2026-06-20", "cut", lot="L002", crop="zinnia", planting="P02", bed="b3", use="fresh", stems=50),
        on("2026-06-13", "cut", lot="L003", crop="statice", planting="P03", bed="b4", use="dry", stems=60),
        on("2026-06-13", "hung", lot="L003", stems=60, source="bucket", line="line 1"),
        on("2026-06-21", "boxed", lot="L003", source="line 1", box="box 4", bunches=3, per=10),
        on(
            "2026-06-21",
            "cut",
            lot="L004",
            **WHITE,
            planting="P05",
            bed="b4",
            use="wire",
            stems=24,
            ref="id-012",
        ),
        on("2026-06-21", "wired", lot="L004", heads=24, source="bucket", gauge=22, wires=24),
        on(
            "2026-06-22",
            "cut",
            lot="L005",
            **APRICOT,
            planting="P01",
            bed="b3",
            use="dry",
            stems=40,
            ref="id-008",
        ),
    )


@cache
def guide_farm() -> Farm:
    """The farm of the guide's examples: frost dates, trays S12 and (hardening) S14, lots L035 in a box, L038 on a line,
    L041 in the bucket, plan N01, recipe crown-b, two pieces M001 made by it and M001-2 of another machine,
    order O014 of Fern Hollow, peony P10, packet K012 of nigella."""
    return fold(guide_entries())


def in_guide(*ids: str) -> list[Entry]:
    """The entries of the guide's farm by their id."""
    return [entry for entry in guide_entries() if entry.id.endswith(ids)]


@cache
def guide_entries() -> tuple[Entry, ...]:
    """What is written on the guide's farm."""
    return entries_of(
        on("2026-01-05", "bed", bed="b3", **FIFTY_FEET),
        on("2026-01-05", "bed", bed="b4", **FIFTY_FEET),
        on("2026-01-05", "bed", bed="b5", **FIFTY_FEET),
        on("2026-05-10", "set out", planting="P01", **APRICOT, bed="b3", feet=20, plants=60),
        on("2026-05-20", "set out", planting="P02", crop="zinnia", bed="b4", feet=20, plants=90),
        on("2026-05-20", "sown", tray="S12", crop="zinnia", cells=72, seeds=72),
        on("2026-05-18", "sown", tray="S14", crop="cosmos", cells=72, seeds=72),
        on("2026-06-22", "step", tray="S14", step=1),
        on("2026-06-10", "bought", making="wire 22", count=500),
        on("2026-06-10", "cut", lot="L035", **APRICOT, planting="P01", bed="b3", use="dry", stems=50),
        on("2026-06-10", "hung", lot="L035", stems=50, source="bucket", line="line 1"),
        on("2026-06-21", "boxed", lot="L035", source="line 1", box="box 7", bunches=5, per=10),
        on("2026-06-14", "cut", lot="L038", **APRICOT, planting="P01", bed="b3", use="dry", stems=36),
        on("2026-06-14", "hung", lot="L038", stems=36, source="bucket", line="line 2", per=10),
        on("2026-06-23", "cut", lot="L041", **APRICOT, planting="P01", bed="b3", use="dry", stems=40),
        on("2026-06-01", "frost", season="spring", threshold_f=32, risk_pct=50, month_day="05-14"),
        on("2026-06-01", "frost", season="autumn", threshold_f=32, risk_pct=50, month_day="10-01"),
        on("2026-06-01", "planned", plan="N01", crop="cosmos", use="fresh", stems=50, due_on="2026-08-20"),
        on("2026-06-01", "recipe", recipe="crown-b", sort="crown", size_in=23),
        on("2026-06-01", "part", recipe="crown-b", what="strawflower", count=4, form="dry"),
        on("2026-06-22", "made", piece="M001", recipe="crown-b", count=2),
        on("2026-06-22", "made", piece="M001", recipe="crown-b", count=1),
        on("2026-01-05", "bed", bed="b7", **FIFTY_FEET),
        on("2026-05-20", "set out", planting="P09", crop="dahlia", bed="b7", feet=20, plants=18),
        on("2026-05-20", "set out", planting="P10", crop="peony", bed="b7", feet=10, plants=6),
        on("2026-06-01", "tubers bought", crop="dahlia", count=30),
        on("2026-06-02", "tubers sold", crop="dahlia", count=2),
        on("2026-06-02", "tubers checked", crop="dahlia"),
        on("2026-06-02", "tubers bought", crop="tulip", count=80),
        on("2026-06-03", "bulbs chilled", crop="tulip", count=25, weeks=1),
        on("2026-06-11", "bulbs forced", crop="tulip", count=5),
        on("2026-06-01", "packet", packet="K012", crop="nigella", count=200, year=2026),
        on("2026-06-22", "ordered", order="O014", buyer="Fern Hollow", due_on="2026-06-24"),
        on(
            "2026-06-22",
            "order item",
            order="O014",
            item=1,
            crop="strawflower",
            form="dry",
            count=20,
            per=10,
            cents=900,
        ),
        on("2026-06-22", "paid", order="O014", cents=500, who="Fern Hollow"),
        on("2026-06-22", "order item", order="O014", item=2, recipe="crown-b", form="piece", count=1),
        on("2026-06-22", "picked", order="O014", item=1, lot="L035", stems=10, source="box 7"),
        on("2026-06-22", "order item", order="O014", item=3, recipe="corsage", form="piece", count=9),
        on("2026-06-01", "recipe", recipe="dry-posy", sort="posy"),
        on("2026-06-01", "part", recipe="dry-posy", what="strawflower", count=4, form="dry"),
        on("2026-06-22", "order item", order="O014", item=4, recipe="dry-posy", form="piece", count=1),
    )


def frozen(farm: Farm) -> tuple[str, str]:
    """Everything about a farm as text, the live part and the finished one: two farms are the same if these are."""
    every = (farm.trays, farm.plantings, farm.lots, farm.pieces, farm.packets)
    finished = [[str(item) for item in register.all() if not item.is_live] for register in every]
    return freeze(farm)[0], "\n".join(map(str, finished))


def page_of(
    pencil: Pencil, width: int = 78, lines: int = LINES, opened: Collection[str] = ALL
) -> list[PageLine]:
    """The lines of its morning page, all of it opened where nothing else is said."""
    return page(morning(Sight(pencil.farm, pencil.today)), width, lines, opened)


def asked_of(pencil: Pencil, part: str) -> tuple[Any, ...]:
    """The rows of one part of its morning page."""
    return morning(Sight(pencil.farm, pencil.today)).parts.get(part, ())


def stock_of(session: Session) -> list[StockRow]:
    """Everything on hand in a book that is open."""
    return stock_rows(session.farm, session.today)


def morning_of(session: Session) -> Morning:
    """The morning page of a book that is open, as data."""
    return morning(session.sight(), session.guard)


def page_lines(session: Session, width: int = 78) -> list[PageLine]:
    """The same as lines, all of it opened."""
    return page(morning_of(session), width, opened=ALL, guard=session.guard)


# in a folder

Days = Mapping[str, Sequence[str]]
"""Day -> the lines written on it."""

_MADE = TemporaryDirectory(prefix="farms-", ignore_cleanup_errors=True)


def write(session: Session, *lines: str) -> Written:
    """Lines that the book must take; what it answers to the last."""
    answer: Written | Problem = Problem("No line was given.")
    for line in lines:
        answer = session.write(line)
        assert not isinstance(answer, Problem), f"{line}: {answer.sentence}"
    assert not isinstance(answer, Problem)
    return answer


def refused(book: Session, line: str) -> str:
    """The sentence with which the book refuses a line that it must not take."""
    answer = book.write(line)
    assert isinstance(answer, Problem), line
    return answer.sentence


def farm_in(folder: Path, days: Days, by: str = "ml") -> Session:
    """The farm of these lines in `folder`, new, opened on the last of the days. It is written once, then copied."""
    shutil.copytree(_written(tuple((day, *lines) for day, lines in days.items()), by), folder)
    return Session.open(folder, by=by, on=date.fromisoformat([*days][-1]))


@cache
def _written(days: tuple[tuple[str, ...], ...], by: str) -> Path:
    folder = Path(_MADE.name) / f"{len([*Path(_MADE.name).iterdir()])}"
    session = Session.create(folder, by=by)
    for day, *lines in days:
        session.on = date.fromisoformat(day)
        for line in lines:
            write(session, line)
    return folder


# the record alone

FIRST_MS = 1_782_198_000_000  # 2026-06-23T07:00:00Z


def cut(stems: int = 40, **fields: object) -> Draft:
    """A cut of strawflower, told apart by its stems."""
    return Draft(
        "cut", "2026-06-23", {"crop": "strawflower", "stems": stems, "bed": "b3", "use": "dry", **fields}
    )


def cuts(count: int) -> list[Draft]:
    return [cut(n) for n in range(count)]


def a_minute_on() -> int:
    """The clock of what a test writes later on another machine, since instants of quick writings run ahead."""
    return ids.now_ms() + 60_000


def shed(folder: Path) -> Book:
    return Book.create(folder / "farm", device="shed")


def again(book: Book) -> Book:
    """The same farm as a program started anew finds it."""
    return Book.open(book.folder, device=book.device)


def log_of(book: Book, name: str = "") -> Path:
    return book.folder / "log" / f"{name or book.device}.log"


def ids_of(entries: Iterable[Entry]) -> set[str]:
    return {entry.id for entry in entries}
