"""The brief as lines of text: the same page on the screen and on paper."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass

from core.brief import Brief
from core.stems.ageing import FreshRow, ShelfRow
from core.units import day_from_iso, plural, short_day


@dataclass(frozen=True, slots=True)
class PageLine:
    """One line and what it is: "title", "head", "item", "caution", "quiet" or "blank"."""

    what: str
    text: str


FRESH_WORDS = {
    "hang": "hang",
    "wire": "wire while fresh",
    "rescue": "sell or hang today",
    "old": "sell today or compost",
    "compost": "compost",
}
SHELF_WORDS = {
    "test": "try the snap test",
    "dry": "box: it snaps",
    "overdue": "overdue: test, look for mould",
}


def page(brief: Brief, width: int = 78) -> list[PageLine]:
    """The morning page; no line is wider than `width`."""
    return [PageLine(line.what, text) for line in _lines(brief) for text in _wrapped(line, width)]


def _wrapped(line: PageLine, width: int) -> list[str]:
    if len(line.text) <= width:
        return [line.text]
    indent = "    " if line.what in ("item", "caution") else "  "
    return textwrap.wrap(line.text, width, subsequent_indent=indent, break_long_words=True)


def _lines(brief: Brief) -> Iterator[PageLine]:
    yield PageLine("title", f"{brief.title}   {brief.season}".rstrip())
    yield PageLine("quiet", brief.weather)
    for text in brief.cautions:
        yield PageLine("caution", f"! {text}")
    if brief.first_things:
        yield PageLine("head", "To begin, write")
        for text in brief.first_things:
            yield PageLine("item", f"  {text}")
    if brief.matters:
        yield PageLine("head", f"To settle ({len(brief.matters)})")
        for text in brief.matters[:3]:
            yield PageLine("item", f"  {text}")
    yield from _section("Trays", [f"  {t.tray:5} {t.crop:20} {t.what}" for t in brief.trays])
    yield from _section("Beds", [f"  {t.bed:5} {t.crop:20} {t.job}: {t.because}" for t in brief.beds])
    yield from _section(
        "To look at for cutting",
        [
            f"  {r.bed:5} {_named(r.crop, r.variety):26} {'/'.join(r.uses):15} {_since(r.days_since)}"
            for r in brief.at_stage
        ],
    )
    yield from _section("Shelf", [_shelf(r) for r in brief.shelf])
    yield from _section("Bucket", [_fresh(r) for r in brief.fresh])
    if not any((brief.first_things, brief.trays, brief.beds, brief.at_stage, brief.shelf, brief.fresh)):
        yield PageLine("quiet", "Nothing asks for you this morning.")


def _section(head: str, items: list[str]) -> Iterator[PageLine]:
    if items:
        yield PageLine("head", f"{head} ({len(items)})")
        for text in items:
            yield PageLine("item", text)


def _named(crop: str, variety: str | None) -> str:
    return f"{crop} {variety}" if variety else crop


def _since(days: int | None) -> str:
    if days is None:
        return "not cut yet"
    return "cut yesterday" if days == 1 else f"cut {days} days ago"


def _shelf(row: ShelfRow) -> str:
    word = SHELF_WORDS[row.status]
    return f"  {row.lot:5} {_named(row.crop, row.variety):26} {row.line:8} {plural(row.days_hung, 'day'):8} {word}"


def _fresh(row: FreshRow) -> str:
    cut = day_from_iso(row.cut_on)
    when = short_day(cut) if cut else row.cut_on
    stems = plural(row.stems, "stem")
    return (
        f"  {row.lot:5} {_named(row.crop, row.variety):26} {stems:10} cut {when:6}  {FRESH_WORDS[row.status]}"
    )
