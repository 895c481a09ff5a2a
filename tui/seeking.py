"""Words typed to narrow down a page: the search over everything, and the list of all views and lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.frame_lines import HINTS_HERE
from tui.registry import PAGES, row_sort
from tui.row_keys import Row, Typed

if TYPE_CHECKING:
    from tui.app import ShedApp

SEARCH, GO_TO = "search", "views"
SEEKS = {SEARCH: "find:", GO_TO: "go to:"}
"""Page that is narrowed down by typing -> what stands before the entry line then."""
HINTS = {
    SEARCH: (
        "any beginnings: a lot, bed, crop, buyer, order, box, a word of a note",
        "a lot, bed, crop, buyer, a word of a note",
    ),
    GO_TO: (
        "any beginnings: a view, what was done, a word of the help",
        "a view, what was done, a word of the help",
    ),
}


class Seeking:
    """While a page is narrowed down: what was being typed before, and where she was."""

    def __init__(self, app: ShedApp) -> None:
        self._app = app
        self.page = ""
        """The page that is narrowed down; "" where none is."""
        self._line, self._caret, self._typing = "", 0, False
        self.came_from = ""
        """The view from which something was opened: Esc goes back to it once."""

    def begin(self, page: str) -> None:
        """Open the page, and give it the letters; once more, and it is left."""
        app = self._app
        if app.questions is not None:
            return
        if self.page:
            is_same = self.page == page
            self.leave()
            if is_same:
                return
        app.stop_asking()
        entry = app.entry
        self._line, self._caret, self._typing = entry.value, entry.cursor_position, app.focused is entry
        self.page = page
        app.open_over(page)
        entry.fill("")
        entry.ghost("")
        app.status.put([])
        app.give_keys(to_entry=True)
        entry.suggest(HINTS[page])
        app.show_prompt()

    @property
    def line(self) -> str:
        """The line that was being typed before."""
        return self._line

    def typed(self, text: str) -> None:
        """Show what fits the words typed so far."""
        self._app.view.seek(text, self._app.session)
        self._app.pane.paint()

    def leave(self) -> None:
        """Back to where she was, and to what was being typed there."""
        typing = self._typing
        self._end()
        self._app.go_back()
        if typing:
            self._app.give_keys(to_entry=True)

    def stop(self) -> None:
        """Leave the page where one is narrowed down: another key leads elsewhere."""
        if self.page:
            self.leave()

    def _end(self) -> None:
        self.page = ""
        entry = self._app.entry
        entry.fill(self._line, self._caret)
        entry.suggest(HINTS_HERE)
        self._app.show_prompt()

    def open(self) -> None:
        """Open what the cursor is on."""
        app, row = self._app, self._app.view.listing.row
        if row is None:
            return
        before = app.came_from.get(app.open_view, "today")
        self.leave()
        app.give_keys(to_entry=False)
        self._go(row)
        app.held.done()  # Enter, held, would open the next
        if app.open_view not in (*PAGES, before):
            self.came_from = before

    def _go(self, row: Row) -> None:
        """To the page of the thing, its row in its view, or all that was written of it."""
        app = self._app
        if isinstance(row.goes, Typed):
            app.put(row.goes)
        elif row.goes in PAGES:
            app.open_over(row.goes, row)
        elif row.goes:
            app.action_show(row.goes)
        elif row.value is not None:
            home = row_sort(row.id[0]).view if row.id[1:] else ""
            if home:
                app.action_show(home)
            if home and app.view.listing.choose(row.id):
                app.pane.paint()
            else:
                app.find(row.value)
        else:
            app.status.tell("", "".join(text for text, _ in row.line).strip(), "")

    def back(self) -> bool:
        """Esc in a view that was opened from the search: to the view she came from; whether there is one."""
        before, self.came_from = self.came_from, ""
        if before:
            self._app.action_show(before)
        return bool(before)
