"""What all views have in common: a list, a strip that says more about its row, and keys from the table."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.widget import Widget

from tui.keys import KINDS, letters
from tui.look import ASCII, Glyphs
from tui.messages import RowMoved
from tui.rows import MARK, Line, Row, plain, wrap
from tui.widgets.row_list import RowList
from tui.widgets.text_lines import TextLines

if TYPE_CHECKING:
    from core.door import Door

DETAIL, DETAIL_TALL, TALL = 4, 7, 30
"""Lines of the strip under the list, its rule not counted: on a screen below TALL rows, and from there."""


def row_bindings(view: str) -> list[Binding]:
    """A binding for every letter that does something on a row of the view."""
    return [Binding(letter, f"app.row('{letter}')", show=False, priority=True) for letter in letters(view)]


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
            self.strip.styles.height = self.detail_lines + 1
            yield self.strip

    def on_resize(self) -> None:
        if self.VIEW in KINDS:
            self.strip.styles.height = self.detail_lines + 1

    @property
    def detail_lines(self) -> int:
        """Lines the strip has for a row."""
        return DETAIL if self.app.size.height < TALL else DETAIL_TALL

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
        """Lines about a row, the most needed first."""
        return []

    def say(self, row: Row | None) -> None:
        """Show the strip for a row."""
        more = "" if self.list.head else self.list.more
        rule = self.glyphs.rule * (self.width + MARK - len(more)) + more
        self.strip.show([((rule, "quiet"),), *self._cut(self.detail(row))])

    def _cut(self, lines: list[Line]) -> list[Line]:
        """As many lines as the strip has; what is cut is shown by dots."""
        most = self.detail_lines
        if len(lines) > most:
            text, look = lines[most - 1][0]
            lines[most - 1] = ((f"{text[: self.width - 4].rstrip()} ...", look),)
        return lines[:most]

    def on_row_moved(self, message: RowMoved) -> None:
        self.say(message.row)

    @property
    def wants_keys(self) -> Widget:
        """What has the keys when the view opens."""
        return self.list


def strip(width: int, *texts: tuple[str, str]) -> list[Line]:
    """The (text, look) pairs as lines of the strip, wrapped."""
    lines: list[Line] = []
    for text, look in texts:
        if text:
            lines += plain(wrap(text, width + MARK), look)
    return lines
