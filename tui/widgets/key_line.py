"""The key line at the foot: what the keys do here, made from the key table, never wider than the screen."""

from __future__ import annotations

from tui.keys import ROWS, key_line
from tui.rows import Line, Span
from tui.widgets.text_lines import TextLines

GAP = "  "


class KeyLine(TextLines):
    """One line."""

    def tell(self, kind: str | None, *, entry: bool = False) -> None:
        """Show the keys for a kind of row, or those of the entry line."""
        self.show([keys_shown(kind, self.size.width or 80, entry=entry)])


def keys_shown(kind: str | None, width: int, *, entry: bool = False) -> Line:
    """The keys on one line of `width`; on a narrow screen the row's last keys are left to the help."""
    pairs = key_line(kind, entry=entry)
    own = len(pairs) - len(key_line(None)) if kind in ROWS and not entry else 0
    while _wide(pairs) > width and len(pairs) > 1:
        own -= 1
        pairs.pop(own if own >= 0 else max(len(pairs) - 3, 0))
    spans: list[Span] = []
    for key, word in pairs:
        spans += [(f"{key} ", "key"), (word + GAP, "")]
    spans[-1] = (pairs[-1][1], "")
    return tuple(spans)


def _wide(pairs: list[tuple[str, str]]) -> int:
    return sum(len(key) + 1 + len(word) for key, word in pairs) + len(GAP) * (len(pairs) - 1)
