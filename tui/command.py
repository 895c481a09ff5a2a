"""A command of the command line as its module tells it, and how a list is printed."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple, TypeAlias

from tui import out
from tui.table import Column, csv_table, printed_table

Run: TypeAlias = Callable[[Namespace], int]
Options: TypeAlias = Callable[[ArgumentParser], None]
"""Adds a command's own options to its parser."""


class Command(NamedTuple):
    """What a command does and which options it takes; its line of help stands where it is listed.

    `shared` whether it takes the options of every command (--by may mean something else); `why` the help of --why, ""
    where it has none.
    """

    run: Run
    options: Options | None = None
    json: bool = True
    csv: bool = False
    shared: bool = True
    why: str = ""


def tell(args: Namespace, value: object, lines: Iterable[str]) -> int:
    """Print a value as JSON, or the lines that it is told in."""
    if args.json:
        out.as_json(value)
    else:
        out.lines(lines)
    return out.DONE


def tell_done(args: Namespace, done: str, value: object, told: Sequence[str]) -> int:
    """Tell what was done, as JSON or in lines; `done` says it in short, where that cannot be printed."""
    return out.tell_done(done, lambda: out.as_json(value) if args.json else out.lines(told))


def show_table(
    args: Namespace,
    columns: Sequence[Column],
    rows: Sequence[Any],
    *,
    page: Callable[[], Sequence[str]] | None = None,
    nothing: str = "",
    json_rows: Sequence[Any] | None = None,
    **more: Any,
) -> int:
    """Print a table's rows as JSON (or `json_rows`, with `more` beside them), as CSV, or for people.

    For people it is the table, then what `page` adds to it; `nothing` is said where it has no rows.
    """
    if args.json:
        out.rows(rows if json_rows is None else json_rows, **more)
    elif args.csv:
        out.text(csv_table(columns, rows))
    else:
        out.lines(printed_table(columns, rows) or [nothing])
        out.lines(page() if page else ())
    return out.DONE
