"""Puts the questions of the first start, one after the other, and writes what is answered at once."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from core.dialect import told_time
from core.farm import Farm
from core.language.read import Reading, read_line
from core.problems import Problem, ShedbookError
from tui.frame_lines import HINTS_HERE
from tui.keys import CLEARS
from tui.views.first_run import QUESTIONS, FirstRun, Question, lines_of, what_is_wrong

if TYPE_CHECKING:
    from tui.shell import Shell


class FirstQuestions:
    """The first start: initials (where the farm is still to be made), name, last frost, beds."""

    def __init__(self, app: Shell) -> None:
        self._app = app
        self._asked: list[tuple[Question, str]] = []
        self._before: dict[str, str] = {}
        """Question -> what was typed for it before she went back."""
        self._left = list(QUESTIONS if app.farm_session is None else QUESTIONS[1:])

    def begin(self) -> None:
        """Show the first question."""
        self._app.bring("first_run")
        self._app.ask("answer:")
        self._app.entry.suggest(())
        self._app.give_keys(to_entry=True)
        self._put()

    def _put(self) -> None:
        view = self._app.view
        assert isinstance(view, FirstRun)
        view.ask([(question.asks, answer) for question, answer in self._asked], self._left)
        self._app.pane.show(view)

    def answered(self, text: str) -> None:
        """Write the answer of the question shown; a refused one is asked again, what was typed stays."""
        question = self._left[0]
        answer = text.strip()
        problem = what_is_wrong(question, answer, _read) or (
            self._take_initials(answer) if not question.line else self._write(lines_of(question, answer))
        )
        if problem:
            clears = f"   {CLEARS} clears the answer" if answer else ""
            self._app.status.tell("not written", f"{problem}{clears}", "refused")
            return
        self._asked.append((question, answer))
        self._left.pop(0)
        self._fill()
        if self._left:
            self._put()
        else:
            self._end()

    def back(self) -> None:
        """To the question before, with what was answered: another answer takes its place."""
        if not self._asked:
            return
        question, answer = self._asked.pop()
        self._before[self._left[0].asks] = self._app.entry.value
        self._left.insert(0, question)
        self._before[question.asks] = answer
        self._fill()
        self._put()

    def _fill(self) -> None:
        """What was typed for this question before, where she went back and comes to it again."""
        self._app.entry.fill(self._before.pop(self._left[0].asks, "") if self._left else "")

    def leave(self) -> None:
        """Pass over what is left."""
        if self._app.farm_session is None and (problem := self._make("")):
            self._app.status.tell("not written", problem, "refused")
            return
        self._app.entry.fill("")
        self._end()

    def _take_initials(self, initials: str) -> str:
        """Make the farm, or have its next lines written by another hand; why not, or ""."""
        if self._app.farm_session is None:
            return self._make(initials)
        self._app.session.by = initials or self._app.session.by
        return ""

    def _make(self, initials: str) -> str:
        """Make the farm; why not, or ""."""
        assert self._app.create is not None
        try:
            self._app.farm_session = self._app.create(initials)
        except ShedbookError as error:
            return error.problem.sentence
        return ""

    def _write(self, lines: list[str]) -> str:
        """Write the lines; why one of them was refused, or ""."""
        for line in lines:
            try:
                result = self._app.session.write(line)
            except ShedbookError as error:
                return error.problem.sentence
            if isinstance(result, Problem):
                return result.sentence
            self._app.status.tell(
                f"written {told_time(result.clock)}", "; ".join((*result.says, *result.remarks)), "good"
            )
        return ""

    def _end(self) -> None:
        self._app.ask("write:")
        self._app.entry.suggest(HINTS_HERE)
        self._app.begin()


def _read(line: str) -> Reading | Problem:
    """A line on a farm of which nothing is known."""
    return read_line(line, Farm(), date.today())
