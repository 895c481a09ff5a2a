"""One table engine: a list of columns laid out as lines of the screen, as a printed table, and as CSV."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from operator import gt
from typing import TYPE_CHECKING, Any, NamedTuple, overload

from core.dialect import in_words, is_metric, is_to_her
from core.text import after_a_word, clean

if TYPE_CHECKING:
    from core.session import Session

Span = tuple[str, str]
"""Text and its look (a name of `look.STYLES`)."""
Line = tuple[Span, ...]
"""One line of the screen."""

SCREEN, TEXT, CSV = frozenset({"screen"}), frozenset({"text"}), frozenset({"csv"})
"""Where a column is shown; they may be joined, as in `TEXT | CSV`."""
PRINTED = TEXT | CSV
EVERYWHERE = SCREEN | TEXT | CSV

PAGE_WIDTH = 100
"""Columns of a printed table at the most."""
WIDEST = 24
"""What a column that takes what is left takes at the most, unless its texts need more."""


class Column(NamedTuple):
    """One column of a table.

    `name` is the field of the row that it shows, and the key of that field in JSON; "" shows the row itself, for a
    cell made of several fields. `show` makes the cell of that value: text, or a number. On the screen it is `width`
    columns wide; 0 takes what is left, up to `WIDEST`. `least` is the narrowest screen on which it is shown.
    """

    name: str
    head: str
    width: int = 0
    show: Callable[[Any], object] | None = None
    right: bool = False
    least: int = 0
    on: frozenset[str] = EVERYWHERE
    csv_head: str = ""
    metric: Callable[[Any], object] | None = None
    """Makes the cell where the farm has its lengths in meters; CSV and JSON stay in feet."""

    def cell(self, row: object) -> object:
        """What stands in this column of a row."""
        value = getattr(row, self.name) if self.name else row
        return value if self.show is None else self.show(value)

    def text(self, row: object) -> str:
        """The same as text that any terminal may get."""
        shows = self.metric if self.metric is not None and is_metric() else self.show
        cell = self._replace(show=shows).cell(row)
        return "" if cell is None else in_words(clean(str(cell)))

    @property
    def title(self) -> str:
        """Its head as it is told: a length has its unit there."""
        return (
            METRIC_HEADS.get(self.head, self.head) if self.metric is not None and is_metric() else self.head
        )


METRIC_HEADS = {"ft": "m", "feet": "m", "a foot": "a meter"}
DAY, MONEY = "YYYY-MM-DD", "money, two decimals"
"""Units of a column."""


class Meaning(NamedTuple):
    """What stands in a column and, for a number, a day or a time, in which unit."""

    says: str
    unit: str = ""


class Table(NamedTuple):
    """A table that is handed out as a file: its name, the columns that have a place in CSV, and its rows."""

    name: str
    columns: Sequence[Column]
    rows: Callable[[Session], Sequence[object]]
    says: str
    """What its rows are, for the data dictionary."""
    heads: Mapping[str, Meaning] = {}
    """What its heads mean where they do not mean what they mean elsewhere (tui/heads.py)."""


# on the screen


MEASURED = 400
"""So many rows say how wide the columns of a table are; of a longer one those at its top, and others all along it."""
AT_TOP = 100


class ScreenLines(Sequence[str]):
    """The lines of a table, none wider than `width`, each made when it is asked for.

    A text is cut only where the whole table has no more room: in a row that was not measured, and needs more than its
    columns have, they are as wide as it needs.
    """

    def __init__(self, columns: Sequence[Column], rows: Sequence[object], width: int) -> None:
        self._columns = [c for c in columns if c.on & SCREEN and width >= c.least]
        self._rows, self._width = rows, width
        heads = [cells(c.title) for c in self._columns]
        measured = [list(map(cells, self._texts(row))) for row in _some(rows)]
        self._needs = [max(column) for column in zip(heads, *measured, strict=True)]
        self._wide = _widths(self._columns, self._needs, width)

    @property
    def head(self) -> str:
        """The line above them."""
        return fit(self._line([c.title for c in self._columns]), self._width).rstrip()

    def __len__(self) -> int:
        return len(self._rows)

    @overload
    def __getitem__(self, i: int) -> str: ...

    @overload
    def __getitem__(self, i: slice) -> Sequence[str]: ...

    def __getitem__(self, i: int | slice) -> str | Sequence[str]:
        if isinstance(i, slice):
            return [self[n] for n in range(*i.indices(len(self)))]
        return fit(self._line(self._texts(self._rows[i])), self._width).rstrip()

    def _texts(self, row: object) -> list[str]:
        return [c.text(row) for c in self._columns]

    def _line(self, texts: Sequence[str]) -> str:
        wide, needs = self._wide, list(map(cells, texts))
        if any(map(gt, needs, self._needs)):
            wide = _widths(self._columns, list(map(max, needs, self._needs)), self._width)
        return " ".join(
            fit(text, w, right=c.right) for c, text, w in zip(self._columns, texts, wide, strict=True)
        )


def _some(rows: Sequence[object]) -> Iterator[object]:
    """The rows that are measured."""
    yield from rows[:AT_TOP]
    rest = len(rows) - AT_TOP
    yield from rows[AT_TOP :: max(-(-rest // (MEASURED - AT_TOP)), 1)]


def screen_table(columns: Sequence[Column], rows: Sequence[object], width: int) -> tuple[str, ScreenLines]:
    """The head of the table and a line for each row."""
    lines = ScreenLines(columns, rows, width)
    return lines.head, lines


def _widths(columns: Sequence[Column], needs: Sequence[int], width: int) -> list[int]:
    """How wide each column is: its own width; more where it needs it and those that take what is left do not, and less
    where they need it and it does not."""
    elastic = [i for i, c in enumerate(columns) if not c.width]
    wide = [c.width for c in columns]
    left = width - sum(wide) - len(columns) + 1
    lacking = sum(max(need - w, 0) for need, w in zip(needs, wide, strict=True)) - left
    for i, column in enumerate(columns):  # where room is short, the widths are for what there is
        less = min(max(wide[i] - needs[i], 0), max(lacking, 0)) if column.width else 0
        wide[i], left, lacking = wide[i] - less, left + less, lacking - less
    spare = left - sum(needs[i] for i in elastic)
    for i, column in enumerate(columns):
        more = min(max(needs[i] - wide[i], 0), max(spare, 0)) if column.width else 0
        wide[i], left, spare = wide[i] + more, left - more, spare - more
    for i in elastic:
        wide[i] = max(min(left // len(elastic), max(WIDEST, needs[i])), 4)
    return wide


def cells(text: str) -> int:
    """Terminal columns that `text` takes."""
    if text.isascii():
        return len(text)
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text
    )


def fit(text: str, width: int, *, right: bool = False) -> str:
    """`text`, cleaned, in exactly `width` columns; what is cut ends in "..", unless it is very narrow, and after a word
    where one ends beyond the first third."""
    text = in_words(clean(text))
    if cells(text) > width:
        tail = ".." if width > 6 else ""
        whole = text
        while text and cells(text) > width - len(tail):
            text = text[:-1]
        text = after_a_word(whole, text) + tail
    space = " " * (width - cells(text))
    return space + text if right else text + space


# printed, and for a spreadsheet


def printed_table(columns: Sequence[Column], rows: Sequence[object], width: int = PAGE_WIDTH) -> list[str]:
    """Lines of a printed table under its heads, no lines where it has no rows.

    Columns are as wide as they need; numbers stand right, everything else left; the last is cut at `width`.
    """
    if not rows:
        return []
    shown = [c for c in columns if c.on & TEXT]
    texts = [[c.text(row) for c in shown] for row in rows]
    right = [all(_is_number(line[i]) for line in texts) for i in range(len(shown))]
    wide = [max(cells(c.title), *(cells(line[i]) for line in texts)) for i, c in enumerate(shown)]
    lines = []
    for line in ([c.title for c in shown], *texts):
        parts = (fit(text, w, right=r) for text, w, r in zip(line, wide, right, strict=True))
        line_text = "  ".join(parts).rstrip()
        lines.append(line_text if cells(line_text) <= width else fit(line_text, width))
    return lines


def told_aloud(columns: Sequence[Column], rows: Iterable[object]) -> Iterator[str]:
    """ "tray S12, crop zinnia, next step 3": each row on a line of its own, without what is empty."""
    count = 0
    for row in rows:
        count += 1  # it may come from a generator
        said = ((in_words(_head_aloud(column)), column.text(row)) for column in columns)
        yield ", ".join(f"{head} {text}" for head, text in said if text)
    yield f"{count} in all." if count else "The list is empty."


def _head_aloud(column: Column) -> str:
    return head_in_csv(column) if column.title == column.head else column.title


def csv_table(columns: Sequence[Column], rows: Iterable[object]) -> str:
    """The table for a spreadsheet (RFC 4180), or told row by row while that is asked for."""
    from core.exports.csv import csv_text  # only a spreadsheet asks for it

    shown = csv_columns(columns)
    if is_to_her():
        return "".join(f"{line}\n" for line in told_aloud(shown, rows))
    return csv_text([head_in_csv(c) for c in shown], ([c.cell(row) for c in shown] for row in rows))


def csv_columns(columns: Sequence[Column]) -> list[Column]:
    """Those for a spreadsheet."""
    return [c for c in columns if c.on & CSV]


def head_in_csv(column: Column) -> str:
    """What a column is called in a spreadsheet."""
    return column.csv_head or column.head


def fields_as_columns(*names: str) -> tuple[Column, ...]:
    """Columns for a spreadsheet alone: fields of a row as they are, under their names."""
    return tuple(Column(name, name.replace("_", " "), on=CSV) for name in names)


def columns_of(heads: Sequence[str]) -> tuple[Column, ...]:
    """Columns for rows that are tuples, in their order."""
    return tuple(Column("", head, show=_item(i)) for i, head in enumerate(heads))


def _item(i: int) -> Callable[[Any], object]:
    return lambda row: row[i]


def _is_number(text: str) -> bool:
    return text == "" or text.lstrip("-").replace(".", "", 1).isdigit()
