"""Tubers in store: what lies there of each variety, what came in and went out, and how it is kept."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from core.marked import typed_feet
from core.text import named, wrapped
from core.tubers.clumps import told_origins
from core.tubers.rows import TuberRow, told_forcing, told_store, tuber_rows
from core.units import day_text
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.letters import deed
from tui.phrases import strip
from tui.row_keys import Row, RowSort, gap
from tui.table import CSV, SCREEN, TEXT, Column, Line, Table
from tui.views.view import View

if TYPE_CHECKING:
    from core.session import Session

COLUMNS = (
    Column("", "tubers", 18, lambda r: named(r.crop, r.variety)),
    Column("there", "there", 5, right=True),
    Column("lifted", "lifted", 6, right=True),
    Column("bought", "bought", 6, right=True),
    Column("gained", "divided", 7, lambda n: f"+{n}" if n else "", right=True, on=SCREEN | TEXT),
    Column("gained", "divided", on=CSV),
    Column("planted", "out", 4, right=True, on=SCREEN | TEXT),
    Column("planted", "planted", on=CSV),
    Column("in_cold", "cold", 4, right=True, on=SCREEN | TEXT),
    Column("in_cold", "in the cold", on=CSV),
    Column("forced", "forced", on=CSV),
    Column("sold", "sold", 4, right=True),
    Column("missing", "missing", on=CSV),
    Column("lost", "lost", 4, right=True),
    Column("checked_on", "seen", 6, day_text, right=True, on=SCREEN | TEXT),
    Column("checked_on", "looked over on", on=CSV),
    Column("washed_on", "washed on", on=CSV),
    Column("stored_on", "put away on", on=CSV),
    Column("stored_in", "stored in", on=CSV),
    Column("stored_f", "stored at F", on=CSV),
)
NOTHING = "Nothing is in store: 'lift b4 dahlia' puts what stands there in."


def _typed(r: TuberRow) -> str:
    return named(r.crop, f"'{r.variety}'" if r.variety else None)


TUBER = RowSort(
    "tuber",
    "On tubers in store",
    (
        deed("divide", "split", "clumps into pieces", lambda r: gap(f"divide {_typed(r)} {r.roots} into ")),
        deed("lost", "lost", "with the cause", lambda r: gap("lost ", f" {_typed(r)} {r.roots} rot")),
        deed("count", "count", "what is really there", lambda r: gap("count ", f" {_typed(r)} {r.roots}")),
        deed("look", "look", "looked over", lambda r: gap(f"checked {_typed(r)} {r.roots}")),
        deed("move", "", "where and in what it lies", lambda r: gap(f"stored {_typed(r)} {r.roots} in ")),
        deed("force", "cold", "into the cold", lambda r: gap("force ", f" {_typed(r)} {r.roots}")),
        deed(
            "set_out",
            "out",
            "planted out again",
            lambda r: gap(f"plant {_typed(r)} ", f" {typed_feet(20)} 20 plants"),
        ),
    ),
    view="tubers",
)
ROWS = (TUBER,)


def _counts(*counted: tuple[str, int]) -> str:
    """ "10 lifted, 4 more by dividing"."""
    return ", ".join(f"{count} {what}" for what, count in counted if count)


def _told_there(r: TuberRow) -> tuple[str, str]:
    """Where what is there came from, and how it lies; each "" where nothing is known of it."""
    return told_origins(r.origins), told_store(r)


def tubers(args: Namespace) -> int:
    """What lies in store for the winter."""
    rows: list[TuberRow] = tuber_rows(open_session(args).farm)

    def page() -> list[str]:
        forcing = [f"  {named(r.crop, r.variety)}: {told_forcing(cold)}" for r in rows for cold in r.forcing]
        lying = [
            f"  {named(r.crop, r.variety)}: {how}"
            for r in rows
            if (how := "; ".join(filter(None, _told_there(r))))
        ]
        return [
            *(["", "in store", *wrapped(lying)] if lying else []),
            *(["", "forced", *wrapped(forcing)] if forcing else []),
        ]

    return show_table(args, COLUMNS, rows, page=page, nothing=NOTHING)


TABLES = (
    Table("tubers", COLUMNS, lambda session: tuber_rows(session.farm), "tubers in store for the winter"),
)
COMMANDS = {"tubers": Command(tubers, csv=True)}


class TubersView(View):
    """Every variety that ever was in store; what is there stands first."""

    EMPTY = NOTHING
    SORTS = ("tuber",)
    JOBS = ("Tubers",)

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        stocks = sorted(tuber_rows(session.farm), key=lambda r: r.there <= 0)
        return self.table(COLUMNS, stocks, TUBER, lambda r: (r.crop, r.variety or ""), lambda r: "")

    def detail(self, row: Row) -> list[Line]:
        r: TuberRow = row.value
        came = _counts(("lifted", r.lifted), ("bought", r.bought), ("more by dividing", r.gained))
        why = ", ".join(f"{count} {cause}" for cause, count in r.causes.items())
        went = _counts(
            ("planted", r.planted), ("sold", r.sold), ("forced", r.forced), ("missing in a count", r.missing)
        )
        lost = f"{r.lost} lost ({why})" if r.lost else ""
        return strip(
            self.width,
            (f"{named(r.crop, r.variety)}: {r.there} in store", "bold"),
            *((line, "") for line in ("; ".join(filter(None, (came, went, lost))), *_told_there(r)) if line),
            *((line, "") for line in map(told_forcing, r.forcing)),
            (r.winter_store, "quiet"),
        )


VIEW = TubersView
