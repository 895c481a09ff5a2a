"""All there is to go to: every view, and every line that can be written, narrowed down as she types."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from core.language.guide import guide
from tui.registry import commands, views
from tui.row_keys import Row, RowSort, Typed, words_after
from tui.table import fit
from tui.views.view import Page

if TYPE_CHECKING:
    from core.session import Session

LISTED = RowSort("view", "On a view")
KEY, LINE = 5, 34


class Contents(Page):
    """Enter opens the view under the cursor, or begins the line."""

    EMPTY = "No view and no line is called so. Esc goes back."

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.sought: list[str] = []

    def speak_of(self, over: str, row: Row | None) -> None:
        self.sought = []

    def seek(self, text: str, session: Session) -> None:
        self.sought = text.lower().split()
        self.load(session)
        self.listing.edge(-1)

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        told = (*self._views(), *self._lines(), *self._commands())
        found = [row for row in told if self._fits(row)]
        first = [row for row in found if row.id and self._begins(row)]
        rest = [row for row in found if row.id and not self._begins(row)] if self.sought else found
        return "key  view, or line: Enter goes there, Esc goes back", [*(first if self.sought else ()), *rest]

    def _fits(self, row: Row) -> bool:
        text = "".join(part for part, _ in row.line).lower()
        return all(word in text for word in self.sought) and bool(row.id or not self.sought)

    def _begins(self, row: Row) -> bool:
        """Whether the first word typed begins what the row is called."""
        return bool(self.sought) and row.id[1].lower().startswith(self.sought[0])

    def _views(self) -> Iterator[Row]:
        for view in views().values():
            yield Row(
                LISTED.id(view.name), ((fit(view.key, KEY), "key"), (view.says, "")), LISTED, goes=view.name
            )

    def _lines(self) -> Iterator[Row]:
        for job in guide():
            yield Row((), ((f"Lines to write: {job.name}", "head"),))
            for n, (line, does) in enumerate(job.examples):
                yield Row(("line", line, str(n)), self._beside(line, does), goes=begun(line))

    def _commands(self) -> Iterator[Row]:
        """What is done in the shell, so that it is found here too."""
        yield Row((), (("In the shell", "head"),))
        for command in commands().values():
            yield Row(("command", command.name), self._beside(f"shedbook {command.name}", command.says))

    def _beside(self, line: str, does: str) -> tuple[tuple[str, str], ...]:
        wide = min(LINE, self.width // 2)
        return ((fit(line, wide) + " ", "key"), (fit(does, self.width - wide - 1).rstrip(), ""))


VIEW = Contents


def begun(line: str) -> Typed:
    """The beginning of a line like this one: the words before the first that only she knows."""
    first = line.split()[0]
    return words_after(f"{first} " if first.isalpha() and len(first) > 1 else "")
