"""Text that a spreadsheet would run: marked on the way out, and read back as it was on the way in."""

from __future__ import annotations

from core.patterns import pattern
from core.text import clean

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
"""A cell that begins with one of these is taken for a formula by spreadsheets, which may then run it."""
MARK = "'"
"""Stands before text that would be run; one more before text that looks as if it had been marked."""
_BELOW_0 = pattern(r"-[0-9]+(\.[0-9]+)?")


def marked_text(text: str) -> str:
    """The text, clean, with an apostrophe before it where a spreadsheet would run it."""
    safe = clean(text)
    return f"{MARK}{safe}" if _is_run(text) or _is_run(safe.lstrip(MARK)) else safe


def plain_text(cell: str) -> str:
    """The text of a cell as it was before it was marked."""
    return cell[1:] if cell.startswith(MARK) and _is_run(cell.lstrip(MARK)) else cell


def _is_run(text: str) -> bool:
    """Whether a spreadsheet would run it; a number below 0 is one."""
    return text.startswith(FORMULA_STARTS) and not _BELOW_0.fullmatch(text)
