"""Tables as comma-separated values (RFC 4180), safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from core.formulas import marked_text


def csv_text(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """The table with its heads: CRLF, quotes doubled, no control characters, no cell that could be run."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([_cell(head) for head in heads])
    writer.writerows([_cell(cell) for cell in row] for row in rows)
    return out.getvalue()


def _cell(value: object) -> str:
    """The value as text; text that a spreadsheet would run gets an apostrophe before it, numbers never do."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) if isinstance(value, int | float) else marked_text(str(value))
