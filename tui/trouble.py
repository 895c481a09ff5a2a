"""What nobody foresaw: kept in the farm folder for whoever mends it, one plain sentence for her."""

from __future__ import annotations

import os
import traceback
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

NAME = "error.log"
MOST_BYTES = 1_000_000


def keep(folder: Path, error: BaseException) -> Path | None:
    """Append the traceback to error.log, readable by its owner only; None where no disk takes it."""
    path = folder / NAME
    text = "".join(traceback.format_exception(error))
    with suppress(OSError):
        if path.exists() and path.stat().st_size > MOST_BYTES:
            path.unlink()
        fd = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        with os.fdopen(fd, "w", encoding="utf-8", errors="replace") as file:
            file.write(f"{datetime.now(UTC).isoformat(timespec='seconds')}\n{text}\n")
        return path
    return None


def sentence(kept: Path | None) -> str:
    """What she is told."""
    where = f" What went wrong is kept in {kept}." if kept else ""
    return f"shedbook met a fault of its own and had to stop; all that said 'written' is in the book.{where}"
