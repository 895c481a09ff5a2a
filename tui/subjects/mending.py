"""Entries: the book itself, newest first, to be looked through, corrected and taken back."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import groupby
from typing import TYPE_CHECKING

from core.collecting import no_collecting
from core.kinds import sentence
from core.mending.rows import EntryRow, newest_first, rows_in_steps
from core.text import wrap
from core.undoing import SET_UP
from core.units import ID_SHOWN, day_from_iso, day_text, long_day
from tui.letters import deed
from tui.phrases import plain, strip
from tui.row_keys import Ask, Row, RowSort, Typed, words_after
from tui.table import Line, fit
from tui.views.view import View

if TYPE_CHECKING:
    from core.problems import Problem
    from core.session import Session

MARKS = 11
"""Columns for what became of an entry."""
AT_ONCE = 3
"""Steps of a search that are taken before anything is shown: a small book needs no more."""
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
        self._steps: Iterator[list[EntryRow]] | None = None
        """Where the search goes on; None where all was found."""
        self._found: list[EntryRow] = []
        self._listed: list[Row] = []
        self._shown = ""
        """The words of which all that was found is shown."""
        self._has_failed = False

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        self.session = session
        self._steps = rows_in_steps(session.look_back, self.sought)
        self._found, self._listed, self._has_failed = [], [], False
        for _ in range(AT_ONCE):
            self._step()
        return self._told()

    def _told(self) -> tuple[str, list[Row]]:
        """The head and the rows so far; those found before stand there until they are found again."""
        if self._steps is None:
            self._shown = self.sought
        elif self._shown == self.sought:
            return self.head, [*self.listing.rows]
        else:
            self._shown = ""
        far = "of all there are" if self._steps is None and not self._has_failed else "so far"
        head = f"Entries with '{self.sought}', {far}: {len(self._found):,}"
        looking = [Row((), (("Looking ...", "quiet"),))] if self.grows else []
        return head if self.sought else "Entries, the newest day first", self._listed or looking

    def _step(self) -> bool:
        """Take the next step of the search; whether it found anything, or was the last."""
        new = next(self._steps, None) if self._steps else []
        if new is None:
            self._steps = None
        elif not self._found or (new and new[0].place < self._found[-1].place):
            self._listed += self._by_day(new, self._found[-1].on if self._found else "")
            self._found += new
        elif new:  # of another log, or dated otherwise than it was written
            self._found = newest_first([*self._found, *new])
            self._listed = [*self._by_day(self._found, "")]
        return new is None or bool(new)

    @property
    def grows(self) -> bool:
        return self._steps is not None

    def grow(self) -> bool:
        with no_collecting():
            is_new = self.guard(self._name, self._step, self._stopped)
        if is_new:
            self.head, rows = self._told()
            self.listing.put(rows)
        return is_new

    def _stopped(self, why: Problem) -> bool:
        self._steps, self._has_failed = None, True
        self._listed += [Row((), line) for line in plain(wrap(why.sentence, self.width), "caution")]
        return True

    def leave(self) -> None:
        if self._steps is not None:
            self._steps, self._shown, self.stale = None, "", True

    def _by_day(self, found: list[EntryRow], after: str) -> Iterator[Row]:
        """Rows, each day's under its heading; that of the day `after` which they come stands there."""
        line = self.drawn(self._line)
        for on, rows in groupby(found, key=lambda r: r.on):
            if on != after:
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
