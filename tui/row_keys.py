"""A row of a list, what it is known by, and what its keys write: whole lines, or with a gap for what only she knows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

from tui.registry import row_sort
from tui.table import Line

RowId = tuple[str, ...]
"""(sort, id...): what a row speaks of, such as ("tray", "S12") or ("stock", "L041", "box 7"); the same in all views."""


@dataclass(frozen=True, slots=True)
class Typed:
    """A line put into the entry line with the cursor at `caret` (its end where None), or sent at once."""

    text: str
    caret: int | None = None
    send: bool = False
    view: str = ""
    """The view to finish it in; "" for the one that is open."""
    words: bool = False
    """Whether any words may follow, those too that begin with the letter of the key."""


@dataclass(frozen=True, slots=True)
class Ask:
    """A question with one key for each answer; `answers` are (key, word, line to write)."""

    question: str
    answers: tuple[tuple[str, str, str], ...]
    left: str = ""
    """What is said where she leaves it unanswered."""


class RowKey(NamedTuple):
    """One key of a row, and the line it writes.

    `keys` are the toolkit's names, `shown` how the key is written for people. `short` stands in the key line ("" for
    keys that only the help tells), `words` in the help. `line` makes the line, or a question, of the row's value.
    """

    id: str
    keys: tuple[str, ...]
    shown: str
    short: str
    words: str
    line: Callable[[Any], Typed | Ask]


class RowSort(NamedTuple):
    """A sort of row: `title` heads its keys in the help, `view` is where it is at home, `page` what Enter opens.

    `page` "" leaves Enter to the view: in Today it leads to `view`, elsewhere to the entry line.
    """

    name: str
    title: str
    keys: tuple[RowKey, ...] = ()
    view: str = ""
    page: str = ""

    def id(self, *of: str) -> RowId:
        """What a row of this sort is known by."""
        return (self.name, *of)


class Row(NamedTuple):
    """One row of a list. The cursor holds on to its `id` ((): it passes by).

    `drawn` is its line, or makes it when it is seen: of a long list few rows ever are. `is_a` is its sort, or the name
    of that, which is loaded when the row's keys are told or pressed.

    `goes` is the view or page that Enter opens, or a line that it puts into the entry line; `folds` the part of the
    view that it opens or shuts. `beside` is a second row on the same line, from column `at` on.
    """

    id: RowId
    drawn: Line | Callable[[], Line]
    is_a: RowSort | str | None = None
    value: Any = None
    goes: str | Typed = ""
    folds: str = ""
    beside: Row | None = None
    at: int = 0

    @property
    def line(self) -> Line:
        """Its line."""
        return self.drawn() if callable(self.drawn) else self.drawn

    @property
    def sort(self) -> RowSort | None:
        """Its sort, which says what keys work on it."""
        return row_sort(self.is_a) if isinstance(self.is_a, str) else self.is_a

    @property
    def keys(self) -> tuple[RowKey, ...]:
        """The keys that work on it."""
        return self.sort.keys if self.sort else ()


def whole(text: str) -> Typed:
    """A line that is sent at once."""
    return Typed(text, send=True)


def gap(before: str, after: str = "") -> Typed:
    """A line with a gap to type in."""
    return Typed(f"{before}{after}", caret=len(before))


def words_after(before: str) -> Typed:
    """A line that any words may follow."""
    return Typed(before, words=True)


def one_of(question: str, answers: dict[str, str], line: str) -> Ask:
    """A question; `answers` are key -> word, `line` what is written before that word."""
    return Ask(question, tuple((key, word, f"{line} {word}") for key, word in answers.items()))
