"""The look back on the command line and on the screen: her own figures beside the sheet's."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator, Sequence

from core.learning.rows import LearnedRow, called, learned, learned_of, worth_changing
from core.text import wrapped
from core.units import number, plural
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.out import good
from tui.table import CSV, TEXT, Column

NOTHING = "The record says nothing of that yet: sow, count what is up, set out, cut, and write each with its number."


def _span(span: tuple[float, float] | None) -> str:
    if span is None:
        return "none"
    low, high = span
    return number(low) if low == high else f"{number(low)} to {number(high)}"


LEARNED = (
    Column("", "of", show=called),
    Column("label", "figure"),
    Column("sheet", "sheet", show=_span),
    Column("own", "yours", show=number),
    Column("", "nine in ten", show=lambda r: _span((r.low, r.high)), on=TEXT),
    Column("low", "low", show=number, on=CSV),
    Column("high", "high", show=number, on=CSV),
    Column("seasons", "seasons"),
    Column("n", "n"),
    Column("take", "to take it", on=CSV),
)


def learn(args: Namespace) -> int:
    """Her own figures of one crop, or those of all crops that are worth changing."""
    session = open_session(args)
    name = " ".join(args.crop)
    farm, day = session.farm, session.today
    rows = good(learned_of(farm, day, name)) if name else learned(farm, day)
    shown = rows if name or args.all or args.json or args.csv else [*worth_changing(rows)]
    nothing = NOTHING if not rows else _no_change(rows)
    return show_table(args, LEARNED, shown, page=lambda: [*_page(rows, shown, bool(name))], nothing=nothing)


def _no_change(rows: Sequence[LearnedRow]) -> str:
    crops = plural(len({row.crop for row in rows}), "crop")
    return (
        f"Nothing to change: the record speaks to {plural(len(rows), 'figure')} of {crops} ('learn --all')."
    )


def _page(rows: Sequence[LearnedRow], shown: Sequence[LearnedRow], with_all: bool) -> Iterator[str]:
    told = [row for row in shown if row.take]
    for row in told:
        yield from wrapped(["", f"{called(row)}, {row.label}: {row.advice}", f"  {row.take}"])
    if with_all:
        others = [row for row in shown if not row.take]
        if others:
            yield ""
        yield from wrapped(f"{called(row)}, {row.label}: {row.advice}" for row in others)
    elif len(shown) < len(rows):
        yield ""
        yield f"{plural(len(rows) - len(shown), 'other figure')} need no change: learn --all, or learn CROP."


def _options(learn: ArgumentParser) -> None:
    learn.add_argument(
        "crop", metavar="CROP", nargs="*", help="any unambiguous beginning; none tells what to change"
    )
    learn.add_argument("--all", action="store_true", help="every figure that the record speaks to")


COMMANDS = {"learn": Command(learn, _options, csv=True)}
