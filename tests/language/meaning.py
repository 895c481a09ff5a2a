"""What lines mean, held against what their writers meant: the farm they speak of, and the table said_and_meant.csv.

A row of the table is a line as a grower would type it and what it must become: the entries of one line joined by
" + ", each a kind and its fields ("cut: stems=40; crop=strawflower"), "undo", or "refused" and the code of the refusal
("any" where several would do). A field that is not named must not be there, but for those the book adds of itself.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

from core.book.entry import Draft
from core.farm import Farm
from core.fold import check
from core.language.read import Reading, read_line
from core.problems import Problem
from tests.farms import APRICOT, FIFTY_FEET, TODAY, WHITE, farm_of, on

TABLE = Path(__file__).parent / "said_and_meant.csv"
ANY = "any"
ADDED = {"ref", "order_ref", "item_ref", "expected", "tape", "wires", "width_in"}
"""Fields that the book adds of itself to any entry."""
ADDED_TO = {
    "cut": {"lot", "planting"},
    "sown": {"tray"},
    "packet": {"packet", "per_gram"},
    "set out": {"planting"},
    "drilled": {"planting"},
    "made": {"piece", "minutes"},
    "recipe": {"size_in"},
    "note": {"about"},
    "ordered": {"order"},
    "order item": {"order", "item"},
    "wired": set[str](),
    "sprayed": {"crops"},
    "fed": {"crops"},
}
"""What it adds to one kind: codes, and what follows from the farm."""
FOLLOW = {"planned", "used", "spent", "part"}
"""Kinds whose fields, or which themselves, follow from the rest of a line: only what the row names is compared."""


class Row(NamedTuple):
    """A line and what it must mean."""

    said: str
    meant: str

    @property
    def is_trap(self) -> bool:
        """Whether the line must be refused."""
        return self.meant.startswith("refused")


@cache
def rows() -> tuple[Row, ...]:
    """The whole table."""
    with TABLE.open(encoding="utf-8", newline="") as table:
        return tuple(Row(row["said"], row["meant"]) for row in csv.DictReader(table))


@cache
def farm_spoken_of() -> Farm:
    """The farm of the table, on 2026-06-23.

    b1 dahlia (P07), b2 statice (P03), b3 strawflower apricot (P01), b4 zinnia lime (P02) and strawflower white (P05),
    b5 larkspur (P04) and celosia, plume (P08), e1 peony (P06), north snapdragon (P09) and yarrow (P10).
    Trays: S12 zinnia (60 of 72, two steps hardened), S13 statice (100 seedlings), S14 cosmos (one step).
    Lots: L001 strawflower in box 7, L002 zinnia in the bucket, L003 statice on line 1 and in box 4, L004 strawflower
    heads on the bench, L006 larkspur on line 2, L007 dahlia in the cooler, L008 zinnia all sold, L005 strawflower, cut
    last, to dry, in the bucket.
    The seed drawer: K003 nigella 200, K004 scabiosa black of 2022, 100, K005 scabiosa white 80, K006 stock of 2024,
    150, K012 stock, 2 g or 1250 seeds.
    Orders: O014 of Fern Hollow for 1 September (2 bunches of statice and 40 yarrow, dry), O015 of Hill Table, 30
    larkspur fresh a week from 1 July to 26 August.
    """
    beds = [on("2026-01-05", "bed", bed=bed, **FIFTY_FEET) for bed in ("b1", "b2", "b3", "b4", "b5", "e1")]
    return farm_of(
        on("2026-01-02", "farm", latitude=44.1),
        on("2026-01-02", "frost", season="spring", threshold_f=32, risk_pct=50, month_day="05-14"),
        on("2026-01-02", "frost", season="autumn", threshold_f=32, risk_pct=50, month_day="10-01"),
        *beds,
        on("2026-01-05", "bed", bed="north", feet=30, width_in=48),
        on("2026-05-10", "set out", planting="P01", **APRICOT, bed="b3", feet=20, plants=72),
        on("2026-05-16", "set out", planting="P02", crop="zinnia", variety="lime", bed="b4", feet=15, plants=60),
        on("2026-05-16", "set out", planting="P03", crop="statice", bed="b2", feet=20, plants=80),
        on("2026-04-10", "drilled", planting="P04", crop="larkspur", bed="b5", feet=15),
        on("2026-05-18", "set out", planting="P05", **WHITE, bed="b4", feet=15, plants=60),
        on("2024-10-01", "set out", planting="P06", crop="peony", bed="e1", feet=20, plants=24),
        on("2026-05-20", "set out", planting="P07", crop="dahlia", bed="b1", feet=20, plants=14),
        on("2026-05-20", "set out", planting="P08", crop="celosia, plume", bed="b5", feet=10, plants=40),
        on("2026-05-05", "set out", planting="P09", crop="snapdragon", bed="north", feet=10, plants=60),
        on("2024-05-05", "set out", planting="P10", crop="yarrow", bed="north", feet=10, plants=12),
        on("2026-05-20", "sown", tray="S12", crop="zinnia", cells=72, seeds=72),
        on("2026-05-30", "up", tray="S12", count=60),
        on("2026-06-20", "step", tray="S12", step=1),
        on("2026-06-22", "step", tray="S12", step=2),
        on("2026-05-28", "sown", tray="S13", crop="statice", cells=128, seeds=128),
        on("2026-06-12", "up", tray="S13", count=100),
        on("2026-05-18", "sown", tray="S14", crop="cosmos", cells=72, seeds=72),
        on("2026-05-28", "up", tray="S14", count=64),
        on("2026-06-22", "step", tray="S14", step=1),
        on("2026-06-10", "bought", making="wire 22", count=500),
        on("2026-06-10", "bought", making="tape", count=4),
        on("2026-06-10", "bought", making="ring 12in", count=10),
        on("2026-01-20", "packet", packet="K003", crop="nigella", count=200, year=2026),
        on("2026-01-20", "packet", packet="K004", crop="scabiosa", variety="black", count=100, year=2022),
        on("2026-01-20", "packet", packet="K005", crop="scabiosa", variety="white", count=80, year=2026),
        on("2026-01-20", "packet", packet="K006", crop="stock", count=150, year=2024),
        on("2026-01-20", "packet", packet="K012", crop="stock", count=1250, year=2026, grams=2, per_gram=625),
        on("2026-06-05", "cut", lot="L001", **APRICOT, planting="P01", bed="b3", use="dry", stems=39),
        on("2026-06-05", "hung", lot="L001", stems=39, source="bucket", line="line 1"),
        on("2026-06-08", "lost", lot="L001", count=3, cause="shatter", source="line 1"),
        on("2026-06-18", "boxed", lot="L001", source="line 1", box="box 7", bunches=3, per=10),
        on("2026-06-18", "lost", lot="L001", count=6, cause="short", source="line 1"),
        on("2026-06-10", "cut", lot="L003", crop="statice", planting="P03", bed="b2", use="dry", stems=45),
        on("2026-06-10", "hung", lot="L003", stems=45, source="bucket", line="line 1"),
        on("2026-06-21", "boxed", lot="L003", source="line 1", box="box 4", bunches=3, per=10),
        on("2026-06-12", "cut", lot="L006", crop="larkspur", planting="P04", bed="b5", use="dry", stems=36),
        on("2026-06-12", "hung", lot="L006", stems=36, source="bucket", line="line 2", per=10),
        on("2026-06-18", "cut", lot="L008", crop="zinnia", planting="P02", bed="b4", use="fresh", stems=30),
        on("2026-06-19", "sold", lot="L008", stems=20, source="bucket", who="corner florist"),
        on("2026-06-20", "sold", lot="L008", stems=10, source="bucket", who="market"),
        on("2026-06-21", "cut", lot="L004", **WHITE, planting="P05", bed="b4", use="wire", stems=24),
        on("2026-06-21", "wired", lot="L004", heads=24, source="bucket", gauge=22, wires=24),
        on("2026-06-21", "cut", lot="L007", crop="dahlia", planting="P07", bed="b1", use="fresh", stems=12),
        on("2026-06-21", "moved", lot="L007", stems=12, source="bucket", place="cooler"),
        on("2026-06-22", "cut", lot="L002", crop="zinnia", variety="lime", planting="P02", bed="b4", use="fresh",
           stems=50),
        on("2026-06-22", "cut", lot="L005", **APRICOT, planting="P01", bed="b3", use="dry", stems=40),
        on("2026-06-01", "covered", bed="b5"),
        on("2026-06-01", "covered", bed="e1"),
        on("2026-06-01", "planned", plan="N01", crop="cosmos", use="fresh", stems=50, due_on="2026-08-20"),
        on("2026-06-01", "recipe", recipe="crown-b", sort="crown", size_in=23),
        on("2026-06-01", "part", recipe="crown-b", what="strawflower", count=4, form="dry"),
        on("2026-06-21", "made", piece="M001", recipe="crown-b", count=2),
        on("2026-06-15", "ordered", order="O014", buyer="Fern Hollow", due_on="2026-09-01"),
        on("2026-06-15", "order item", order="O014", item=1, crop="statice", form="dry", count=20, per=10, cents=900),
        on("2026-06-15", "order item", order="O014", item=2, crop="yarrow", form="dry", count=40, cents=45),
        on("2026-06-15", "ordered", order="O015", buyer="Hill Table", due_on="2026-07-01", every_days=7,
           until_on="2026-08-26"),
        on("2026-06-15", "order item", order="O015", item=1, crop="larkspur", form="fresh", count=30, colors="blue"),
    )  # fmt: skip


def read(said: str) -> Reading | Problem:
    """The line read on that farm and checked as it would be before it is written."""
    farm = farm_spoken_of()
    reading = read_line(said, farm, TODAY)
    if isinstance(reading, Problem):
        return reading
    for draft in reading.drafts:
        if problem := check(farm, draft, TODAY.isoformat()):
            return problem
    return reading


def amiss(row: Row) -> str:
    """What the line becomes, where that is not what was meant; "" where it is."""
    found = read(row.said)
    if isinstance(found, Problem):
        code = row.meant.removeprefix("refused").strip()
        fits = row.is_trap and code in (ANY, found.code)
        return "" if fits else f"refused {found.code}: {found.sentence}"
    if found.undo:
        return "" if row.meant == "undo" else "undo"
    became = " + ".join(_said(draft, found.by) for draft in found.drafts)
    if row.is_trap or row.meant == "undo":
        return became
    wanted = [*_wanted(row.meant)]
    drafts = [draft for draft in found.drafts if draft.kind not in FOLLOW - {wanted[0][0]}]
    if len(drafts) != len(wanted) and wanted[0][0] not in FOLLOW:
        return became
    fits = all(_fits(draft, *want, found.by) for draft, want in zip(drafts, wanted, strict=False))
    return "" if fits else became


def _wanted(meant: str) -> Iterator[tuple[str, dict[str, str]]]:
    """(kind, fields as text) of every entry that a row names."""
    for entry in meant.split(" + "):
        kind, _, fields = entry.partition(": ")
        yield kind, dict(part.split("=", 1) for part in fields.split("; ")) if fields != ANY else {ANY: ""}


def _fits(draft: Draft, kind: str, wanted: dict[str, str], by: str) -> bool:
    if draft.kind != kind:
        return False
    if ANY in wanted:
        return True
    has = _fields(draft, by)
    added = ADDED | ADDED_TO.get(kind, set())
    kept = {name for name in has if name in wanted or not (name in added or kind in FOLLOW)}
    return {name: has[name] for name in kept} == wanted


def _fields(draft: Draft, by: str) -> dict[str, str]:
    """The fields of a draft as the table writes them, with the day where it is not today and who where it is said."""
    has = {name: _text(value) for name, value in draft.fields.items()}
    if draft.on != TODAY.isoformat():
        has["on"] = draft.on
    return has | ({"by": by} if by else {})


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _said(draft: Draft, by: str) -> str:
    return f"{draft.kind}: " + "; ".join(f"{name}={text}" for name, text in _fields(draft, by).items())
