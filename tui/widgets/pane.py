"""The one place where views are shown: it paints the open view, and of it only the lines that changed."""

from __future__ import annotations

import asyncio
import time
from typing import TYPE_CHECKING

from textual.events import Resize
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tui.laid_out import LaidOut, laid_out
from tui.messages import PaneResized, RowMoved
from tui.widgets.text_lines import strip_of

if TYPE_CHECKING:
    from tui.row_keys import Row
    from tui.views.view import View


BETWEEN_KEYS = 0.05
"""Seconds after a key in which a view does not grow: the key is answered first."""
STEPS_SECONDS, SEEN_SECONDS = 0.008, 0.25
"""How long a view grows before keys are looked for, and after what time at the latest it is shown how far it is."""


class Pane(Widget):
    """Shows a view: lines above, a head, the rows that fit, lines below; what takes long to find is shown as it grows,
    in steps between keys.

    It never takes the focus, for the toolkit paints all of a widget that does: where nothing has the focus, the
    keys are the list's.
    """

    DEFAULT_CSS = "Pane { height: 1fr; width: 1fr; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.view: View | None = None
        self._painted: list[LaidOut] = []
        self._told: Row | None = None
        self._growing: asyncio.TimerHandle | None = None
        self._key_at = self._seen_at = 0.0

    @property
    def is_yet_empty(self) -> bool:
        """Whether it has its place but nothing in it: it is laid out next."""
        return bool(self.size.height) and not self._painted

    def show(self, view: View) -> None:
        """Show this view as it is now."""
        if self.view is not None and self.view is not view:
            self.view.leave()
        self.view = view
        self.paint()

    def key_came(self) -> None:
        """A key is to be answered before anything grows."""
        self._key_at = time.monotonic()

    def _grow_later(self) -> None:
        if self._growing is None and self.view is not None and self.view.grows:
            wait = max(self._key_at + BETWEEN_KEYS - time.monotonic(), 0)
            self._growing = asyncio.get_running_loop().call_later(wait, self._grow)

    def _grow(self) -> None:
        """Take some steps and show what came of them, where no key came meanwhile."""
        self._growing = None
        view, begun = self.view, time.monotonic()
        if view is None or not self.is_attached:
            return
        if begun >= self._key_at + BETWEEN_KEYS:
            is_new = view.grow()
            while view.grows and time.monotonic() < begun + STEPS_SECONDS:
                is_new |= view.grow()
            is_full = view.listing.page < len(view.listing.rows)
            if not view.grows or (is_new and not (is_full and begun < self._seen_at + SEEN_SECONDS)):
                self._seen_at = begun
                self.paint()
        self._grow_later()

    def on_unmount(self) -> None:
        """What was not finished is not gone on with."""
        if self._growing is not None:
            self._growing.cancel()

    def paint(self) -> None:
        """Show what changed in the view."""
        old, self._painted = self._painted, self._laid_out()
        width = self.size.width
        for y, (before, after) in enumerate(zip(old, self._painted, strict=False)):
            if before != after:
                self.refresh(Region(0, y, width, 1))
        row = self.view.listing.row if self.view else None
        if row is not self._told:
            self._told = row
            self.post_message(RowMoved())
        self._grow_later()

    def render_line(self, y: int) -> Strip:
        line, look = self._painted[y] if y < len(self._painted) else ((), "")
        return strip_of(line, self.size.width, look)

    def _laid_out(self) -> list[LaidOut]:
        if self.view is None:
            return []
        return laid_out(self.view, self.size.width, self.size.height, has_keys=self.has_keys)

    @property
    def has_keys(self) -> bool:
        """Whether keys go to the list."""
        return self.screen.focused is None

    def move(self, how: str, step: int) -> None:
        """Do one of a listing's moves: "move", "turn" or "edge"."""
        if self.view is not None:
            getattr(self.view.listing, how)(step)
            self.paint()

    def on_resize(self, _event: Resize) -> None:
        self._painted = self._laid_out()
        self.refresh()
        self.post_message(PaneResized())
