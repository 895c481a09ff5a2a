"""A writing that waits for another program to be done with the book, while the screen stays alive."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from core.book.lock import PATIENCE, Held
from core.problems import Problem

if TYPE_CHECKING:
    from tui.app import ShedApp

AT_ONCE = 0.05
"""Seconds that the screen may stand still for another's writing, which takes thousandths of one."""
AGAIN = 0.1
"""Seconds after which it is tried again."""


class Waiting:
    """Does what is to be written as soon as the book is free, one writing at a time."""

    def __init__(self, app: ShedApp) -> None:
        self._app = app
        self._work: Callable[[], None] | None = None
        self._refused: Callable[[Problem], None] = lambda _problem: None
        self._until = 0.0

    def when_free(self, work: Callable[[], None], refused: Callable[[Problem], None]) -> None:
        """Do `work`, which raises Held where the book is held; `refused` is told of it where it is held for long.

        Where something waits already that is said, and nothing is done: no key writes twice.
        """
        if self._work is not None:
            self._say()
            return
        try:
            work()
        except Held:
            self._work, self._refused = work, refused
            self._until = time.monotonic() + PATIENCE
            self._say()
            self._app.set_timer(AGAIN, self._try)

    def _say(self) -> None:
        self._app.said_of_line(
            "waiting", "for the other program, which holds the book: not written yet.", "caution"
        )

    def _try(self) -> None:
        work = self._work
        if work is None or not self._app.is_open:
            return
        if self._app.session.read_only(0) is None or time.monotonic() >= self._until:
            self._work = None
            try:
                work()
            except Held as held:
                if time.monotonic() >= self._until:
                    self._refused(held.problem)
                    return
                self._work = work
        if self._work is not None:
            self._app.set_timer(AGAIN, self._try)
