"""The terminal taken for the screen, and given back as it was: before the toolkit is loaded, of which nothing is known
here."""

from __future__ import annotations

import os
import shutil
import sys
import termios
import tty
from contextlib import suppress
from typing import Any

from tui.look import Ground, ground
from tui.paint import Shown

BEGIN = "\x1b[?1049h\x1b[?25l\x1b[?2004h\x1b[?7l"
"""The other screen where there is one, no cursor, told of pastes, no wrapping."""
END = "\x1b[?2004l\x1b[?7h\x1b[m\x1b[2J\x1b[H\x1b[?1049l\x1b[?25h"
"""All of it taken back; a terminal without another screen is left clear."""
IN_SUN = "sun"
USUAL_SIZE = (80, 24)


class Terminal:
    """The terminal that standard input and standard error are, and what stands on it."""

    def __init__(self) -> None:
        self.fileno = sys.__stdin__.fileno() if sys.__stdin__ else 0
        self.in_sun = os.environ.get("SHEDBOOK_LOOK", "") == IN_SUN
        self.shown = Shown(self.ground)
        self._before: list[Any] | None = None

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
        self._set_keys(before)
        self._before = before
        self.shown.forget(*self.size)
        return BEGIN

    def take_again(self) -> str:
        """What a shell may have changed meanwhile is set once more."""
        with suppress(termios.error):
            self._set_keys(termios.tcgetattr(self.fileno))
        self.shown.forget(*self.size)
        return BEGIN

    def _set_keys(self, now: list[Any]) -> None:
        now = [*now]
        now[tty.LFLAG] &= ~(termios.ECHO | termios.ICANON | termios.IEXTEN | termios.ISIG)
        now[tty.IFLAG] &= ~(termios.IXON | termios.IXOFF | termios.ICRNL | termios.INLCR | termios.IGNCR)
        now[tty.CC] = [*now[tty.CC]]
        now[tty.CC][termios.VMIN] = 1
        termios.tcsetattr(self.fileno, termios.TCSANOW, now)

    def give_back(self) -> str:
        """The keys are as they were before; what is to be sent at last."""
        if self._before is not None:
            with suppress(termios.error):
                termios.tcsetattr(self.fileno, termios.TCSANOW, self._before)
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
