"""Pasted lines: shown first, then written one by one; what is refused or waits is kept, here and on the disk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.book import drafts
from core.problems import Problem, ShedbookError
from core.text import LONGEST_TYPED, clean
from core.units import plural
from tui.row_keys import Ask

if TYPE_CHECKING:
    from pathlib import Path

    from tui.app import ShedApp

MOST_LINES = 200
"""More are written from the shell: each is on the disk before the next is begun, and the screen waits for them."""
SHOWN = 3


class Pasting:
    """What was pasted into the screen and is not written yet."""

    def __init__(self, app: ShedApp) -> None:
        self._app = app
        self._refused: list[str] = []
        """Lines to be mended, each put into the entry line when the one before is done with."""
        self._asked: list[str] = []
        """Lines that were shown and are not answered for: what is pasted after them is asked about with them."""

    def take(self, text: str) -> None:
        """One line goes into the entry line; several are asked about."""
        lines = [line for line in map(clean, text.splitlines()) if line.strip()]
        entry = self._app.entry
        if len(lines) == 1 and len(entry.value) + len(lines[0]) <= LONGEST_TYPED:
            self._app.give_keys(to_entry=True)
            entry.replace(lines[0], *entry.selection)
        elif lines:
            self._asked += lines
            self._keep()
            self._ask()

    def begin(self) -> None:
        """At the start: ask about what was pasted before and never answered for."""
        self._asked = self._asked or drafts.kept_lines(self._app.folder)
        if self._asked:
            self._app.call_after_refresh(self._ask)

    def _ask(self) -> None:
        """Show how many lines there are and the first of them, and ask."""
        if not self._asked:
            return
        if self._app.questions is not None:
            self._app.status.tell(
                "not written", "Answer first; what was pasted is asked about then.", "refused"
            )
            return
        count, first = len(self._asked), " | ".join(self._asked[:SHOWN])
        more = f" | and {count - SHOWN} more" if count > SHOWN else ""
        what = f"write {plural(count, 'line')}?  {first}{more}"
        answers: tuple[tuple[str, str, str], ...] = (("y", "writes", "y"), ("n", "forgets", "n"))
        if count > MOST_LINES:
            where = self._keep()
            what = f"{count} lines are too many to write here"
            what += f": 'shedbook write -' takes them from {where}" if where else ", and no disk keeps them"
            answers = answers[1:]
        question = Ask(what, answers, left="not written: the next start asks again about what was pasted")
        self._app.status.ask(question, self._answered)

    def _answered(self, answer: str) -> None:
        lines, self._asked = self._asked, []
        if answer == "y":
            self._write(lines)
        else:
            self._keep()

    def next(self) -> None:
        """Put the next refused line into the entry line, where that is empty."""
        if self._refused and not self._app.entry.value:
            self._app.mending = self._refused.pop(0)
            self._app.entry.fill(self._app.mending)
            self._app.give_keys(to_entry=True)
            self._keep()

    def _write(self, lines: list[str]) -> None:
        written, reasons, clock, said = 0, list[str](), "", ""
        left = list(lines)
        for line in lines:
            try:
                result = self._app.session.write(line)
            except ShedbookError as error:
                reasons.append(error.problem.sentence)
                break
            left.pop(0)
            if isinstance(result, Problem):
                reasons.append(result.sentence)
                self._refused.append(line)
            else:
                written, clock, said = written + 1, result.clock, result.says[0]
        self._refused += left
        self._keep()
        self._app.refresh_views()
        if reasons:
            head = f"{written} of {len(lines)} written"
            self._app.status.tell(head, f"The first of the others: {reasons[0]}", "refused")
            self.next()
        else:
            self._app.status.tell(f"written {clock}", f"{written} lines, the last: {said}", "good")

    def _keep(self) -> Path | None:
        return drafts.keep_lines(self._app.folder, [*self._refused, *self._asked])
