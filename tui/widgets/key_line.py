"""The key line at the foot: what the keys do here, made from the key table, never wider than the screen."""

from __future__ import annotations

from collections.abc import Sequence

from tui.frame_lines import fitting, keys_line
from tui.keys import Key, pairs
from tui.row_keys import RowKey
from tui.widgets.text_lines import TextLines


class KeyLine(TextLines):
    """One line."""

    def tell(self, own: Sequence[Key | RowKey]) -> None:
        """Show the keys of a row, and those that work everywhere."""
        self.show([keys_line(tuple(own), self.room)])

    def tell_all(self, keys: Sequence[Key]) -> None:
        """Show these keys and no others."""
        self.show([fitting(pairs(keys), self.room)])
