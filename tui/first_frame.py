"""Today as the screen will show it, on the terminal before the toolkit is loaded, which then adds what differs; kept
for the next start, which shows it before anything is loaded (`tui.begun`)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING

from core.book.device import this_device
from core.problems import ShedbookError
from core.settings.local_time import day_ends
from core.telling import Telling
from core.told_again import words_of_frame
from core.units import long_day
from tui import look
from tui.begun import Begun, encoding
from tui.frame_lines import GAP, HINTS, hint, keys_line, prompt, top_line
from tui.keys import own_keys
from tui.laid_out import LaidOut, laid_out, worded
from tui.paint import Piece, Shown, looked
from tui.registry import TODAY
from tui.table import cells
from tui.terminal import Taken, Terminal
from tui.views.today import Today

if TYPE_CHECKING:
    from core.session import Session

BELOW = 3
"""Lines below the view: the entry line, the news, the keys."""


class FirstFrame:
    """What a start shows first; made before the book is read.

    `words` are those of the command line, with which the next start has to ask for the same; None where they do not
    open the screen. Where the terminal is `begun`, something stands on it already.
    """

    def __init__(self, words: Sequence[str] | None = None, begun: Begun | None = None) -> None:
        self.terminal = Terminal(begun)
        self._stands = begun.drawn if begun else ""
        self._asked: tuple[str, ...] = ()
        self._telling: Telling | None = None
        if words is not None:
            self._asked = words_of_frame(words, *self.terminal.size, encoding())
            self._telling = Telling(self._asked)

    def show(self, session: Session) -> Today:
        """Take the terminal and show Today on it; the view, which has read the book."""
        columns, rows = self.terminal.size
        today = Today(look.rule())
        today.columns, today.screen_rows = columns, rows
        if self._telling is not None:
            today.before_reading = partial(self._telling.anew, this_device())
        today.load(session)
        begins = "" if self.terminal.is_taken else self.terminal.take()
        drawn = self.terminal.shown.draw(_pieces(today, session, columns, rows))
        if drawn != self._stands:
            file = Taken()
            file.write(begins + drawn)
            file.flush()
        return today

    def give_back(self) -> None:
        """The terminal as it was before, where it is taken still."""
        if self.terminal.is_taken:
            Taken().write(self.terminal.give_back())

    def keep(self, session: Session, today: Today) -> None:
        """Keep for the next start what it would show, where that is at hand: Today from its top, as it is now."""
        columns, rows = today.columns, today.screen_rows
        if self._telling is None or f"{columns} x {rows}" not in self._asked or not today.is_as_at_start:
            return
        try:
            if session.refresh():
                return
        except ShedbookError:
            return
        today.listing.edge(-1)
        shown = Shown(Terminal().ground)
        shown.forget(columns, rows)
        drawn = shown.draw(_pieces(today, session, columns, rows))
        ends = None if session.on else day_ends(session.farm, today.day)
        self._telling.keep(drawn, session.folder, ends, by_clock=today.by_clock)


def _pieces(view: Today, session: Session, columns: int, rows: int) -> Iterator[Piece]:
    lines: list[LaidOut] = [(worded(top_line(TODAY.name, session.farm.settings.name or "", columns)), "")]
    lines += laid_out(view, columns, rows - 1 - BELOW, has_keys=True)
    day = long_day(session.today)[:-5]
    before = (*prompt("write:", day, columns), (GAP, ""))
    room = columns - sum(cells(text) for text, _ in before)
    lines += [((*before, (hint(HINTS, room), "quiet")), ""), ((), "")]
    row = view.listing.row
    lines.append((worded(keys_line(own_keys(row, view.offers), columns)), ""))
    for y, (line, under) in enumerate(lines):
        yield Piece(y, 0, columns, looked((*line, (" " * columns, "")), under))
