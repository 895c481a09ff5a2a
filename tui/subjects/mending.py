"""Entries: the book itself, newest first, to be looked through, corrected and taken back."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import groupby
from typing import TYPE_CHECKING

from core.kinds import sentence
from core.mending.rows import EntryRow, book_rows
from core.undoing import SET_UP
from core.units import ID_SHOWN, day_from_iso, day_text, long_day
from tui.letters import deed
from tui.phrases import strip
from tui.row_keys import Ask, Row, RowSort, Typed, words_after
from tui.table import Line, fit
from tui.views.view import View

if TYPE_CHECKING:
    from core.session import Session

MARKS = 11
"""Columns for what became of an entry."""
WRITER = 4
"""Columns for who wrote it."""


def _take_back(r: EntryRow) -> Ask:
    """A struck entry comes back, any other is taken back; asked first: a line typed without `w` is keys."""
    if r.is_struck:
        return Ask(f"Restore: {r.says}?", (("y", "restores it", f"strike {r.amended_by[-1]}"),))
    why = " It is how the farm is set up." if r.kind in SET_UP else ""
    return Ask(f"Take back: {r.says}?{why}", (("y", "takes it back", f"strike {r.id}"),))


ENTRY = RowSort(
    "entry",
    "On an entry",
    (
        deed("correct", "correct", "what was wrong: write what is right (Enter too)", lambda r: correct(r)),
        deed("take_back", "take back", "it did not happen; once more, and it counts again", _take_back),
        deed(
            "find",
            "find",
            "entries of a lot, a bed, a crop, a buyer, or with a word",
            lambda _: words_after("find "),
        ),
    ),
    view="entries",
)
ROWS = (ENTRY,)


def correct(r: EntryRow) -> Typed:
    """The beginning of the line that corrects an entry."""
    return words_after(f"{r.named} was ")


class Entries(View):
    """Every entry, by day; Enter corrects the one under the cursor."""

    EMPTY = "Nothing is written yet, or nothing that was asked for: 'find' alone shows all again."
    SORTS = ("entry",)
    KEYS = (
        deed(
            "meet",
            "meet",
            "bring this book and the other machine's to the same",
            lambda _: words_after("meet "),
        ),
    )
    JOBS = ("Put right", "The book")

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.sought = ""
        self.session: Session | None = None

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        self.session = session
        found = book_rows(session.look_back, self.sought)
        head = (
            f"Entries with '{self.sought}', of all there are: {len(found)}"
            if self.sought
            else "Entries, the newest day first"
        )
        return head, list(self._by_day(found))

    def _by_day(self, found: list[EntryRow]) -> Iterator[Row]:
        line = self.drawn(self._line)
        for on, rows in groupby(found, key=lambda r: r.on):
            day = day_from_iso(on)
            yield Row((), ((long_day(day) if day else on, "head"),))
            for r in rows:
                yield Row(ENTRY.id(r.id), partial(line, r), ENTRY, r, correct(r))

    def _line(self, r: EntryRow) -> Line:
        says = fit(r.says, self.width - WRITER - (MARKS if r.mark else 0) - 1)
        look = "quiet" if r.is_struck else ""
        line = ((f"{fit(r.by, WRITER)} ", "quiet"), (says, look), (f" {r.mark}", "bold"))
        return line if r.mark else line[:2]

    def seek(self, text: str, session: Session) -> None:
        """Show the entries in which these words stand; the latest where there are none."""
        self.sought = text.strip()
        self.load(session)
        self.listing.edge(-1)

    def speak_of(self, over: str, row: Row | None) -> None:
        """Opened from a row: the cursor on that entry, or on the newest that speaks of the same thing."""
        if row is None:
            return
        for here in self.listing.rows:
            if here.sort is ENTRY and {here.value.code, here.value.id[-ID_SHOWN:]} & {*row.id[1:]} - {""}:
                self.listing.choose(here.id)
                return

    def detail(self, row: Row) -> list[Line]:
        r: EntryRow = row.value
        told = [(f"{r.says}{f' ({r.mark})' if r.mark else ''}", "bold")]
        for entry in self.session.look_back.named(r.amended_by) if self.session else ():
            said = "taken back" if entry.kind == "strike" else sentence(entry)
            told.append((f"{day_text(entry.on)} by {entry.by}: {said}", ""))
        told.append((f"Enter: what was it really? It is called {r.named} in a line.", "quiet"))
        return strip(self.width, *told)


VIEW = Entries
