"""Every table of the book into one folder, for a spreadsheet, with a dictionary of what stands in each column."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from importlib import import_module
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from core.dialect import to_program
from core.exports.csv import csv_text
from core.exports.folder import put
from core.exports.written import Told, written_tables
from core.subject import subjects
from core.text import clean
from core.units import plural
from tui.cli_session import open_session
from tui.command import Command, tell_done
from tui.heads import meaning
from tui.out import good
from tui.registry import screen_module
from tui.table import Table, csv_columns, csv_table, head_in_csv

if TYPE_CHECKING:
    from core.session import Session

DICTIONARY = "columns.csv"
WRITTEN = "written-{}.csv"
"""What was written of one kind."""
LONGEST_NAME = 40


class File(NamedTuple):
    """A file of the folder: its name, what its rows are, its columns, its rows and its text."""

    file: str
    says: str
    columns: tuple[Told, ...]
    rows: int
    text: str


def out_(args: Namespace) -> int:
    """Write the tables."""
    session = open_session(args)
    with to_program():
        files = [*_as_it_stands(session), *_as_written(session)]
    texts = {file.file: file.text for file in files} | {DICTIONARY: _dictionary(files)}
    done = good(put(args.folder, {name: text.encode() for name, text in texts.items()}))
    says = (
        f"{plural(len(texts), 'table')} in {clean(str(args.folder))}: {len(done.written)} written, "
        f"{len(done.same)} as they were. What the columns mean stands in {DICTIONARY}."
    )
    told = [says, *(f"  no more, taken away: {name}" for name in done.removed)]
    listed = [{"file": file.file, "says": file.says, "rows": file.rows} for file in files]
    return tell_done(args, says, {"folder": args.folder, "rows": listed, **done._asdict()}, told)


def tables() -> Iterator[Table]:
    """The tables of every subject that hands out any, by its `TABLES`."""
    for subject in subjects():
        if module := screen_module(subject):
            yield from getattr(import_module(module), "TABLES", ())


def _as_it_stands(session: Session) -> Iterator[File]:
    for table in tables():
        rows = table.rows(session)
        heads = map(head_in_csv, csv_columns(table.columns))
        columns = tuple(Told(head, *(meaning(table, head) or ("",))) for head in heads)
        yield File(f"{table.name}.csv", table.says, columns, len(rows), csv_table(table.columns, rows))


def _as_written(session: Session) -> Iterator[File]:
    entries = session.entries()
    taken = set[str]()
    for table in written_tables(entries, session.look_back.marks(entries).struck):
        name = _file_for(table.kind, taken)
        taken.add(name)
        text = csv_text([told.head for told in table.columns], table.rows)
        kind = clean(table.kind)[:LONGEST_NAME]
        yield File(name, f"entries '{kind}' that count, oldest first", table.columns, len(table.rows), text)


def _file_for(kind: str, taken: set[str]) -> str:
    """A name for the table of a kind, which a newer shedbook may call by anything."""
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in kind)[:LONGEST_NAME]
    names = (WRITTEN.format(f"{plain}-{n}" if n > 1 else plain) for n in count(1))
    return next(name for name in names if name not in taken)


def _dictionary(files: list[File]) -> str:
    """Every column of every file, what it means and in which unit; how all of them are written stands first."""
    heads = ("file", "what its rows are", "column", "meaning", "unit")
    general = (
        ("", "", "", "text is UTF-8, a row a line, cells parted by commas (RFC 4180)", ""),
        ("", "", "", "an empty cell: not known, or none", ""),
        ("", "", "", "an apostrophe before =, +, -, @ keeps a spreadsheet from running her text", ""),
    )
    rows = [
        (file.file, file.says, told.head, told.meaning, told.unit) for file in files for told in file.columns
    ]
    return csv_text(heads, [*general, *rows])


def _options(parser: ArgumentParser) -> None:
    parser.add_argument("folder", metavar="FOLDER", type=Path, help="made where there is none")


COMMANDS = {"out": Command(out_, _options)}
