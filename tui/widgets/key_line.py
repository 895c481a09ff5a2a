"""The key line at the foot: what the keys do here, made from the key table, never wider than the screen."""

from __future__ import annotations

from collections.abc import Sequence

from tui.keys import Key, key_line, pairs
from tui.row_keys import RowKey
from tui.table import Line, Span
from tui.widgets.text_lines import TextLines

GAP = "  "


class KeyLine(TextLines):
    """One line."""

    def tell(self, own: Sequence[RowKey]) -> None:
        """Show the keys of a row, and those that work everywhere."""
        self.show([fitting(key_line(own), self.size.width or 80, own=len(pairs(own)))])

    def tell_all(self, keys: Sequence[Key]) -> None:
        """Show these keys and no others."""
        self.show([fitting(pairs(keys), self.size.width or 80)])


def fitting(told: list[tuple[str, str]], width: int, *, own: int = 0) -> Line:
    """(key, word) pairs on one line of `width`; on a narrow screen the last of a row's `own` are left to the help."""
    told = list(told)
    while _wide(told) > width and len(told) > 1:
        own -= 1
        told.pop(own if own >= 0 else max(len(told) - 3, 0))
    spans: list[Span] = []
    for key, word in told:
        spans += [(f"{key} ", "key"), (word + GAP, "")]
    spans[-1] = (told[-1][1], "")
    return tuple(spans)


def _wide(told: list[tuple[str, str]]) -> int:
    return sum(len(key) + 1 + len(word) for key, word in told) + len(GAP) * (len(told) - 1)
