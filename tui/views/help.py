"""Help for one view: its keys from the key table, its lines from the guide of the entry line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.language.guide import guide
from core.text import wrap
from tui.keys import ENTRY, EVERYWHERE, LIST, Key
from tui.registry import NUMBER_KEYS, row_sort, view_class, views
from tui.row_keys import Row, RowKey
from tui.table import fit
from tui.views.view import Page

if TYPE_CHECKING:
    from core.session import Session


class Help(Page):
    """A page to scroll through; any view's, for it is told which."""

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.about = "today"

    def speak_of(self, over: str, row: Row | None) -> None:
        self.about = over

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        about = view_class(self.about)
        rows: list[Row] = []
        for sort in map(row_sort, about.SORTS):
            if sort.keys:
                rows += [_row(sort.title, "head"), *(_key(k, self.width) for k in sort.keys)]
        for name in about.JOBS:
            rows += self._job(name)
        rows += [_row("In the entry line", "head"), *(_key(k, self.width) for k in ENTRY)]
        numbered = ", ".join(view.says for view in views().values() if view.key in [*NUMBER_KEYS])
        always = (Key("", (), "1 to 9, 0", "", f"go to {numbered}"), *EVERYWHERE, *LIST)
        rows += [_row("Everywhere", "head"), *(_key(k, self.width) for k in always)]
        for job in guide():
            if job.name not in about.JOBS:
                rows += self._job(job.name)
        listed = views().get(self.about)
        return f"Help for {listed.says if listed else self.about}: Esc or ? goes back", rows

    def _job(self, name: str) -> list[Row]:
        """The lines for one job of the guide."""
        job = next(job for job in guide() if job.name == name)
        rows = [_row(f"Lines to write: {job.name}", "head")]
        for line, does in job.examples:
            rows += self._example(line, does)
        return rows

    def _example(self, line: str, does: str) -> list[Row]:
        wide = 34 if self.width >= 70 else 24
        lines = wrap(does, self.width - wide, hang=2)
        if len(line) < wide:
            first = Row((), ((fit(line, wide), "key"), (lines.pop(0), "")))
            return [first, *(_row(" " * wide + more) for more in lines)]
        return [_row(line, "key"), *(_row(" " * wide + more) for more in lines)]


VIEW = Help


def _row(text: str, look: str = "") -> Row:
    return Row((), ((text, look),))


def _key(key: Key | RowKey, width: int) -> Row:
    return Row((), ((fit(key.shown, 9) + " ", "key"), (fit(key.words, width - 10).rstrip(), "")))
