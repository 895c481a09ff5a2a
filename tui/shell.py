"""The frame of the screen: its lines, which view is open, keeping in step with the book, and how it ends."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual._compositor import ChopsUpdate, LayoutUpdate
from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.events import Event, Key
from textual.screen import Screen

from core import error_log
from core.book import drafts
from core.problems import ShedbookError
from core.units import long_day
from tui import look
from tui.bindings import LISTING, bindings
from tui.driver import TerminalDriver
from tui.frame_lines import prompt
from tui.held import HeldKey
from tui.keys import ENTRY, EVERYWHERE, QUESTION, SEEKING, own_keys
from tui.messages import PaneResized, RowMoved
from tui.painted import painted
from tui.registry import PAGES, TODAY, view_class, views
from tui.seeking import SEEKS
from tui.signals import end_on_signals
from tui.table import cells
from tui.terminal import Terminal
from tui.views.view import View
from tui.widgets.entry_line import EntryLine
from tui.widgets.frame import Frame
from tui.widgets.key_line import KeyLine
from tui.widgets.pane import Pane
from tui.widgets.status_line import StatusLine
from tui.widgets.text_lines import TextLines
from tui.widgets.top_line import TopLine

if TYPE_CHECKING:
    from pathlib import Path

    from core.session import Session
    from tui.asking import FirstQuestions
    from tui.following import Following
    from tui.seeking import Seeking

Create = Callable[[str], "Session"]
"""Makes the farm for a person of these initials ("" where none were said)."""

BEGIN_A_LINE = {"tab", *(key for always in EVERYWHERE if always.id == "write" for key in always.keys)}
NO_ANSWER = ("ctrl+q", "ctrl+l", "f2")  # they do what they do though a question stands open
KEPT = "the line you were typing when the screen last closed: w goes to it"


class Shell(App[int]):
    """One top line, one view, one entry line, one line of news and one of keys."""

    CSS_PATH = "shedbook.tcss"
    TITLE = "shedbook"
    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = None
    BINDINGS: ClassVar[list[BindingType]] = bindings()

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
        super().__init__(ansi_color=True, driver_class=TerminalDriver)
        self.terminal = terminal or Terminal()
        self._disable_tooltips = self._disable_notifications = True  # never shown: 8 ms of a start
        self.theme = "ansi-dark"  # sends the terminal's own colors
        self.animation_level = "none"
        self.rule = look.rule()
        self.farm_session, self.create, self.folder, self.said = session, create, folder, said
        self.unsent = False
        """Whether something was painted that was not sent: Today stands there until the toolkit has it too."""
        self.open_view = ""
        self.came_from: dict[str, str] = {}
        self.day = ""
        self.kept_line: str | None = None
        self.following: Following | None = None
        self.questions: FirstQuestions | None = None
        self.held = HeldKey()
        self.top, self.entry = TopLine(id="top"), EntryLine(id="line")
        self.status, self.key_line = StatusLine(id="status"), KeyLine(id="keys")
        self.prompt, self.pane = TextLines(id="prompt"), Pane(id="pane")
        self.seeking: Seeking
        self.views = {TODAY.name: today} if today else {}

    def get_default_screen(self) -> Frame:
        return Frame(id="_default")

    def _display(self, screen: Screen[object], renderable: object) -> None:
        """Send the cells that differ from those that stand there, where the toolkit would send all that it painted."""
        driver = self._driver
        is_up = driver is not None and self._running and not (self._closed or self._batch_count)
        if is_up and not self.is_headless and isinstance(renderable, LayoutUpdate | ChopsUpdate):
            assert driver is not None
            if self.pane.is_yet_empty:
                self.unsent = True
            else:
                shown = self.terminal.shown
                is_whole = shown.is_unknown or self.unsent
                self.unsent = False
                whole = screen._compositor.render_full_update() if is_whole else renderable
                driver.write(shown.draw(painted(whole)) + self._caret())
        self.post_display_hook()

    def _set_pointer_shape(self, shape: str) -> None:
        """There is no mouse here, and some terminals print what is sent of its shape."""

    def _caret(self) -> str:
        """The terminal's own cursor goes along where letters are typed, for what is put together of several keys."""
        return self.terminal.shown.to(*self.cursor_position) if self.focused is self.entry else ""

    def compose(self) -> ComposeResult:
        yield self.top
        yield self.pane
        with Horizontal(id="entry"):
            yield self.prompt
            yield self.entry
        yield self.status
        yield self.key_line

    def on_mount(self) -> None:
        end_on_signals(self.leave)
        self.ask("write:")
        if self.farm_session is None or not self.session.farm.count:
            from tui.asking import FirstQuestions  # asked once in the life of a farm

            self.questions = FirstQuestions(self)
            self.questions.begin()
        else:
            self.begin()

    @property
    def session(self) -> Session:
        assert self.farm_session is not None
        return self.farm_session

    def begin(self) -> None:
        """The farm is there: open Today, with the line that was half typed when the screen last closed."""
        self.questions = None
        self.action_show("today")
        if kept := drafts.kept(self.folder):
            self.entry.fill(kept)
        if read_only := self.session.read_only():
            self.call_after_refresh(self.status.tell, "read only", read_only.sentence, "refused")
        elif kept:
            self.call_after_refresh(self.status.tell, "kept", KEPT)
        elif self.said:
            self.call_after_refresh(self.status.tell, "", self.said, "")
        self.call_after_refresh(self._follow)

    def _follow(self) -> None:
        from tui.following import Following  # after the first paint

        self.following = Following(self, self.folder, self.others_wrote, self.new_day)

    @property
    def is_open(self) -> bool:
        """Whether there is a screen still: a last message may come after it was taken down."""
        return bool(self.screen_stack)

    # the views

    @property
    def view(self) -> View:
        """The open view."""
        return self.views[self.open_view]

    def bring(self, name: str) -> View:
        """Make a view the open one, made now if it never was."""
        if name not in self.views:
            self.views[name] = view_class(name)(self.rule)
        self.open_view = name
        self._give_room(self.view)
        return self.view

    def _give_room(self, view: View) -> None:
        columns, rows = self.size
        if (columns, rows) != (view.columns, view.screen_rows):
            view.columns, view.screen_rows, view.stale = columns, rows, True

    def action_show(self, name: str) -> None:
        """Open a view; it reads the session again only where something was written since it last did."""
        if self.questions is not None:
            return
        view = self.bring(name)
        if view.stale:
            view.load(self.session)
        self.pane.show(view)
        self.give_keys(to_entry=False)
        self._show_top()

    def action_entries(self, anywhere: bool = False) -> None:
        """Open the book, on the newest entry about what the row under the cursor speaks of."""
        if self.questions is not None:
            return
        over, row = self.open_view, self.view.listing.row
        self.open_entries()
        if over != "entries":
            self.view.seek("", self.session)
            self.view.speak_of(over, row)
            self.pane.paint()

    def open_entries(self) -> None:
        """Open the book; Esc in it goes back to the view before."""
        before = self._under()[-1]
        self.action_show("entries")
        if before != "entries":
            self.seeking.came_from = before

    def action_number(self, key: str) -> None:
        """Open the view with that number or capital letter."""
        self.seeking.came_from = ""
        for name, view in views().items():
            if view.key == key:
                self.action_show(name)

    def open_page(self, name: str, view: View) -> None:
        """Show a page over the open view; one that lies under it already leads back to where it did."""
        if name not in self._under():
            self.came_from[name] = self.open_view
        self._show_page(name, view)

    def _show_page(self, name: str, view: View) -> None:
        self.open_view = name
        view.load(self.session)
        view.listing.edge(-1)
        self.pane.show(view)
        self.give_keys(to_entry=False)

    def _under(self) -> list[str]:
        """The open view, and where it is a page, what that was opened over, down to the view of a key."""
        found = [self.open_view]
        while found[-1] in PAGES:
            found.append(self.came_from.get(found[-1], "today"))
        return found

    def go_back(self) -> None:
        """From a page to what it was opened over."""
        before = self.came_from.get(self.open_view, "today")
        if before in PAGES:
            self._show_page(before, self.views[before])
        else:
            self.action_show(before)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Whether a key does something now: in the entry line letters and digits are text."""
        if action in LISTING and parameters[:1] != (True,):
            return self.focused is not self.entry
        return True

    def give_keys(self, *, to_entry: bool) -> None:
        """Give the keys to the entry line or to the list, now: what comes next may be here already."""
        self.screen.set_focus(self.entry if to_entry else None, scroll_visible=False)
        self.pane.paint()
        self._show_keys()

    def action_move(self, how: str, step: int) -> None:
        self.pane.move(how, step)

    async def on_event(self, event: Event) -> None:
        if not isinstance(event, Key) or event.is_forwarded:
            await super().on_event(event)
            return
        self.pane.key_came()
        meant = self.held.instead(event.key)
        if meant != event.key:
            event = Key(meant, None)
        if self._is_answer(event.key):
            self.status.answer(event.key)
            self.held.done()
        elif meant:
            await super().on_event(event)

    def _is_answer(self, key: str) -> bool:
        """Whether a key is for the question that stands open; one that begins a line leaves it first."""
        if not key or not self.status.asking or self.status.typed or key in NO_ANSWER:
            return False
        if key in BEGIN_A_LINE and not self.status.has_answer(key):
            self.status.leave()
        return self.status.asking is not None

    def ask(self, word: str, day: str = "") -> None:
        """Put a word, and the day where there is room, before the entry line."""
        line = prompt(word, day, self.size.width)
        self.prompt.styles.width = sum(cells(text) for text, _ in line) + 2
        self.prompt.show([line])

    def _show_top(self) -> None:
        self.day = self.session.today.isoformat()
        self.top.tell(self._under()[-1], self.session.farm.settings.name or "")
        self.show_prompt()

    def show_prompt(self) -> None:
        """Say before the entry line what is typed there now."""
        if self.seeking.page:
            self.ask(SEEKS[self.seeking.page])
        else:
            self.ask("write:", long_day(self.session.today)[:-5])

    def refresh_views(self) -> None:
        """Something in the book is new: the open view reads it, the hidden ones will."""
        for view in self.views.values():
            view.stale = True
        if self.open_view != "help":
            self.view.load(self.session)
            self.pane.paint()
        self._show_top()

    def others_wrote(self) -> None:
        try:
            if self.is_open and self.session.refresh():
                self.refresh_views()
        except ShedbookError as error:
            self.status.tell("trouble", error.problem.sentence, "refused")

    def new_day(self) -> None:
        if self.is_open and self.session.today.isoformat() != self.day:
            self.refresh_views()

    def on_pane_resized(self, _message: PaneResized) -> None:
        """There is more room, or less: what is shown is laid out anew."""
        if not self.open_view or not self.is_open:
            return
        self._give_room(self.view)
        if self.view.stale and self.farm_session is not None and self.questions is None:
            self.view.load(self.session)
        self.pane.paint()
        if self.questions is None:
            self._show_top()
        self._show_keys()

    def on_row_moved(self, _message: RowMoved) -> None:
        if self.is_open:
            self._show_keys()

    def _show_keys(self) -> None:
        if self.questions is not None:
            self.key_line.tell_all(QUESTION)
        elif self.focused is self.entry:
            self.key_line.tell_all(SEEKING if self.seeking.page else ENTRY)
        else:
            self.key_line.tell(own_keys(self.view.listing.row, self.view.offers))

    def action_redraw(self, anywhere: bool = False) -> None:
        """Draw everything anew."""
        self.terminal.shown.forget(*self.size, self.terminal.ground)
        self.refresh()

    def action_sun(self, anywhere: bool = False) -> None:
        """Into the sun, or back into the shade."""
        self.terminal.in_sun = not self.terminal.in_sun
        self.action_redraw()

    # the end

    async def action_quit(self, anywhere: bool = False) -> None:
        if self.open_view in PAGES and not anywhere:
            self.go_back()
        else:
            self.leave()

    def leave(self) -> None:
        """End the screen; a half-typed line is kept for the next start."""
        self.keep_line()
        self.exit(0)

    def keep_line(self) -> None:
        line = self.seeking.line if self.seeking.page else self.entry.value
        if self.farm_session is not None and self.questions is None and self.kept_line != line:
            self.kept_line = line
            drafts.keep(self.folder, self.kept_line)

    def on_unmount(self) -> None:
        self.keep_line()  # the last letters may have come to the entry line after the key to leave
        if self.following is not None:
            self.following.close()

    def _handle_exception(self, error: Exception) -> None:
        kept = error_log.keep(error)
        with suppress(Exception):
            self.keep_line()
        self._exception = self._exception or error
        self._exception_event.set()
        self._return_code = 1
        self._exit_renderables = [Text(error_log.sentence(error, kept))]
        self._close_messages_no_wait()
