"""Pasted lines: shown first, then written one by one; what is refused or waits is kept, here and on the disk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.book import drafts
from core.book.lock import Held
from core.dialect import told_time
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
LEFT = "not written: the next start asks again about what was pasted"


class Pasting:
    """What was pasted into the screen and is not written yet."""

    def __init__(self, app: ShedApp) -> None:
        self._app = app
        self._asked: list[str] = []
        """Lines that were shown and are not answered for."""
        self._question: Ask | None = None
        """What was last asked about them."""
        self._refused: list[str] = []
        """Lines to be mended, each put into the entry line when the one before is done with."""
        self._mended: str | None = None
        """Which of them is in the entry line, to be mended."""
        self._left: list[str] = []
        """Lines that she left: they come back by Up, and at the next start, and into no other paste."""

    def take(self, text: str) -> None:
        """One line goes into the entry line; several are asked about."""
        lines = [line for line in map(clean, text.splitlines()) if line.strip()]
        app, entry = self._app, self._app.entry
        is_open = app.questions is not None or (self._asked and app.status.asking is self._question)
        app.stop_asking()
        if len(lines) == 1 and len(entry.value) + len(lines[0]) <= LONGEST_TYPED:
            app.give_keys(to_entry=True)
            entry.replace(lines[0], *entry.selection)
        elif lines:
            if not is_open:
                self._left += self._asked
                self._asked = []
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
        self._question = Ask(what, answers, left=LEFT)
        self._app.put_question(self._question, self._answered)

    def _answered(self, answer: str) -> None:
        lines, self._asked = self._asked, []
        if answer == "y":
            writing = _Writing(lines)
            self._app.waiting.when_free(
                lambda: self._write(writing), lambda problem: self._written(writing, problem.sentence)
            )
        else:
            self._keep()

    # lines to be mended

    def next(self) -> None:
        """Put the next refused line into the entry line, where that is empty."""
        if self._refused and not self._app.entry.value:
            self._mended = self._app.mending = self._refused.pop(0)
            self._app.entry.fill(self._app.mending)
            self._app.give_keys(to_entry=True)
            self._keep()

    def done(self) -> None:
        """What is in the entry line was written, or given up."""
        if self._mended in self._left:
            self._left.remove(self._mended)
            self._keep()
        self._mended = None

    def skip(self) -> bool:
        """She emptied the line that was to be mended: it is given up; whether another comes in its place."""
        if self._mended is None:
            return False
        self.done()
        self.next()
        return self._mended is not None

    def set_aside(self) -> None:
        """She leaves the line that was to be mended, and those that were to come after it."""
        if self._mended is None:
            return
        left = [self._mended] * (self._mended not in self._left) + self._refused
        self._left += left
        self._refused, self._mended = [], None
        for line in reversed(left):
            self._app.entry.remember(line)
        self._keep()
        if left:
            self._app.reading = False
            self._app.status.tell("", f"{LEFT}; Up brings it back")

    def recalled(self) -> None:
        """Up brought a line back: where it was left before, it is to be mended."""
        if self._app.entry.value in self._left:
            self._mended = self._app.entry.value

    # writing

    def _write(self, writing: _Writing) -> None:
        """Write the lines that are left; raises Held where another program holds the book."""
        trouble = ""
        while writing.left:
            try:
                result = self._app.session.write(writing.left[0])
            except Held:
                raise
            except ShedbookError as error:
                trouble = error.problem.sentence
                break
            line = writing.left.pop(0)
            if isinstance(result, Problem):
                writing.reasons.append(result.sentence)
                self._refused.append(line)
            else:
                writing.count, writing.says = writing.count + 1, (result.clock, result.says[0])
        self._written(writing, trouble)

    def _written(self, writing: _Writing, trouble: str) -> None:
        """Say what was written; `trouble` is why the lines that are left were not."""
        reasons = [*writing.reasons, trouble] if trouble else writing.reasons
        self._refused += writing.left
        self._keep()
        self._app.refresh_views()
        if reasons:
            head = f"{writing.count} of {writing.lines} written"
            self._app.status.tell(head, f"The first of the others: {reasons[0]}", "refused")
            self.next()
        else:
            clock, said = writing.says
            self._app.status.tell(
                f"written {told_time(clock)}", f"{writing.count} lines, the last: {said}", "good"
            )

    def _keep(self) -> Path | None:
        return drafts.keep_lines(self._app.folder, [*self._left, *self._refused, *self._asked])


class _Writing:
    """Pasted lines on their way into the book, and what has come of them so far."""

    def __init__(self, lines: list[str]) -> None:
        self.left, self.lines = list(lines), len(lines)
        self.count, self.says, self.reasons = 0, ("", ""), list[str]()
