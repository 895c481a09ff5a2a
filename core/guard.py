"""A fault of ours in one subject is told in its place, and all other subjects go on.

She cannot do anything about a fault, and her morning must not wait for whoever mends it: so the page, the screen and
the lines she writes run what reckons one subject under a guard. What was caught is kept in the farm's error.log.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from core.problems import Problem, ShedbookError
from core.text import clean

T = TypeVar("T")

FAULTS = "SHEDBOOK_FAULTS"
"""Where this is "raise" in the environment, no guard catches anything: so the tests run, or a fault would hide."""
LOG = "error.log"
MOST_BYTES = 1_000_000


class Guard:
    """Reckons subjects of the farm in `folder`; without a folder it guards nothing, and faults are raised."""

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder

    def __call__(self, subject: str, reckon: Callable[[], T], instead: Callable[[Problem], T]) -> T:
        """What `reckon` gives; where it fails, what `instead` makes of a sentence that says so.

        `subject` begins the sentence: "Trays" could not be reckoned. Trouble with the disk is told as such.
        """
        try:
            return reckon()
        except ShedbookError as trouble:
            if self._folder is None:
                raise
            return instead(Problem(f"{subject} could not be read: {trouble.problem.sentence}", "disk"))
        except Exception as fault:
            if self._folder is None or raises():
                raise
            kept = keep(self._folder, fault)
            where = f"see {LOG}" if kept else f"no disk took what is known of it ({type(fault).__name__})"
            return instead(Problem(f"{subject} could not be reckoned: {where}.", "fault"))


UNGUARDED = Guard()


def raises() -> bool:
    """Whether faults are to end the program, so that a test fails on them."""
    return os.environ.get(FAULTS) == "raise"


def keep(folder: Path, fault: BaseException) -> Path | None:
    """Add the trace of a fault to error.log, readable by its owner only; None where no disk takes it.

    The same trace is kept once, however often the subject is looked at.
    """
    import traceback
    from datetime import UTC, datetime

    path = folder / LOG
    trace = "".join(traceback.format_exception(fault))
    text = "\n".join(clean(line) for line in trace.split("\n"))  # it is read in a terminal
    try:
        if path.exists():
            if path.stat().st_size > MOST_BYTES:
                path.unlink()
            elif text in path.read_text(encoding="utf-8", errors="replace"):
                return path
        fd = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        with os.fdopen(fd, "w", encoding="utf-8", errors="replace") as file:
            file.write(f"{datetime.now(UTC).isoformat(timespec='seconds')}\n{text}\n")
    except OSError:
        return None
    return path
