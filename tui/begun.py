"""The terminal taken, and Today shown on it as it would be shown, before anything else is loaded: where nothing has
changed on which that hangs (`core.told_again`)."""

from __future__ import annotations

import os
import sys
import termios
import tty

from core.told_again import frame_for

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any

BEGIN = "\x1b[?1049h\x1b[?25l\x1b[?2004h\x1b[?7l"
"""The other screen where there is one, no cursor, told of pastes, no wrapping."""
END = "\x1b[?2004l\x1b[?7h\x1b[m\x1b[2J\x1b[H\x1b[?1049l\x1b[?25h"
"""All of it taken back; a terminal without another screen is left clear."""


class Begun:
    """A terminal that was taken early: `before` is how its keys were, `drawn` what was drawn on it."""

    def __init__(self, before: list[Any], drawn: str) -> None:
        self.before, self.drawn = before, drawn
        self.is_handed_on = False
        """Whether somebody else gives the terminal back."""

    def give_back(self) -> None:
        """The terminal as it was before, where nobody else sees to that."""
        if not self.is_handed_on:
            give_back(0, self.before)
            try:  # noqa: SIM105  # what suppresses takes longer to load than this
                _write(END)
            except (OSError, ValueError):
                pass


def begin(words: Sequence[str]) -> Begun | None:
    """Show what these words of the command line show, where it is known; None where it is not."""
    try:
        if not all(map(os.isatty, range(3))):
            return None
        columns, rows = os.get_terminal_size(0)
        drawn = frame_for(words, columns, rows, encoding())
        if drawn is None:
            return None
        begun = Begun(termios.tcgetattr(0), drawn)
        take_keys(0, begun.before)
    except (OSError, ValueError, termios.error):
        return None
    try:
        _write(BEGIN + drawn)
    except (OSError, ValueError):
        give_back(0, begun.before)
        return None
    return begun


def encoding() -> str:
    """What the terminal is written in."""
    return getattr(sys.__stderr__, "encoding", None) or "ascii"


def take_keys(fileno: int, now: list[Any]) -> None:
    """Keys come one by one and are not printed from now on; termios.error where that cannot be."""
    now = [*now]
    now[tty.LFLAG] &= ~(termios.ECHO | termios.ICANON | termios.IEXTEN | termios.ISIG)
    now[tty.IFLAG] &= ~(termios.IXON | termios.IXOFF | termios.ICRNL | termios.INLCR | termios.IGNCR)
    now[tty.CC] = [*now[tty.CC]]
    now[tty.CC][termios.VMIN] = 1
    termios.tcsetattr(fileno, termios.TCSANOW, now)


def give_back(fileno: int, before: list[Any]) -> None:
    """The keys are as they were before."""
    try:  # noqa: SIM105  # what suppresses takes longer to load than this
        termios.tcsetattr(fileno, termios.TCSANOW, before)
    except termios.error:
        pass


def _write(text: str) -> None:
    if sys.__stderr__ is not None:
        sys.__stderr__.write(text)
        sys.__stderr__.flush()
