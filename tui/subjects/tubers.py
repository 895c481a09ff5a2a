"""Tubers in store, as a table for the command line."""

from __future__ import annotations

from argparse import Namespace

from core.text import named
from core.tubers.rows import TuberRow, tuber_rows
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.table import CSV, SCREEN, TEXT, Column, Table

COLUMNS = (
    Column("", "tubers", 20, lambda r: named(r.crop, r.variety)),
    Column("there", "there", 5, right=True),
    Column("lifted", "lifted", 6, right=True),
    Column("bought", "bought", 6, right=True),
    Column("gained", "divided", 7, lambda n: f"+{n}" if n else "", right=True, on=SCREEN | TEXT),
    Column("gained", "divided", on=CSV),
    Column("planted", "planted", 7, right=True),
    Column("missing", "missing", 7, lambda n: str(n) if n else "", right=True),
    Column("lost", "lost", 4, right=True),
)


def tubers(args: Namespace) -> int:
    """What lies in store for the winter."""
    rows: list[TuberRow] = tuber_rows(open_session(args).farm)
    return show_table(
        args, COLUMNS, rows, nothing="Nothing is in store: 'lift b4 dahlia' puts what stands there in."
    )


TABLES = (
    Table("tubers", COLUMNS, lambda session: tuber_rows(session.farm), "tubers in store for the winter"),
)
COMMANDS = {"tubers": Command(tubers, csv=True)}
