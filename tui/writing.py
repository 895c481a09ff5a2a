"""What the screen writes in the book: typed lines, and what is taken back; what came of each is said."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from core.amend import STRIKE
from core.book.lock import Held
from core.dialect import told_time
from core.problems import Problem, ShedbookError
from core.undoing import BY_UNDO
from tui.row_keys import Ask

if TYPE_CHECKING:
    from collections.abc import Callable

    from core.session import Written
    from core.undoing import LastLine
    from tui.app import ShedApp

KEYS_IN_LIST = ("u undoes", ", e corrects")
KEYS_IN_ENTRY = ("ctrl+z undoes", "; Esc, then e corrects")
"""What may be done about a line just written, as told where the keys go."""


MANY = 2
"""Entries of one line that are told one by one; of more, what the line comes to."""


class Writing:
    """Writes for the screen, waiting where another program holds the book, and says what came of it."""

    def __init__(self, app: ShedApp) -> None:
        self._app = app
        self._backing_up = False

    def line(self, line: str, then: Callable[[], object]) -> None:
        """Write a line into the book and say so, `then` go on; or say why not."""
        self._app.waiting.when_free(lambda: self._line(line, then), self._not_written)

    def _line(self, line: str, then: Callable[[], object]) -> None:
        app = self._app
        app.reading = False
        try:
            result = app.session.write(line, answer=True)
        except Held:
            raise
        except ShedbookError as error:
            self._not_written(error.problem)
            return
        if isinstance(result, Problem):
            if app.begun:
                app.entry.go_on()  # what is missing is typed next, wherever the gap was
            app.said_of_line("not written", result.sentence, "refused")
            return
        self._tell(result)
        app.view.written(result.entries)
        app.pane.paint()
        self._back_up()
        then()

    def _not_written(self, problem: Problem) -> None:
        """The disk refuses, or another program holds the book."""
        self._app.keep_line()  # where the disk takes that at least
        self._app.said_of_line("not written", problem.sentence, "refused")

    def undo(self) -> None:
        """Take back what the status line names as written; of anything else ask first, so that no held key runs on."""
        app, last = self._app, self._app.session.last_line()
        if isinstance(last, Problem):
            app.status.tell("", last.sentence, "")
        elif not last.because and app.status.offer == tuple(entry.id for entry in last.entries):
            self._undo_shown(last)
        else:
            why = f" ({last.because}; {last.whose})" if last.because else ""
            do, does = ("restore", "restores it") if last.restores else ("take back", "takes it back")
            question = Ask(f"{do}: {'; '.join(last.says)}?{why}", (("y", does, ""),))
            app.put_question(question, lambda _line: self._undo_shown(last))

    def _undo_shown(self, last: LastLine) -> None:
        """Take back a line that was named, and say so."""
        self._app.waiting.when_free(lambda: self._take_back(last), self._not_written)

    def _take_back(self, last: LastLine) -> None:
        try:
            result = self._app.session.undo(last)
        except Held:
            raise
        except ShedbookError as error:
            result = error.problem
        if isinstance(result, Problem):
            self._app.status.tell("not written", result.sentence, "refused")
        else:
            self._tell(result)

    def _tell(self, written: Written) -> None:
        """Say what is on the disk, and show it; a line that is named here goes back at the next u or ctrl+z."""
        app, head = self._app, f"written {told_time(written.clock)}"
        # whether an order can be kept is seen, however many items it has
        first = written.answers[:1] if written.entries[0].kind == "ordered" else ()
        says = (written.in_short,) if written.in_short and len(written.says) > MANY else written.says
        text = "; ".join((*first, *says, *(said for said in written.remarks if said not in first)))
        if not all(entry.fields.get(BY_UNDO) for entry in written.entries):
            offer = tuple(entry.id for entry in written.entries)
            # in the entry line letters are text, and the next line may be typed at once
            types_on = app.focused is app.entry and not app.back_to
            undoes, corrects = KEYS_IN_ENTRY if types_on else KEYS_IN_LIST
            how = undoes if written.entries[0].kind == STRIKE else undoes + corrects
            app.status.tell(head, f"{text}   {how}", "good", offer=offer)
        else:
            app.status.tell(head, text, "good")
        app.refresh_views()

    def _back_up(self) -> None:
        """Make the day's backup beside the work, after the first line of a day; where it fails, say so."""
        app = self._app
        if self._backing_up or not app.session.backup_due():
            return
        self._backing_up = True

        async def work() -> None:
            try:
                problem = await asyncio.to_thread(app.session.back_up)
            except ShedbookError as error:
                problem = error.problem
            finally:
                self._backing_up = False
            if problem is not None and app.is_open:
                app.status.tell("no backup", problem.sentence, "refused")

        app.run_worker(work(), group="backup")
