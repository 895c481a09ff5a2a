"""What nobody foresaw: kept in the user's own state folder for whoever mends it, and one plain sentence for her."""

from __future__ import annotations

import os
import traceback
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

from core.book.disk import open_to_read
from core.book.state import add_text, state_folder
from core.text import clean

NAME = "error.log"
MOST_BYTES = 1_000_000
_LONGEST = 100_000
"""Characters kept of one fault: its end, where it says what it was."""


def path() -> Path | None:
    """Where faults are kept, whether or not there is one; None where this user has no such place."""
    folder = state_folder()
    return None if folder is None else folder / NAME


def keep(fault: BaseException) -> Path | None:
    """Keep the trace, readable by its owner only; its file, None where no disk takes it.

    The same trace is kept once, however often the same is looked at.
    """
    told = "".join(traceback.format_exception(fault))[-_LONGEST:]
    text = "\n".join(clean(line) for line in told.split("\n"))  # it is read in a terminal
    if (log := path()) is not None and _holds(log, text):
        return log
    now = datetime.now(UTC).isoformat(timespec="seconds")
    try:
        return add_text(NAME, f"{now}\n{text}\n".encode("utf-8", "replace"), MOST_BYTES)
    except OSError:
        return None


def _holds(log: Path, text: str) -> bool:
    with suppress(OSError), open_to_read(log) as fd:
        return text.encode("utf-8", "replace") in os.read(fd, MOST_BYTES)
    return False


def sentence(fault: BaseException, kept: Path | None) -> str:
    """What she is told where the program has to stop."""
    last = traceback.format_exception_only(fault)[-1].strip()[:200]
    where = f"What went wrong is kept in {kept}." if kept else f"What went wrong: {last}"
    return clean(
        f"Something went wrong in the program, and it had to stop; all that said 'written' is in the book. {where}"
    )
