"""A key held down, or pressed twice where once was meant, told from keys that are meant one by one."""

from __future__ import annotations

import time

HELD = 0.7
"""Seconds in which a key that comes again, with no other between, is the same press still: keyboards begin to repeat
a held key after a quarter to two thirds of a second (common practice)."""


class HeldKey:
    """Counts how often the last key came in one press, and knows what of it is not to be done again."""

    def __init__(self) -> None:
        self._key, self._at, self._times = "", 0.0, 0
        self._done = self._opened = ""

    def done(self) -> None:
        """The key wrote, asked or answered: as long as it is held it does nothing more.

        It is waited for from now on, not from when it came: on a slow machine its deed may take longer than `HELD`.
        """
        self._done, self._opened, self._at = self._key, "", time.monotonic()

    def opened(self) -> None:
        """The key began a line of any words, which may begin with its letter, and never with three of them."""
        self._done, self._opened, self._at = "", self._key, time.monotonic()

    def let_go(self) -> None:
        """What is pressed next is meant, whatever it is."""
        self._key = ""

    def instead(self, key: str) -> str:
        """What to do when `key` comes: itself, "" where nothing, or "backspace" for the letter that came before."""
        now = time.monotonic()
        if key == self._key and now - self._at < HELD:
            self._times += 1
        else:
            self._times, self._done, self._opened = 1, "", ""
        self._key, self._at = key, now
        if self._times > 1 and key == self._done:
            return ""
        if self._times > 2 and key == self._opened:
            return "backspace" if self._times == 3 else ""
        return key
