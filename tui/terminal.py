"""The terminal taken for the screen, and given back as it was: before the toolkit is loaded, of which nothing is known
here."""

from __future__ import annotations

import os
import shutil
import sys
import termios
from contextlib import suppress
from typing import Any

from tui.begun import BEGIN, END, Begun, give_back, take_keys
from tui.look import Ground, ground
from tui.paint import Shown

IN_SUN = "sun"
USUAL_SIZE = (80, 24)


class Terminal:
    """The terminal that standard input and standard error are, and what stands on it; one that is `begun` is taken."""

    def __init__(self, begun: Begun | None = None) -> None:
        self.fileno = sys.__stdin__.fileno() if sys.__stdin__ else 0
        self.in_sun = os.environ.get("SHEDBOOK_LOOK", "") == IN_SUN
        self.shown = Shown(self.ground)
        self._before: list[Any] | None = None
        if begun is not None:
            begun.is_handed_on = True
            self._before = begun.before
            self.shown.forget(*self.size)

    @property
    def ground(self) -> Ground:
        """What the looks become here."""
        return ground(in_sun=self.in_sun)

    @property
    def is_taken(self) -> bool:
        """Whether it is the screen's."""
        return self._before is not None

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows, as the terminal says; where it says none, as the environment does."""
        with suppress(OSError):
            columns, rows = os.get_terminal_size(self.fileno)
            if columns and rows:
                return columns, rows
        columns, rows = shutil.get_terminal_size(USUAL_SIZE)
        return columns, rows

    def take(self) -> str:
        """Keys come one by one and are not printed from now on. What is to be sent at first; nothing is known of what
        stands there. termios.error where that cannot be, as in the background."""
        before = termios.tcgetattr(self.fileno)
        take_keys(self.fileno, before)
        self._before = before
        self.shown.forget(*self.size)
        return BEGIN

    def take_again(self) -> str:
        """What a shell may have changed meanwhile is set once more."""
        with suppress(termios.error):
            take_keys(self.fileno, termios.tcgetattr(self.fileno))
        self.shown.forget(*self.size)
        return BEGIN

    def give_back(self) -> str:
        """The keys are as they were before; what is to be sent at last."""
        if self._before is not None:
            give_back(self.fileno, self._before)
        self._before = None
        return END

    def drop_keys(self) -> None:
        """What was typed and not read yet is let go."""
        with suppress(termios.error):
            termios.tcflush(self.fileno, termios.TCIFLUSH)


class Taken:
    """The terminal as a file that is written to; what it does not take any more is let go."""

    def __init__(self) -> None:
        self._file = sys.__stderr__

    def write(self, text: str) -> None:
        """Write, or let it go."""
        if self._file is not None:
            with suppress(OSError, ValueError):
                self._file.write(text)

    def flush(self) -> None:
        """Send what was written."""
        if self._file is not None:
            with suppress(OSError, ValueError):
                self._file.flush()

    def fileno(self) -> int:
        """The number of the file."""
        assert self._file is not None
        return self._file.fileno()
