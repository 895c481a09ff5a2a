"""The screen at work: what is typed and which keys are pressed, and where each of them leads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.events import Event, Paste

from core.book import drafts
from tui.cli_session import close_session
from tui.meeting import MEET, MEETS, Meeting
from tui.messages import LineTyped
from tui.on_row import enter, press
from tui.pasting import Pasting
from tui.registry import PAGES
from tui.row_keys import Ask, Row, Typed
from tui.seeking import GO_TO, SEARCH, Seeking
from tui.shell import Create, Shell
from tui.waiting import AT_ONCE, Waiting
from tui.widgets.status_line import quiet_line
from tui.writing import Writing

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from core.session import Session
    from tui.first_frame import FirstFrame
    from tui.terminal import Terminal
    from tui.views.today import Today
    from tui.views.view import View


FIND = "find"
"""What a line begins with that looks entries up, and writes nothing."""
HELP = "help"
"""And one that asks for help."""
HELPS = "Enter: the lines for it, such as: help frost"
FINDS = "Enter: the entries with these words, of all there are: a lot, bed, crop, buyer, word"
NO_LINES = {FIND: FINDS, HELP: HELPS, "?": HELPS, MEET: MEETS}
"""Words that begin what is no line of the book -> what Enter does then."""


class ShedApp(Shell):
    """The shell over the session."""

    reading = False
    """Whether the status line says what the typed line means."""
    mending = ""
    """The line of which something was said that stands until it is changed."""
    begun = ""
    """The line that a key last put into the entry line."""
    set_by = ""
    """What was being typed when a question came whose answer is typed too."""
    back_to = ""
    """The view whose list gets the keys when the line is written, where it began on a row."""

    def __init__(
        self,
        session: Session | None,
        create: Create | None,
        folder: Path,
        *,
        said: str = "",
        terminal: Terminal | None = None,
        today: View | None = None,
    ) -> None:
        super().__init__(session, create, folder, said=said, terminal=terminal, today=today)
        self.entry.keys = self
        self.writing = Writing(self)
        self.pasting = Pasting(self)
        self.waiting = Waiting(self)
        self.meeting = Meeting(self)
        self.seeking = Seeking(self)

    def action_show(self, name: str) -> None:
        super().action_show(name)
        if self.view.TYPES:
            self.on_line_typed(LineTyped(self.entry.value))

    def begin(self) -> None:
        super().begin()
        self.session.be_patient(AT_ONCE)
        self.pasting.begin()

    async def on_event(self, event: Event) -> None:
        """A paste goes where lines are written, wherever the keys are; it is no answer to a question."""
        if isinstance(event, Paste) and not event.is_forwarded:
            if self.seeking.page and len(event.text.splitlines()) > 1:
                self.seeking.leave()
            self.pasting.take(event.text)
        else:
            await super().on_event(event)

    # the entry line

    def write(self, line: str, then: Callable[[], object] = lambda: None) -> None:
        """Write a line into the book and say so, `then` go on; or say why not."""
        self.writing.line(line, then)

    def said_of_line(self, head: str, text: str, look: str) -> None:
        """Say something of the line that is typed: it stands until the line is changed, however fast it was typed."""
        self.reading = False
        self.mending = self.entry.value
        self.status.tell(head, text, look)

    # questions

    def put_question(self, question: Ask, then: Callable[[str], object]) -> None:
        """Ask for one key; where a line is being typed the answer is typed in its place, and it comes back then."""
        typed = self.focused is self.entry
        if typed:
            self.set_by = self.entry.value
            self.entry.fill("")
        self.status.ask(question, then, typed=typed)

    def stop_asking(self) -> None:
        """Drop the question that stands open, if one does."""
        if self.status.asking:
            self.status.asking = None
            self._bring_back()

    def _bring_back(self) -> None:
        """Back to what was being typed when the question came, where the answer was typed."""
        if self.status.typed:
            self.entry.fill(self.set_by)
            self.set_by, self.status.typed = "", False

    def _type_on(self) -> None:
        """A line is typed where an answer was asked for: the question is left, Up brings back what was typed before."""
        self.status.leave()
        if self.set_by.strip():
            self.entry.remember(self.set_by)
        self.set_by, self.status.typed = "", False
        self.pasting.set_aside()

    def send(self, text: str) -> None:
        """Enter in the entry line: answer the question, write the line, or leave an empty one."""
        if self.questions is not None:
            self.questions.answered(text)
            return
        if self.seeking.page:
            self.seeking.open()
            return
        line = text.strip()
        if self.status.asking:
            if self.status.has_answer(line.lower()):
                self._bring_back()
                self.status.answer(line.lower())
                return
            if not line:
                return
            self._type_on()
        if not line:
            if not self.pasting.skip():
                self.leave_entry()
        elif line.split()[0].lower() == FIND:
            self.find(line[len(FIND) :])
        elif line.split()[0].lower() in (HELP, "?"):
            self.help_with(line.partition(" ")[2])
        elif line.split()[0].lower() == MEET:
            self._line_done()
            self.reading = False
            self.give_keys(to_entry=False)
            self.meeting.begin(line[len(MEET) :])
        else:
            self.write(line + self.view.again(text), lambda: self._sent(line))

    def _sent(self, line: str) -> None:
        """A typed line was written: the next may be typed."""
        self.pasting.done()
        if self.entry.value.strip() == line:
            self.entry.done(line)
            if self.back_to:
                self.leave_entry()
        else:
            self.entry.remember(line)  # it had to wait, and she typed on
        drafts.forget(self.folder)
        self.pasting.next()
        if not self.entry.value:
            self.held.done()  # Enter, held, would open the next row and write on

    def help_with(self, words: str) -> None:
        """Tell what answers the words; the line is done with."""
        self._line_done()
        if self.open_view != "help":
            self.open_over("help")
        self.view.seek(words, self.session)
        self.pane.paint()
        self.give_keys(to_entry=False)

    def find(self, words: str) -> None:
        """Look entries up; the line is done with."""
        self._line_done()
        self.open_entries()
        self.view.seek(words, self.session)
        self.pane.paint()

    def _line_done(self) -> None:
        """What was typed is no line of the book, and done with."""
        self.pasting.set_aside()
        self.entry.fill("")
        self.begun = self.back_to = ""

    def on_line_typed(self, message: LineTyped) -> None:
        if (
            not self.is_open
            or self.farm_session is None
            or self.questions is not None
            or message.text != self.entry.value
        ):
            return
        text = message.text
        if self.seeking.page:
            self.seeking.typed(text)
            return
        if self.status.asking:
            if not text.strip() or not self.status.typed or self.status.has_answer(text.strip().lower()):
                return
            self._type_on()
        if text == self.mending and text:
            return
        self.mending = ""
        again = self.view.again(text)
        meant = self.session.complete(text + again)
        self.entry.ghost(again or meant.ghost)
        if said := NO_LINES.get((text.split() or [""])[0]):
            self.status.put(quiet_line(said, (), self.size.width))
            self.reading = True
        elif text.strip():
            self.status.put(quiet_line(meant.says, meant.offers, self.size.width))
            self.reading = True
        elif self.reading:
            self.status.put([])
            self.reading = False
        if self.view.look_at(self.session, text, meant):
            self.pane.paint()

    def arrow(self, step: int) -> None:
        """Up or down in the entry line: earlier lines, or where the view is there to be typed in, its rows."""
        if self.questions is not None:
            if step < 0:
                self.questions.back()
        elif self.seeking.page:
            self.pane.move("move", step)
        elif self.view.TYPES:
            self.pane.move("move", step)
            self.on_line_typed(LineTyped(self.entry.value))
        else:
            self.entry.recall(step)
            self.pasting.recalled()

    def leave_entry(self) -> None:
        """Esc in the entry line: it is cleared, and the keys go back to the list; Up brings a typed line back."""
        if self.seeking.page:
            self.seeking.leave()
            return
        back_to, self.back_to = self.back_to, ""
        if self.questions is not None:
            self.questions.leave()
            return
        if self.status.asking:
            self.status.leave()
            self._bring_back()
            self.back_to = back_to
            return
        self.pasting.set_aside()
        if self.entry.value.strip() and self.entry.value != self.begun:
            self.entry.remember(self.entry.value)
        self.entry.fill("")
        self.begun = ""
        if back_to and back_to != self.open_view:
            self.action_show(back_to)
        else:
            self.give_keys(to_entry=False)

    def put(self, typed: Typed) -> None:
        """Send a line, or put it into the entry line to be finished."""
        if typed.send:
            self.write(typed.text)
            return
        self.back_to = self.open_view
        self.pasting.set_aside()
        if self.entry.value.strip() and self.entry.value != self.begun:
            self.entry.remember(self.entry.value)  # half typed before: Up brings it back
        if typed.view:
            self.action_show(typed.view)
        self.begun = typed.text
        self.entry.fill(typed.text, typed.caret)
        self.give_keys(to_entry=True)

    # keys

    def action_row(self, letter: str) -> None:
        """Do what a letter does on the row under the cursor, or in the whole view."""
        press(self, letter)

    def action_enter(self) -> None:
        """Enter on a row: where it leads to; the page, or else the story, of what it speaks of; else the entry line."""
        if self.questions is None and self.open_view != "help":
            enter(self)

    def open_over(self, name: str, row: Row | None = None) -> None:
        """Open a page over the view that is open; of a row, where it speaks of one."""
        before = self.open_view
        page = self.bring(name)
        self.open_view = before
        page.speak_of(before, row)
        self.open_page(name, page)

    def action_write(self, anywhere: bool = False) -> None:
        if self.questions is not None:
            return
        if self.view.BEGINS and not self.entry.value:
            self.put(Typed(self.view.BEGINS))
        else:
            self.give_keys(to_entry=True)
        self.held.opened()

    def action_undo(self, anywhere: bool = False) -> None:
        """Take back what the status line names as written; of anything else ask first, so that no held key runs on."""
        if self.questions is not None:
            return
        self.seeking.stop()
        self.writing.undo()

    def action_help(self, anywhere: bool = False) -> None:
        """Help for the open view; again, or Esc, goes back."""
        self.seeking.stop()
        if self.open_view == "help":
            self.go_back()
        elif self.questions is None:
            self.open_over("help")

    def action_views(self, anywhere: bool = False) -> None:
        """All there is to go to, narrowed down as she types; again, or Esc, goes back."""
        self.seeking.begin(GO_TO)

    def action_search(self, anywhere: bool = False) -> None:
        """The search over everything."""
        self.seeking.begin(SEARCH)

    async def action_back(self) -> None:
        """Esc: out of the entry line, or back from a page."""
        if self.focused is self.entry:
            self.leave_entry()
        elif self.open_view in PAGES:
            self.go_back()
        else:
            self.seeking.back()

    def action_help_quit(self) -> None:
        self.status.tell("", "q leaves, ctrl+q from anywhere. All that says 'written' is on the disk.", "")


def run(
    session: Session | None,
    create: Create | None,
    folder: Path,
    *,
    said: str = "",
    frame: FirstFrame,
    today: Today | None = None,
) -> int:
    """Open the screen on the farm in `folder`, or `create` it there after a few questions; the exit status.

    The caller has seen to it that there is a terminal, that of `frame`; where it is taken already, it shows `today`,
    which has read the book. `said` stands in the status line at first.
    """
    app = ShedApp(session, create, folder, said=said, terminal=frame.terminal, today=today)
    try:
        app.run(mouse=False)
    finally:
        if app.farm_session is not None:
            close_session(app.farm_session)
    if today is not None and app.farm_session is not None:
        frame.keep(app.farm_session, today)
    return app.return_code or 0
