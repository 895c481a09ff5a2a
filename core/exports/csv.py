"""Tables as comma-separated values (RFC 4180), safe to open in a spreadsheet, and their text read back."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

from core.text import clean

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
"""A cell that begins with one of these is taken for a formula by spreadsheets, which may then run it."""
MARK = "'"
"""Stands before text that would be run; one more before text that looks as if it had been marked."""

_BELOW_0 = re.compile(r"-[0-9]+(\.[0-9]+)?")


def csv_text(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """The table with its heads: CRLF, quotes doubled, no control characters, no cell that could be run."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([_cell(head) for head in heads])
    writer.writerows([_cell(cell) for cell in row] for row in rows)
    return out.getvalue()


def plain_text(cell: str) -> str:
    """The text of a cell as it was before it was marked."""
    return cell[1:] if cell.startswith(MARK) and _is_run(cell.lstrip(MARK)) else cell


def _cell(value: object) -> str:
    """The value as text; text that a spreadsheet would run gets an apostrophe before it, numbers never do."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return str(value)
    text = str(value)
    safe = clean(text)
    return f"{MARK}{safe}" if _is_run(text) or _is_run(safe.lstrip(MARK)) else safe


def _is_run(text: str) -> bool:
    """Whether a spreadsheet would run it; a number below 0 is one."""
    return text.startswith(FORMULA_STARTS) and not _BELOW_0.fullmatch(text)
