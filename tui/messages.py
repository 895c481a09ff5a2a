"""What the pieces of the screen tell each other, on one page."""

from __future__ import annotations

from textual.message import Message


class RowMoved(Message):
    """The cursor of the open view came to another row, or the row changed under it."""


class PaneResized(Message):
    """The room for a view changed."""


class LineTyped(Message):
    """The text of the entry line changed."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text = text
