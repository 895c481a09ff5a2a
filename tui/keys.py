"""The keys that are no row's: the bindings, the key line and the help are all made from these."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from tui.row_keys import Row, RowKey, Typed

CLEARS = "ctrl+u"
"""The key that clears what stands before the cursor of the entry line."""


class Key(NamedTuple):
    """One thing a key does.

    `keys` are the toolkit's names, `shown` how the key is written for people. `short` stands in the key line
    ("" for keys that only the help tells), `words` in the help.
    """

    id: str
    keys: tuple[str, ...]
    shown: str
    short: str
    words: str


EVERYWHERE: tuple[Key, ...] = (
    Key(
        "views",
        ("full_stop", "ctrl+p"),
        ".",
        "",
        "all views and all lines in one list; type to narrow it (ctrl+p too)",
    ),
    Key(
        "search",
        ("slash",),
        "/",
        "",
        "search lots, beds, crops, buyers, orders, places, notes as you type",
    ),
    Key("write", ("w",), "w", "write", "go to the entry line and write (Tab too)"),
    Key(
        "undo",
        ("u", "ctrl+z"),
        "u",
        "undo",
        "take back the line just written; asks before an older one (ctrl+z too)",
    ),
    Key("entries", ("e",), "e", "", "the book: what was written, to be found, corrected or taken back"),
    Key("help", ("question_mark", "f1"), "?", "help", "this page (F1 too); Esc or ? goes back"),
    Key(
        "sun",
        ("f2",),
        "F2",
        "",
        "dark letters on white and nothing dim, for the sun; again, and it is as before",
    ),
    Key("redraw", ("ctrl+l",), "ctrl+l", "", "draw the screen anew, where something else has written on it"),
    Key("quit", ("q", "ctrl+q"), "q", "quit", "leave: all that says 'written' is on the disk"),
)
"""Keys that work wherever the entry line does not have the focus, beside the numbers of the views; those with ctrl or
F work there too."""

LIST: tuple[Key, ...] = (
    Key(
        "enter",
        ("enter",),
        "Enter",
        "",
        "open what the row speaks of: its page, its view, or all that was written of it",
    ),
    Key("up", ("up",), "Up Down", "", "choose a row; PageUp, PageDown, Home and End too"),
    Key(
        "leap",
        ("right",),
        "Right Left",
        "",
        "the other row of a line with two; else to the next heading, or back",
    ),
)
"""Keys of every list. Moving in a list is its own business: only the first is bound from here."""

ENTRY: tuple[Key, ...] = (
    Key("send", ("enter",), "Enter", "writes", "write the line into the book"),
    Key("complete", ("tab",), "Tab", "completes", "put in what is shown dim, or the next that would do"),
    Key("earlier", ("up",), "Up Down", "earlier lines", "lines written before; in Cut: the cut to repeat"),
    Key(
        "leave",
        ("escape",),
        "Esc",
        "leaves",
        "clear the line and go back to the list, whose keys are letters; Up brings it back",
    ),
    Key("clear", (CLEARS,), CLEARS, "", "clear what stands before the cursor"),
    Key("help", ("f1",), "F1", "help", "help for this view"),
)
"""Keys while the entry line has the focus; letters and digits are text there."""

SEEKING: tuple[Key, ...] = (
    Key("open", ("enter",), "Enter", "opens", "open what the cursor is on"),
    Key("choose", ("up",), "Up Down", "choose", "choose another"),
    Key("leave", ("escape",), "Esc", "goes back", "back to where you were"),
    Key("help", ("f1",), "F1", "help", "help for the view you came from"),
)
"""Keys while a page is narrowed down by typing."""

QUESTION: tuple[Key, ...] = (
    Key("send", ("enter",), "Enter", "answers", "answer the question; alone it is skipped"),
    Key("clear", (CLEARS,), CLEARS, "clears", "clear what was typed"),
    Key("back", ("up",), "Up", "the one before", "go back to the question before"),
    Key("leave", ("escape",), "Esc", "skips all", "go to Today"),
    Key("quit", ("ctrl+q",), "ctrl+q", "quits", "leave"),
)
"""Keys while the first questions are asked."""


def own_keys(row: Row | None, of_view: Sequence[RowKey]) -> tuple[Key | RowKey, ...]:
    """The keys of a row and those of its view, for the bottom line; where it has none, what Enter does."""
    own = (*(row.keys if row else ()), *of_view)
    if own or row is None or not row.id:
        return own
    return (LIST[0]._replace(short="takes" if isinstance(row.goes, Typed) else "opens"),)


def key_line(own: Sequence[Key | RowKey]) -> list[tuple[str, str]]:
    """(key, word) pairs for the bottom line: those of the row, then those that always work."""
    return pairs((*own, *EVERYWHERE))


def pairs(keys: Sequence[Key | RowKey]) -> list[tuple[str, str]]:
    """(key, word) of the keys that the bottom line tells."""
    return [(k.shown, k.short) for k in keys if k.short]
