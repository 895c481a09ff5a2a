"""A view laid out line by line, as high and as wide as there is room."""

from __future__ import annotations

from core.dialect import in_words
from core.marked import with_figures
from core.text import wrap
from tui.phrases import MARK, plain
from tui.table import Line
from tui.views.view import LEAST_COLUMNS, LEAST_ROWS, View

CRAMPED = (
    f"Make the window at least {LEAST_COLUMNS} x {LEAST_ROWS}. "
    "Lines are taken here all the same, and 'shedbook write' takes them in any window."
)
LaidOut = tuple[Line, str]
"""A line and the look of all of it."""


def laid_out(view: View, columns: int, rows: int, *, has_keys: bool) -> list[LaidOut]:
    """Lines above, a head, the rows that fit, lines below; `has_keys` is whether keys go to the list."""
    if not rows:
        return []
    lines: list[LaidOut]
    if view.is_cramped:
        lines = [(line, "") for line in plain(wrap(CRAMPED, columns), "bold")]
        return [*lines, *[((), "")] * rows][:rows]
    above, below = view.lines_above(), view.below_lines
    view.listing.fit(max(rows - len(above) - below - bool(view.head), 1))
    lines = [(line, "") for line in above]
    if view.head:
        lines.append((_head(view, columns), "head"))
    lines += _rows(view, columns, has_keys)
    lines += [((), "")] * (rows - below - len(lines))
    lines += [(line, "") for line in view.lines_below()]
    lines += [((), "")] * rows
    return [(worded(line), look) for line, look in lines[:rows]]


def worded(line: Line) -> Line:
    """The line in the words of the farm."""
    return tuple((in_words(text), look) for text, look in line)


def _head(view: View, columns: int) -> Line:
    more = "" if view.ruled else view.listing.more
    text = (" " * MARK + view.head).ljust(columns)
    return ((text[: columns - len(more)] + more, ""),)


def _rows(view: View, columns: int, has_keys: bool) -> list[LaidOut]:
    listing = view.listing
    if not listing.rows:
        return [
            (line, "")
            for line in plain(wrap(" " * MARK + with_figures(view.EMPTY), columns, hang=MARK), "quiet")
        ]
    lines: list[LaidOut] = []
    for i in range(listing.top, min(listing.top + listing.page, len(listing.rows))):
        here = i == listing.cursor
        mark = ">".ljust(MARK) if here else " " * MARK
        look = ("chosen" if has_keys else "bold") if here else ""
        row = listing.rows[i]
        if row.beside is None:
            lines.append((((mark, ""), *row.line), look))
            continue
        # of two rows on a line only the one under the cursor is marked
        left, right = ("", look) if listing.is_right else (look, "")
        marks = ("  ", mark) if listing.is_right else (mark, "  ")
        text = in_words("".join(part for part, _ in row.line))
        span = f"{marks[0]}{text:{row.at - MARK}}", left or row.line[0][1]
        beside = "".join(part for part, _ in row.beside.line)
        lines.append(((span, (f"{marks[1]}{beside}", right or row.beside.line[0][1])), ""))
    return lines
