"""What all views have in common. A view is values laid out as lines: it knows the book that is open and no toolkit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from core.collecting import no_collecting
from core.guard import UNGUARDED
from core.problems import Problem
from core.text import after_a_word, wrap
from tui.listing import Listing
from tui.phrases import MARK, plain, strip
from tui.row_keys import Row, RowKey, RowSort, Typed
from tui.table import Column, Line, fit, screen_table

if TYPE_CHECKING:
    from core.book.entry import Entry
    from core.language.complete import Completion
    from core.session import Session


T = TypeVar("T")
LEAST_COLUMNS, LEAST_ROWS = 60, 20
"""The smallest screen on which a view is shown."""
TALL_ROWS = 30


def by_height(rows: int, usual: int, tall: int) -> int:
    """How many lines something has on a screen of so many `rows`: 24 is usual, 30 is tall."""
    return usual if rows < TALL_ROWS else tall


IDLE = (
    "w writes a line into the book, / finds anything, ? shows the lines there are and the keys of each view."
)
"""Said where no row is there to say more about."""


class View:
    """One view: `load` reads the book and lays out rows, `detail` says more about the chosen one."""

    EMPTY: ClassVar[str] = ""
    """What stands in place of no rows."""
    ruled: ClassVar[bool] = True
    """Whether a rule tells which rows are seen; else the head does."""
    BEGINS: ClassVar[str] = ""
    """What a line written from here begins with."""
    TYPES: ClassVar[bool] = False
    """Whether the arrows of the entry line move the cursor here, to what a line that is begun goes on with."""
    SORTS: ClassVar[tuple[str, ...]] = ()
    """The sorts of rows it may show, by name; the help tells their keys."""
    JOBS: ClassVar[tuple[str, ...]] = ()
    """The jobs of the guide that it is about."""
    KEYS: ClassVar[tuple[RowKey, ...]] = ()
    """Keys that work whichever row the cursor is on; `line` gets None."""

    @property
    def offers(self) -> tuple[RowKey, ...]:
        """Those of them that have something to do now: the key line tells no others."""
        return self.KEYS

    def __init__(self, rule: str) -> None:
        self.rule = rule
        self.stale = True
        self.head = ""
        self.listing = Listing()
        self.columns, self.screen_rows = 80, 24
        self.guard = UNGUARDED
        """The session's, once the view has read it."""

    @property
    def width(self) -> int:
        """Columns a row may take."""
        return max(self.columns - MARK, 20)

    @property
    def is_cramped(self) -> bool:
        """Whether the screen is too small for it."""
        return self.columns < LEAST_COLUMNS or self.screen_rows < LEAST_ROWS

    def load(self, session: Session) -> None:
        """Read the book again; the cursor stays where it was. A fault is one line in place of the rows."""
        self.stale = False
        self.guard = session.guard
        self.head, rows = self.guard(self._name, lambda: self.rows(session), self._failed)
        self.listing.put(rows)

    @property
    def _name(self) -> str:
        return type(self).__name__

    def _failed(self, why: Problem) -> tuple[str, list[Row]]:
        return "", [Row((), line) for line in plain(wrap(why.sentence, self.width), "caution")]

    def lines_above(self) -> list[Line]:
        """What `above` gives, or one line where that fails."""
        return self.guard(f"What stands above {self._name}", self.above, self._fault)

    def lines_below(self) -> list[Line]:
        """What `below` gives, or a rule and one line where that fails."""
        return self.guard(
            f"What stands below {self._name}", self.below, lambda why: [self.rule_line(), *self._fault(why)]
        )

    def _fault(self, why: Problem) -> list[Line]:
        return plain(wrap(why.sentence, self.columns, most=1), "caution")

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        """The head of the list and its rows."""
        raise NotImplementedError

    def table(
        self,
        columns: Sequence[Column],
        rows: Sequence[Any],
        sort: RowSort,
        of: Callable[[Any], tuple[str, ...]],
        look: Callable[[Any], str] = lambda _row: "",
    ) -> tuple[str, list[Row]]:
        """A table's head and its rows, all of one sort; `of` tells what each is known by, `look` how it looks."""
        head, lines = screen_table(columns, rows, self.width)

        def line(i: int) -> Line:
            return ((lines[i], look(rows[i])),)

        drawn = self.drawn(line)
        with no_collecting():
            return head, [Row(sort.id(*of(row)), partial(drawn, i), sort, row) for i, row in enumerate(rows)]

    def drawn(self, line: Callable[[T], Line]) -> Callable[[T], Line]:
        """What makes the line of a row when it is seen; a fault is told in its place."""
        return lambda of: self.guard(
            self._name, lambda: line(of), lambda why: plain([fit(why.sentence, self.width)], "caution")[0]
        )

    def detail(self, row: Row) -> list[Line]:
        """Lines about a row, the most needed first."""
        return []

    def above(self) -> list[Line]:
        """Lines above the list."""
        return []

    @property
    def detail_lines(self) -> int:
        """Lines there are for a row."""
        return by_height(self.screen_rows, 4, 7)

    @property
    def below_lines(self) -> int:
        """How many lines `below` gives."""
        return self.detail_lines + 1

    def below(self) -> list[Line]:
        """The strip under the list: a rule, and what there is to say about the row under the cursor."""
        lines, most = self.told(), self.detail_lines
        if len(lines) > most:
            text, look = lines[most - 1][0]
            lines[most - 1] = ((f"{after_a_word(text, text[: self.columns - 4])} ...", look),)
        return [self.rule_line(self.listing.more), *lines[:most]]

    def told(self) -> list[Line]:
        """Lines about the row under the cursor, all there are."""
        row = self.listing.row
        return self.detail(row) if row else strip(self.width, (IDLE, "quiet"))

    def speak_of(self, over: str, row: Row | None) -> None:
        """It is opened over that view, on that row where it is a row's."""

    def value(self, row: Row) -> Any:
        """What the keys of a row work on; None where there is no such thing any more."""
        return row.value

    def goes(self, row: Row) -> str | Typed | RowKey:
        """Where Enter leads from a row, as `Row.goes`; or the key of which it does the same."""
        return row.goes

    @property
    def grows(self) -> bool:
        """Whether there is more to be shown than was looked for so far: `grow` goes on."""
        return False

    def grow(self) -> bool:
        """Take the next step of what takes long; whether something is to be shown otherwise."""
        return False

    def leave(self) -> None:
        """Another view is shown: what was not finished is not gone on with, and begun again when it is shown again."""

    def seek(self, text: str, session: Session) -> None:
        """Show only rows in which these words stand, where the view can be looked through."""

    def fold(self, name: str, session: Session) -> None:
        """Open a part that is told in short, or shut it again."""

    # while a line is typed

    def look_at(self, session: Session, text: str, meant: Completion) -> bool:
        """The entry line now says `text`, understood as `meant`: whether something is to be shown otherwise."""
        return False

    def written(self, entries: Sequence[Entry]) -> None:
        """These were written from here; the view has read the book again."""

    def again(self, text: str) -> str:
        """What has to follow `text` to repeat the chosen row; "" where that cannot be."""
        return ""

    def rule_line(self, text: str = "") -> Line:
        """A rule across the screen, with a few words at its end."""
        return ((self.rule * (self.columns - len(text)) + text, "quiet"),)


class Page(View):
    """A view that is all list: nothing stands below it, and its head tells which part is seen."""

    ruled = False

    @property
    def below_lines(self) -> int:
        return 0

    def below(self) -> list[Line]:
        return []
