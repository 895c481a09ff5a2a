"""Shelf: what hangs on each line, how far it has dried, and when it may be dry."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING

from core.dialect import told_feet, told_length
from core.drying.asks import asks_of
from core.drying.rows import ShelfRow, shelf_rows
from core.fresh.asks import asks_of as fresh_asks
from core.fresh.rows import FreshRow, fresh_rows
from core.marked import with_figures
from core.text import named, wrapped
from core.units import day_text, plural
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.letters import deed
from tui.phrases import SCALE_HEAD, SCALE_WIDTH, air_text, because, days_scale, share_bar, strip
from tui.row_keys import Row, RowSort, gap, whole
from tui.subjects.shed import shed_of
from tui.table import CSV, PRINTED, SCREEN, TEXT, Column, Line, Table, fit, printed_table
from tui.views.view import View

if TYPE_CHECKING:
    from core.session import Session
    from core.shed.rows import Shed

BAR = 8
SPEAKS = {"handbook and shed air": "shed air", "weighings": "scale", "snap test": "snap"}
BY = {"handbook": "book", "handbook and shed air": "book, air", "weighings": "weights", "snap test": "snap"}
LOOKS = {"overdue": "bold", "test": "bold", "dry": "bold"}
"""Late is told by the scale; red is kept for what is lost or dangerous today."""
NOT_READ = "The shed's air is not read: write 'shed {typed_degrees:72} 55%', and 'line 1 is {typed_feet:40} dark fan'"


def _dry(r: ShelfRow) -> str:
    """ "by 16 Jun": the last of the days that the scale shows."""
    if r.status == "dry":
        return ""
    return f"by {day_text(r.dry_by)}"


def _scale(r: ShelfRow) -> str:
    """The days that hold the one it is dry, with today marked; of what snapped, today."""
    today = date.fromisoformat(r.hung_on).toordinal() + r.days_hung
    first, last = (date.fromisoformat(day).toordinal() - today for day in (r.dry_from, r.dry_by))
    return days_scale(0, 0) if r.status == "dry" else days_scale(first, last)


COLUMNS = (
    Column("line", "line", on=PRINTED),
    Column("lot", "lot", 6),
    Column("", "crop", show=lambda r: named(r.crop, r.variety), on=SCREEN | TEXT),
    Column("crop", "crop", on=CSV),
    Column("variety", "variety", on=CSV),
    Column("line", "line", 7, on=SCREEN),
    Column("stems", "stems", 5, right=True, least=60),
    Column("days_hung", "days", 4, right=True, least=88, csv_head="hung d"),
    Column("", SCALE_HEAD, SCALE_WIDTH, _scale, least=66, on=SCREEN),
    Column("share", "done", show=lambda share: share_bar(share, BAR), on=TEXT),
    Column("", "dry", 9, _dry, on=SCREEN),
    Column("test_from", "test", show=day_text, on=TEXT),
    Column("dry_by", "dry by", show=day_text, on=TEXT),
    Column("speaks", "by", 8, lambda speaks: SPEAKS.get(speaks, "book"), least=92, on=SCREEN),
    Column("speaks", "by", show=lambda speaks: BY[speaks], on=TEXT),
    Column("", "", 14, asks_of, on=SCREEN),
    Column("", "now", show=asks_of, on=TEXT),
    Column("test_from", "test from", on=CSV),
    Column("due", "due", on=CSV),
    Column("status", "status", on=CSV),
    Column("dry_from", "dry from", on=CSV),
    Column("dry_by", "dry by", on=CSV),
    Column("speaks", "by", on=CSV),
    Column("share", "share", on=CSV),
    Column("water_left", "water left", on=CSV),
    Column("weighings", "weighings", on=CSV),
    Column("note", "note", on=CSV),
    Column("because", "because", on=CSV),
)
BUCKET_COLUMNS = (
    Column("lot", "fresh"),
    Column("crop", "crop"),
    Column("variety", "variety"),
    Column("place", "in"),
    Column("use", "for"),
    Column("stems", "stems"),
    Column("age_days", "age d"),
    Column("", "now", show=fresh_asks),
)
"""What is fresh, in short, under what hangs."""
HANGING = RowSort(
    "hanging",
    "On what hangs",
    (
        deed(
            "snap",
            "it snaps",
            "tested: the stem snaps, it is dry",
            lambda r: whole(f"snap {r.lot} {r.line}"),
        ),
        deed(
            "bend",
            "it bends",
            "tested: it still bends, leave it",
            lambda r: whole(f"bend {r.lot} {r.line}"),
        ),
        deed("box", "box", "box it in bunches", lambda r: gap(f"box {r.lot} {r.line} ")),
        deed("lost", "lost", "stems lost, with the cause", lambda r: gap(f"lost {r.lot} {r.line} ")),
        deed("move", "", "move to another line", lambda r: gap(f"move {r.lot} from {r.line} to line ")),
        deed(
            "weigh",
            "weigh",
            "its marked bunch on the scale, in grams",
            lambda r: gap(f"weigh {r.lot} {r.line} ", "g"),
        ),
    ),
    view="shelf",
    page="lot",
)
ROWS = (HANGING,)


# the command


def shelf(args: Namespace) -> int:
    """What hangs, by line, and the bucket."""
    session = open_session(args)
    hanging = shelf_rows(session.farm, session.today)
    fresh = fresh_rows(session.farm, session.today, session.clock)

    def notes() -> list[str]:
        bucket = printed_table(BUCKET_COLUMNS, fresh)
        return [*wrapped(_notes(hanging)), *(["", *bucket] if bucket else []), *wrapped(asks(fresh))]

    return show_table(args, COLUMNS, hanging, page=notes, nothing="Nothing hangs.", bucket=fresh)


TABLES = (
    Table("shelf", COLUMNS, lambda session: shelf_rows(session.farm, session.today), "what hangs to dry"),
)
COMMANDS = {"shelf": Command(shelf, csv=True)}


def _notes(rows: Sequence[ShelfRow]) -> Iterator[str]:
    """What weighings say and ask for, a line a lot."""
    for row in rows:
        if row.speaks == "weighings":
            yield f"  {row.lot}: {row.because}"
        if row.note:
            yield f"  {row.lot}: {row.note}"


def asks(rows: Sequence[FreshRow]) -> Iterator[str]:
    """Why something is asked of what is fresh, a line a lot; the whole of it is in `shedbook buckets`."""
    for row in rows:
        if row.status != "fresh":
            yield f"  {row.lot}: {row.reason}"


# the view


class Shelf(View):
    """By the day it is dry by, what is late first."""

    EMPTY = "Nothing hangs. Hang what was cut to dry: hang L041 line 2"
    SORTS = ("hanging",)
    JOBS = ("Hang, wire, box", "The shed")
    shed_lines: tuple[Line, ...] = ()

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        found = shelf_rows(session.farm, session.today)
        self.shed_lines = tuple(self._shed(shed_of(session))) if found else ()
        return self.table(
            COLUMNS, found, HANGING, lambda r: (r.lot, r.line), lambda r: LOOKS.get(r.status, "")
        )

    def above(self) -> list[Line]:
        return list(self.shed_lines)

    def _shed(self, shed: Shed) -> list[Line]:
        """The air and the feet left; what is wrong of either."""
        lines = shed.lines
        feet = f"{told_length(lines.free or 0)} of {told_feet(lines.feet)} of line free" if lines.feet else ""
        said = "; ".join(filter(None, (air_text(shed.air.now), feet)))
        told: list[Line] = [((fit(f"  {said or with_figures(NOT_READ)}", self.columns).rstrip(), "quiet"),)]
        if shed.wrong:
            told.append(((fit(f"  ! {'; '.join(shed.wrong)}", self.columns).rstrip(), "caution"),))
        return told

    def detail(self, row: Row) -> list[Line]:
        return about_hanging(row.value, self.width)


VIEW = Shelf


def about_hanging(r: ShelfRow, width: int) -> list[Line]:
    """What there is to say of a lot on a line, the most needed first."""
    bunches = f" in bunches of {r.per}" if r.per else ""
    first = f"{r.lot} {named(r.crop, r.variety)}: {plural(r.stems, 'stem')}{bunches} on {r.line} since "
    first += day_text(r.hung_on)
    when = f"snap test from {day_text(r.test_from)}, dry {day_text(r.dry_from)} to {day_text(r.dry_by)}"
    if r.status == "dry":
        when = "dry: x boxes it"
    water = f"; {100 * r.water_left:.0f} % of its water left to lose" if r.water_left is not None else ""
    return strip(
        width,
        (first, "bold"),
        (f"{when}, by {r.speaks}{water}", ""),
        (r.note, "bold"),
        (because(r.why or r.because), "quiet"),
    )
