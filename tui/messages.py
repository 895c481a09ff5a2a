"""What the pieces of the screen tell each other, on one page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from tui.rows import Row


class RowMoved(Message):
    """The cursor of a list came to another row, or the rows changed under it; None where there is no row."""

    def __init__(self, row: Row | None) -> None:
        super().__init__()
        self.row = row


class LineTyped(Message):
    """The text of the entry line changed."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text = text
