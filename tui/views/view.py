"""What all views have in common: a list, a strip that says more about its row, and keys from the table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical

from tui.keys import KINDS, letters
from tui.look import ASCII, Glyphs
from tui.messages import RowMoved
from tui.rows import MARK, Line, Row, plain
from tui.widgets.row_list import RowList
from tui.widgets.text_lines import TextLines

if TYPE_CHECKING:
    from core.door import Door

DETAIL = 4
"""Lines of the strip under the list, its rule not counted."""


def row_bindings(view: str) -> list[Binding]:
    """A binding for every letter that does something on a row of the view."""
    return [Binding(letter, f"app.row('{letter}')", show=False) for letter in letters(view)]


class View(Vertical):
    """One view: `load` reads the door and lays out rows, `detail` says more about one of them."""

    VIEW: ClassVar[str] = ""
    EMPTY: ClassVar[str] = ""

    def __init__(self, glyphs: Glyphs = ASCII) -> None:
        super().__init__(id=self.VIEW)
        self.glyphs = glyphs
        self.stale = True
        self.list = RowList(id=f"{self.VIEW}-list")
        self.strip = TextLines(id=f"{self.VIEW}-strip")

    def compose(self) -> ComposeResult:
        yield self.list
        if self.VIEW in KINDS:
            self.strip.styles.height = DETAIL + 1
            yield self.strip

    @property
    def width(self) -> int:
        """Columns a row may take."""
        return max((self.size.width or self.app.size.width) - MARK, 20)

    def load(self, door: Door) -> None:
        """Read the door again; the cursor stays where it was."""
        self.stale = False
        head, rows = self.rows(door)
        self.list.show(head, rows, self.EMPTY)
        self.say(self.list.row)

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        """The head of the list and its rows."""
        raise NotImplementedError

    def detail(self, row: Row | None) -> list[Line]:
        """Up to DETAIL lines about a row."""
        return []

    def say(self, row: Row | None) -> None:
        """Show the strip for a row."""
        more = "" if self.list.head else self.list.more
        rule = self.glyphs.rule * (self.width + MARK - len(more)) + more
        self.strip.show([((rule, "quiet"),), *self.detail(row)[:DETAIL]])

    def on_row_moved(self, message: RowMoved) -> None:
        self.say(message.row)

    def take_focus(self) -> None:
        """Where the keys go when the view opens."""
        self.list.focus()


def strip(width: int, *texts: tuple[str, str]) -> list[Line]:
    """The (text, look) pairs as lines of the strip, wrapped; what does not fit is cut at the end."""
    from tui.rows import wrap

    lines: list[Line] = []
    for text, look in texts:
        if text:
            lines += plain(wrap(text, width + MARK), look)
    if len(lines) > DETAIL:
        last = "".join(t for t, _ in lines[DETAIL - 1])
        lines[DETAIL - 1] = ((f"{last[: width - 4].rstrip()} ...", lines[DETAIL - 1][0][1]),)
    return lines[:DETAIL]


__all__: Sequence[str] = ("DETAIL", "View", "row_bindings", "strip")
