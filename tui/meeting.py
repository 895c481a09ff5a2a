"""Meeting the other machine from the screen: beside it, in a program of its own, so that keys are taken meanwhile."""

from __future__ import annotations

import asyncio
import shlex
import sys
from contextlib import suppress
from subprocess import DEVNULL, PIPE
from typing import TYPE_CHECKING

from core.text import clean

if TYPE_CHECKING:
    from tui.app import ShedApp

MEET = "meet"
"""What a line begins with that meets another machine, and writes nothing."""
MEETS = "Enter: sends each machine what it lacks; 'meet shed:farm' the first time"
AGAIN = 1.0
"""Seconds after which the outcome is told, where a question stands open."""
_LONGEST = 1 << 20


class Meeting:
    """One meeting at a time; what comes of it is told on the status line."""

    def __init__(self, app: ShedApp) -> None:
        self._app = app
        self._is_on = False

    def begin(self, words: str) -> None:
        """Meet the machine that the words name, or the one met last."""
        if self._is_on:
            self._app.status.tell("meeting", "the other machine already; what comes of it stands here then.")
            return
        try:
            typed = shlex.split(words)
        except ValueError:
            self._app.status.tell("not met", "A quotation mark has no end; close it.", "refused")
            return
        self._is_on = True
        self._app.status.tell("meeting", "the other machine; go on meanwhile.")
        self._app.run_worker(self._meet(typed), group="meeting")

    async def _meet(self, typed: list[str]) -> None:
        app = self._app
        program = (sys.executable, "-P", "-m", "tui", "--farm", str(app.folder), "--by", app.session.by)
        try:
            running = await asyncio.create_subprocess_exec(
                *program, MEET, *typed, stdin=DEVNULL, stdout=PIPE, stderr=PIPE, limit=_LONGEST
            )
            try:
                said = await running.communicate()
            except (
                BaseException
            ):  # the screen ends; what is on the disks is there, and the rest comes another time
                with suppress(ProcessLookupError):
                    running.kill()
                await running.wait()
                raise
        except OSError as error:
            self._tell(f"It cannot be begun here ({error.strerror}).", is_good=False)
            return
        finally:
            self._is_on = False
        lines = [line for part in said for line in part.decode("utf-8", "replace").splitlines()]
        self._tell("; ".join(clean(line).strip() for line in lines), is_good=running.returncode == 0)

    def _tell(self, text: str, *, is_good: bool) -> None:
        app = self._app
        if not app.is_open:
            return
        if app.status.asking:
            app.set_timer(AGAIN, lambda: self._tell(text, is_good=is_good))
            return
        app.others_wrote()
        app.status.tell("met" if is_good else "not met", text, "good" if is_good else "refused")
