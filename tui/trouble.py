"""What nobody foresaw: kept in the user's own state folder for whoever mends it, one plain sentence for her."""

from __future__ import annotations

import traceback
from datetime import UTC, datetime
from pathlib import Path

from core.book.state import add_text
from core.text import clean

NAME = "error.log"
MOST_BYTES = 1_000_000
_LONGEST = 100_000
"""Characters kept of one trouble: its end, where it says what it was."""


def keep(error: BaseException) -> Path | None:
    """Keep the traceback, readable by its owner only; its file, None where no disk takes it."""
    told = "".join(traceback.format_exception(error))[-_LONGEST:]
    now = datetime.now(UTC).isoformat(timespec="seconds")
    try:
        return add_text(NAME, f"{now}\n{told}\n".encode("utf-8", "replace"), MOST_BYTES)
    except OSError:
        return None


def sentence(error: BaseException, kept: Path | None) -> str:
    """What she is told."""
    last = traceback.format_exception_only(error)[-1].strip()[:200]
    where = f"What went wrong is kept in {kept}." if kept else f"What went wrong: {last}"
    return clean(
        f"Something went wrong in the program, and it had to stop; all that said 'written' is in the book. {where}"
    )
