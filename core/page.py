"""The brief as lines of text: the same page on the screen and on paper."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from core.farm import COOLER
from core.guard import UNGUARDED, Guard
from core.text import named
from core.units import day_text, plural

if TYPE_CHECKING:
    from core.brief import AtStage, BedTask, Brief, PlanTask, TrayTask
    from core.drying.hanging import ShelfRow
    from core.stems.boxes import BoxRow
    from core.stems.fresh import FreshRow

Subject: TypeAlias = "PlanTask | TrayTask | BedTask | AtStage | ShelfRow | FreshRow | BoxRow"


class PageLine(NamedTuple):
    """One line and what it is: "title", "head", "item", "caution", "quiet", "to write" or "to buy".

    `subject` is what an item speaks of, where that is one thing.
    """

    what: str
    text: str
    subject: Subject | None = None


FRESH_WORDS = {
    "hang": "hang",
    "wire": "wire while fresh",
    "rescue": "sell or hang today",
    "sell": "sell today",
    "take out": "out of the cooler",
    "old": "sell today or compost",
    "compost": "compost",
}
BOX_WORDS = {
    "treat": "moth, not treated yet",
    "dry": "damp, hang it again",
    "close": "mice",
    "look": "look for moth and damp",
}
BOX_SHORT = {"dry": "damp", "close": "mice", "look": "look"}
"""The same where something more pressing stands before it."""
BOXES_NAMED = 4
"""Boxes named in one line of the page; the rest are counted."""
SHELF_WORDS = {"test": "try the snap test", "dry": "box: it snaps", "overdue": "overdue: test, mould?"}
GROUPED_FROM = 3
"""The same job in so many beds takes one line."""


def page(brief: Brief, width: int = 78, guard: Guard = UNGUARDED) -> list[PageLine]:
    """The morning page; no line is wider than `width`, and an item takes one line. Each part is guarded."""
    lines: list[PageLine] = []
    parts = dict(_parts(brief))
    for name, part in parts.items():
        lines += [_fault(said) for at, said in brief.failed if at == name]
        lines += guard(name, partial(list, part), lambda why: [_fault(why.sentence)])
    at = next((i for i, line in enumerate(lines) if line.what not in ("title", "quiet")), len(lines))
    lines[at:at] = [_fault(said) for name, said in brief.failed if name not in parts]
    return [shown for line in lines for shown in _fitted(line, width)]


def _fault(said: str) -> PageLine:
    return PageLine("caution", f"! {said}")


def _fitted(line: PageLine, width: int) -> list[PageLine]:
    if line.subject is not None:
        return [PageLine(line.what, _cut_short(line.text, width), line.subject)]
    return [PageLine(line.what, text) for text in _wrapped(line.text, width)]


def _cut_short(text: str, width: int) -> str:
    return text if len(text) <= width else text[: width - 2].rstrip() + ".."


def _wrapped(text: str, width: int) -> list[str]:
    indent = " " * (len(text) - len(text.lstrip()) + 2)
    return textwrap.wrap(text, width, subsequent_indent=indent, break_long_words=True) or [""]


def _parts(brief: Brief) -> Iterator[tuple[str, Iterator[PageLine]]]:
    """The parts of the page from above, by the names they have in `Brief.failed` where that has them."""
    yield "The head", _head(brief)
    yield "What to begin with", _first_things(brief)
    yield "To settle", _matters(brief)
    yield "Plan", _section("Plan", len(brief.plans), map(_plan, brief.plans))
    yield "Trays", _section("Trays", len(brief.trays), map(_tray, brief.trays))
    yield "Beds", _section("Beds", len(brief.beds), _beds(brief.beds))
    yield "Bucket", _section("Bucket", len(brief.fresh), map(_fresh, brief.fresh))
    yield "Shelf", _section("Shelf", len(brief.shelf), map(_shelf, brief.shelf))
    yield "Boxes", _boxes_line(brief)
    yield "Buy", _to_buy(brief)
    # the longest list last: what spoils, and what is one line, must not lie below it
    at_stage = "To look at for cutting"
    yield at_stage, _section(at_stage, len(brief.at_stage), _at_stage(brief.at_stage))
    yield "The end", _end(brief)


def _head(brief: Brief) -> Iterator[PageLine]:
    sun = f", sun up {brief.sun_up}" if brief.sun_up else ""
    yield PageLine("title", f"{brief.title}{sun}   {brief.season}".rstrip())
    if brief.weather:
        yield PageLine("quiet", brief.weather)
    for text in brief.cautions:
        yield PageLine("caution", f"! {text}")
    if brief.care:
        crops = "; ".join(crop for crop, _ in brief.care)
        yield PageLine("caution", f"! handle with care (see the sheet): {crops}")


def _first_things(brief: Brief) -> Iterator[PageLine]:
    if brief.first_things:
        yield PageLine("head", "To begin, write")
        for text in brief.first_things:
            yield PageLine("to write", f"  {text}")


def _matters(brief: Brief) -> Iterator[PageLine]:
    if brief.matters:
        yield PageLine("head", f"To settle ({len(brief.matters)})")
        for text in brief.matters[:3]:
            yield PageLine("item", f"  {text}")


def _boxes_line(brief: Brief) -> Iterator[PageLine]:
    if brief.boxes:
        yield PageLine("item", f"Boxes ({len(brief.boxes)})  {_boxes(brief.boxes)}", brief.boxes[0])


def _to_buy(brief: Brief) -> Iterator[PageLine]:
    if brief.to_buy:
        yield PageLine(
            "to buy", f"Buy  {'; '.join(f'{name} ({left:g} left)' for name, left in brief.to_buy)}"
        )


def _end(brief: Brief) -> Iterator[PageLine]:
    asking = (brief.first_things, brief.plans, brief.trays, brief.beds, brief.failed)
    if not any((*asking, brief.at_stage, brief.shelf, brief.fresh, brief.boxes, brief.to_buy)):
        yield PageLine("quiet", "Nothing asks for you this morning.")


def _section(head: str, count: int, items: Iterator[PageLine]) -> Iterator[PageLine]:
    if count:
        yield PageLine("head", f"{head} ({count})")
        yield from items


def _item(code: str, name: str, rest: str, subject: Subject) -> PageLine:
    return PageLine("item", f"  {code:5} {name:17} {rest}", subject)


def _plan(task: PlanTask) -> PageLine:
    return _wide(task.plan, named(task.crop, task.variety), task.what, task)


def _tray(task: TrayTask) -> PageLine:
    return _item(task.tray, task.crop, task.what, task)


def _beds(tasks: Sequence[BedTask]) -> Iterator[PageLine]:
    """One line a job; a job that many beds ask for is one line for all of them."""
    for job in dict.fromkeys(t.job for t in tasks):
        same = [t for t in tasks if t.job == job]
        if len(same) >= GROUPED_FROM:
            yield PageLine("item", f"  {job}: " + "; ".join(f"{t.bed} {t.crop}" for t in same))
        else:
            yield from (_item(t.bed, t.crop, f"{t.job}: {t.because}", t) for t in same)


def _at_stage(rows: Sequence[AtStage]) -> Iterator[PageLine]:
    """What waits longest, a line each; what was cut yesterday, all in one."""
    for row in rows:
        if row.days_since != 1:
            since = "not cut yet" if row.days_since is None else f"cut {row.days_since} days ago"
            yield _wide(row.bed, named(row.crop, row.variety), f"{'/'.join(row.uses):15} {since}", row)
    again = [f"{row.bed} {named(row.crop, row.variety)}" for row in rows if row.days_since == 1]
    if again:
        yield PageLine("item", "  cut yesterday, look again: " + "; ".join(again))


def _wide(code: str, name: str, rest: str, subject: Subject) -> PageLine:
    return PageLine("item", f"  {code:5} {name:25} {rest}", subject)


def _shelf(row: ShelfRow) -> PageLine:
    rest = f"{row.line:7} {plural(row.days_hung, 'day'):8} {SHELF_WORDS[row.status]}"
    return _wide(row.lot, named(row.crop, row.variety), rest, row)


def _fresh(row: FreshRow) -> PageLine:
    word = FRESH_WORDS[row.status]
    if row.place == COOLER and row.status != "take out":
        word = f"{word.replace(' today', '')}, cooler"
    rest = f"{row.stems:4} cut {day_text(row.cut_on):7} {word}"
    return _wide(row.lot, named(row.crop, row.variety), rest, row)


def _boxes(rows: Sequence[BoxRow]) -> str:
    """ "box 4: moth, not treated yet; 12 more: look"; what is most pressing in full, and its first box is led to."""
    parts: list[str] = []
    for ask, word in BOX_WORDS.items():
        names = [row.box for row in rows if row.ask == ask]
        if names and not parts:
            more = f" and {len(names) - BOXES_NAMED} more" if len(names) > BOXES_NAMED else ""
            parts.append(f"{', '.join(names[:BOXES_NAMED])}{more}: {word}")
        elif names:
            parts.append(f"{names[0] if len(names) == 1 else f'{len(names)} more'}: {BOX_SHORT[ask]}")
    return "; ".join(parts)
