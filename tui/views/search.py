"""The search over everything: things and notes in which the words that are typed stand, the best first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.finding.finder import Finder
from core.finding.things import FIELD, NOTE, Thing
from core.units import ID_SHOWN
from tui.registry import PAGES
from tui.row_keys import Row
from tui.table import fit
from tui.views.view import Page

if TYPE_CHECKING:
    from collections.abc import Iterator

    from core.problems import Problem
    from core.session import Session

TITLES = {"planting": "stands", "making": "supply", "tuber": "tubers", FIELD: "field"}
"""Sort of thing -> what it is called here, where that is not its name."""
TITLE, NAME = 9, 26
READING = "Reading the notes ..."
MANY = 20_000
"""Entries of a book of which the notes are read in steps between keys, and not at once."""
ASKED = "Type what you look for: L41, b3, zin lim, fern, box 7, a word of a note"


class Search(Page):
    """Opened by /: narrowed down as she types. Enter opens a thing's page, its row in its view, or what was written
    of it."""

    EMPTY = "Nothing has that name, and no note says it. Fewer letters find more."

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.sought = ""
        self._finder: Finder | None = None
        self._steps: Iterator[None] | None = None
        """Where its notes are read on; None where all are."""
        self._made_of = -1

    def speak_of(self, over: str, row: Row | None) -> None:
        self.sought = ""

    def seek(self, text: str, session: Session) -> None:
        self.sought = text.strip()
        self.load(session)
        self.listing.edge(-1)

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        if self._finder is None or self._made_of != session.farm.count:
            self._finder, self._made_of = Finder(session.farm, ()), session.farm.count
            self._steps = self._finder.taking_in(session.look_back)
            while self.grows and self._made_of < MANY:
                self._step()
        return self._told()

    def _told(self) -> tuple[str, list[Row]]:
        assert self._finder is not None
        if not self.sought:
            return ASKED, [Row((), ())]
        if self.grows:
            return READING, [Row((), ())]
        found = self._finder.find(self.sought)
        told = (
            "Nothing is called so; near it" if self._finder.is_near else "Found" if found else "Nothing found"
        )
        head = f"{told}: Enter opens, Up and Down choose, Esc goes back"
        return head, [*map(self._row, found), *self._written(bool(found))]

    def _step(self) -> None:
        if self._steps is not None and next(self._steps, self) is self:
            self._steps = None

    @property
    def grows(self) -> bool:
        return self._steps is not None

    def grow(self) -> bool:
        def next_step() -> tuple[str, list[Row]]:
            self._step()
            return self._told()

        self.head, rows = self.guard(self._name, next_step, self._failed)
        self.listing.put(rows)
        return not self.grows

    def _failed(self, why: Problem) -> tuple[str, list[Row]]:
        self._finder = self._steps = None
        return super()._failed(why)

    def leave(self) -> None:
        if self.grows:
            self._finder = self._steps = None

    def _row(self, thing: Thing) -> Row:
        title = TITLES.get(thing.sort, thing.sort)
        room = max(self.width - TITLE - 1, 10)
        name = fit(thing.name, min(NAME, room)) if room > NAME else fit(thing.name, room)
        look = "" if thing.is_live else "quiet"
        line = (
            (f"{fit(title, TITLE)} ", "quiet"),
            (name, "bold" if thing.is_live else "quiet"),
            (fit(f" {thing.says}", room - len(name)).rstrip() if room > NAME else "", look),
        )
        goes = thing.sort if thing.sort in PAGES else ""
        return Row(
            (thing.sort if thing.sort != NOTE else "entry", *thing.of), line, None, _asked_of(thing), goes
        )

    def _written(self, there_are: bool) -> list[Row]:
        """The way to the entries themselves."""
        line = (
            (
                "all that was written with these words" if there_are else "look in all that was written",
                "quiet",
            ),
        )
        return [Row(("written",), line, value=self.sought)]


VIEW = Search


def _asked_of(thing: Thing) -> str:
    """What is looked for in the entries where the thing stands in no view any more."""
    if thing.sort in (NOTE, FIELD):
        return thing.of[0][-ID_SHOWN:]
    return f'"{thing.of[0]}"' if " " in thing.of[0] else thing.of[0]
