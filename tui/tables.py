"""Plain tables for the printed page: columns as wide as they need, no wider than the page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from core.text import clean


def table(heads: Sequence[str], rows: Iterable[Sequence[object]], *, width: int = 100) -> list[str]:
    """Lines of a table under `heads`; numbers stand right, everything else left; the last column takes what is left.

    Text is cleaned for the terminal. A table with no rows is no lines at all.
    """
    cells = [["" if cell is None else clean(str(cell)) for cell in row] for row in rows]
    if not cells:
        return []
    right = [all(_is_number(row[i]) for row in cells) for i in range(len(heads))]
    wide = [max(len(head), *(len(row[i]) for row in cells)) for i, head in enumerate(heads)]
    lines = []
    for row in [list(heads), *cells]:
        parts = [text.rjust(w) if r else text.ljust(w) for text, w, r in zip(row, wide, right, strict=True)]
        lines.append("  ".join(parts).rstrip()[:width])
    return lines


def share_bar(share: float, width: int) -> str:
    """ "####----": how much of something is done."""
    done = min(max(int(share * width + 0.5), 0), width)
    return "#" * done + "-" * (width - done)


def _is_number(text: str) -> bool:
    return text == "" or text.lstrip("-").replace(".", "", 1).isdigit()
