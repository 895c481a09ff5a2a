"""The screen in a process that was forked from one in which all of it is loaded: a start takes longer to load than to
draw, and what most terminals are opened for is what comes after it."""

from __future__ import annotations

import os
import sys
from datetime import date
from pathlib import Path

import tui.app  # noqa: F401  # loaded once, for all that are forked
from core.session import Session
from tui import driver
from tui.opening import drawn


def opened(
    terminal: str, folder: Path, day: date, environment: dict[str, str], patient: bool = False
) -> None:
    """Open the screen on the terminal of that name, as a login on it would; `patient`: the rest of a sequence of keys
    is waited for as long as it takes."""
    if patient:
        driver.ESC_SECONDS = driver.SEQUENCE_SECONDS = 600.0
    os.environ.clear()
    os.environ.update(environment)
    os.setsid()
    its = os.open(terminal, os.O_RDWR)  # the first that a session opens is the one it hangs on
    for number in range(3):
        os.dup2(its, number)
    sys.stdin = sys.__stdin__ = open(0, closefd=False)  # type: ignore[misc]  # noqa: SIM115
    sys.stdout = sys.__stdout__ = open(1, "w", closefd=False)  # type: ignore[misc]  # noqa: SIM115
    sys.stderr = sys.__stderr__ = open(2, "w", closefd=False)  # type: ignore[misc]  # noqa: SIM115
    farm = Session.open(folder, by="jm", on=day) if (folder / "log").is_dir() else None
    sys.exit(drawn(farm, lambda by: Session.create(folder, by=by, on=day), folder))
