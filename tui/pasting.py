"""Pasted lines: shown first, then written one by one; what is refused or waits is kept, here and on the disk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.book import drafts
from core.problems import Problem, ShedbookError
from core.text import LONGEST_TYPED, clean
from tui.lines import Ask

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

    def take(self, text: str) -> None:
        """One line goes into the entry line; several are asked about."""
        lines = [line for line in map(clean, text.splitlines()) if line.strip()]
        entry = self._app.entry
        if len(lines) > 1:
            self.offer(lines)
        elif lines and len(entry.value) + len(lines[0]) > LONGEST_TYPED:
            self._ask(lines, f"A line of {len(lines[0])} characters is too long to write")
        elif lines:
            self._app.give_keys(to_entry=True)
            entry.replace(lines[0], *entry.selection)

    def offer(self, lines: list[str]) -> None:
        """Show how many lines there are and the first of them, and ask."""
        if len(lines) > MOST_LINES:
            self._ask(lines, f"{len(lines)} lines are too many to write here")
            return
        more = f" | and {len(lines) - SHOWN} more" if len(lines) > SHOWN else ""
        self._ask(lines, f"write {len(lines)} lines?  {' | '.join(lines[:SHOWN])}{more}", write=True)

    def _ask(self, lines: list[str], what: str, *, write: bool = False) -> None:
        """Keep the lines, and ask whether to `write` or to forget them."""
        where = self._keep(lines)
        if self._app.questions is not None:
            self._app.status.tell(
                "not written", "Answer first; what was pasted is asked about then.", "refused"
            )
            return
        if not write:
            what += f": kept in {where}" if where else ": no disk keeps it"
        answers = (("y", "writes them", "y"),) if write else ()
        question = Ask(
            what,
            (*answers, ("n", "forgets them" if len(lines) > 1 else "forgets it", "n")),
            left="not written: the next start asks again about what was pasted",
        )
        self._app.status.ask(question, lambda answer: self._write(lines) if answer == "y" else self._forget())

    def begin(self) -> None:
        """At the start: ask about what was pasted before and never answered for."""
        if lines := drafts.kept_lines(self._app.folder):
            self.offer(lines)

    def next(self) -> None:
        """Put the next refused line into the entry line, where that is empty."""
        if self._refused and not self._app.entry.value:
            self._app.mending = self._refused.pop(0)
            self._app.entry.fill(self._app.mending)
            self._app.give_keys(to_entry=True)
            self._keep(self._refused)

    def _write(self, lines: list[str]) -> None:
        written, reasons, clock, said = 0, list[str](), "", ""
        left = list(lines)
        for line in lines:
            try:
                result = self._app.door.write(line)
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
        self._keep(self._refused)
        self._app.refresh_views()
        if reasons:
            head = f"{written} of {len(lines)} written"
            self._app.status.tell(head, f"The first of the others: {reasons[0]}", "refused")
            self.next()
        else:
            self._app.status.tell(f"written {clock}", f"{written} lines, the last: {said}", "good")

    def _keep(self, lines: list[str]) -> Path | None:
        return drafts.keep_lines(self._app.folder, lines)

    def _forget(self) -> None:
        self._keep([])
