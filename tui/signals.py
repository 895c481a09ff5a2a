"""A dropped line or a stop from outside ends the screen as q does: nothing is left half done."""

from __future__ import annotations

import asyncio
import signal
from collections.abc import Callable

ENDING = (signal.SIGHUP, signal.SIGTERM)


def end_on_signals(end: Callable[[], None]) -> None:
    """Call `end` on the running loop when the terminal goes away or the process is asked to stop."""
    loop = asyncio.get_running_loop()
    for number in ENDING:
        try:
            loop.add_signal_handler(number, end)
        except (NotImplementedError, RuntimeError, ValueError):
            return  # not the main thread: whoever runs it handles its signals
