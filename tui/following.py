"""Keeps an open screen in step with what others write and with the calendar."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from core.book.follow import POLL_SECONDS, follow

if TYPE_CHECKING:
    from textual.app import App

TOGETHER_SECONDS = 0.15
"""Changes so close together are shown at once: a merge brings thousands of lines."""
DAY_CHECK_SECONDS = 20.0


class Following:
    """Calls `changed` on the app's loop after something was written, and `tick` now and then."""

    def __init__(
        self, app: App[int], folder: Path, changed: Callable[[], None], tick: Callable[[], None]
    ) -> None:
        self._changed = changed
        self._waiting = False
        self._loop = asyncio.get_running_loop()
        self._follower = follow(folder)
        self._watched = not self._follower.needs_polling
        if self._watched:
            self._loop.add_reader(self._follower.fileno(), self._told)
        else:
            app.set_interval(POLL_SECONDS, self._told)
        app.set_interval(DAY_CHECK_SECONDS, tick)

    def _told(self) -> None:
        if self._follower.drain() and not self._waiting:
            self._waiting = True
            self._loop.call_later(TOGETHER_SECONDS, self._tell)

    def _tell(self) -> None:
        self._waiting = False
        self._changed()

    def close(self) -> None:
        """Stop following."""
        if self._watched:
            self._loop.remove_reader(self._follower.fileno())
        self._follower.close()
