"""The command shedbook, and python -m tui, which is the same."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from typing import NoReturn

from tui.cli import main


def program() -> NoReturn:
    """Run one command and end at once: all is written, closed and printed by then, and taking apart the values of a
    big book one by one would only keep her waiting."""
    status = main()
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError, AttributeError):
            stream.flush()
    os._exit(status)


if __name__ == "__main__":
    program()
