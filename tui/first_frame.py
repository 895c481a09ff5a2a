"""Today as the screen will show it, on the terminal before the toolkit is loaded, which then adds what differs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from core.units import long_day
from tui import look
from tui.frame_lines import GAP, HINTS, hint, keys_line, prompt, top_line
from tui.keys import own_keys
from tui.laid_out import LaidOut, laid_out, worded
from tui.paint import Piece, looked
from tui.registry import TODAY, view_class
from tui.table import cells
from tui.terminal import Taken, Terminal

if TYPE_CHECKING:
    from core.session import Session
    from tui.views.view import View

BELOW = 3
"""Lines below the view: the entry line, the news, the keys."""


def show_first(terminal: Terminal, session: Session) -> View:
    """Take the terminal and show Today on it; the view, which has read the book."""
    columns, rows = terminal.size
    view = view_class(TODAY.name)(look.rule())
    view.columns, view.screen_rows = columns, rows
    view.load(session)
    file = Taken()
    begins = terminal.take()
    file.write(begins + terminal.shown.draw(_pieces(view, session, columns, rows)))
    file.flush()
    return view


def _pieces(view: View, session: Session, columns: int, rows: int) -> Iterator[Piece]:
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
