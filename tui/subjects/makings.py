"""Makings: what was bought for the bench, what is left of it, and when to buy it again."""

from __future__ import annotations

from core.pieces.bench import MakingRow, making_rows
from core.units import number, number_or_blank
from tui.letters import deed
from tui.phrases import strip
from tui.row_keys import RowSort, gap
from tui.table import SCREEN, TEXT, Column, Line, Meaning, Table, fields_as_columns

NAME, LEFT, BUY_AT, STATUS, WIRE = (
    Column("making", "supplies", on=TEXT),
    Column("count", "left", show=number, on=TEXT),
    Column("reorder_at", "buy at", show=number_or_blank, on=TEXT),
    Column("status", "", on=TEXT),
    Column("says", "wire", on=TEXT),
)
COLUMNS = (
    STATUS,
    NAME,
    LEFT,
    BUY_AT,
    WIRE,
    Column("making", "making", on=SCREEN),
    Column("count", "there", 8, number, right=True, on=SCREEN),
    Column("reorder_at", "buy at", 7, number_or_blank, right=True, least=60, on=SCREEN),
    Column("", "", 44, lambda r: "; ".join(filter(None, (r.status, r.says))), on=SCREEN),
)
UNDER_STOCK = (NAME, LEFT, STATUS, WIRE)
"""The same in short, under what is on hand."""

TABLES = (
    Table(
        "supplies",
        fields_as_columns("making", "count", "reorder_at", "status", "says"),
        lambda session: making_rows(session.farm),
        "supplies for the bench",
        heads={"status": Meaning("whether it is to be bought")},
    ),
)
MAKING = RowSort(
    "making",
    "On supplies",
    (
        deed("bought", "bought", "more was bought", lambda r: gap("bought ", f" {r.making}")),
        deed("count", "count", "what is really there", lambda r: gap("count ", f" {r.making}")),
        deed(
            "reorder",
            "buy again at",
            "the number at which to buy it again",
            lambda r: gap("reorder ", f" {r.making}"),
        ),
    ),
    view="bench",
)
ROWS = (MAKING,)


def about_making(r: MakingRow, width: int) -> list[Line]:
    """What there is to say of a making."""
    at = (
        f"buy it again at {number(r.reorder_at)}"
        if r.reorder_at is not None
        else "r sets when to buy it again"
    )
    return strip(width, (f"{number(r.count)} of {r.making}", "bold"), (r.says, ""), (at, "quiet"))
