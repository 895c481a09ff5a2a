"""What there is on the command line and on the screen, by the manifests; a module is loaded when it is wanted."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any, NamedTuple

from core.subject import Subject, subjects

if TYPE_CHECKING:
    from tui.command import Command
    from tui.row_keys import RowSort
    from tui.views.view import View

NUMBER_KEYS = "1234567890"
"""The keys of views, in the order of the views."""


class Listed(NamedTuple):
    """A command or a view: its name, what is said of it, the key of a view, and the module in which it stands."""

    name: str
    says: str
    module: str
    key: str = ""


BEFORE = (
    Listed("demo", "open an invented farm, on a day in June", "tui.opening"),
    Listed("new", "make an empty farm folder", "tui.opening"),
    Listed("today", "print the brief: what this morning asks", "tui.today_verb"),
    Listed("write", "write one line; - takes lines from standard input", "tui.book_verbs"),
)
AFTER = (
    Listed(
        "lot",
        "one lot's page: its numbers, places, losses, drying with its plot, and its story",
        "tui.lot_page",
    ),
    Listed("cancel", "take an entry back; what was taken back counts again", "tui.book_verbs"),
    Listed("strike", "take an entry back (the same as cancel)", "tui.book_verbs"),
    Listed("entries", "the entries themselves, oldest first; as JSON one a line", "tui.entries_verbs"),
    Listed(
        "history", "the whole story of a lot, a tray, a planting, a bed or pieces made", "tui.entries_verbs"
    ),
    Listed("check", "look for damage and for anything that does not add up", "tui.book_verbs"),
    Listed(
        "merge",
        "bring in the other machine's book: a farm folder, a log, or a file made by 'since'",
        "tui.book_verbs",
    ),
    Listed(
        "since",
        "print the log lines after an entry or from a day on, to carry to the other machine",
        "tui.book_verbs",
    ),
    Listed(
        "restore",
        "bring back from a backup what the logs have lost; without a name, list the backups",
        "tui.book_verbs",
    ),
    Listed("help", "what lines can be written, or what answers words such as: frost", "tui.help_verb"),
    Listed("completion", "print what a shell completes the verbs and options from", "tui.completion"),
    Listed("man", "print this help as a page for man", "tui.completion"),
    Listed("reckon", "one calculation on its own, with no farm", "tui.reckon"),
)
"""Commands that are no subject's, before and after those of the subjects."""
TODAY = Listed("today", "Today", "tui.views.today", NUMBER_KEYS[0])
PAGES = {
    "help": "tui.views.help",
    "lot": "tui.views.lot",
    "views": "tui.views.contents",
    "search": "tui.views.search",
    "crop": "tui.views.crop",
    "order": "tui.views.order",
    "buyer": "tui.views.buyer",
    "lost": "tui.views.lost",
}
"""Pages that open over a view and go back to it, and where they stand."""
FIRST_RUN = "first_run"


def commands() -> dict[str, Listed]:
    """Every command, in the order of the help."""
    mine = [Listed(name, says, _module(s)) for s in _by_key() for name, says in s.commands.items()]
    return {listed.name: listed for listed in (*BEFORE, *mine, *AFTER)}


def views() -> dict[str, Listed]:
    """Every view by its name, in the order of the number keys; those without one come last."""
    mine = [Listed(s.view.lower(), s.view, _module(s), s.view_key) for s in _by_key() if s.view]
    return {view.name: view for view in (TODAY, *mine)}


def command(listed: Listed) -> Command:
    """What a command does: loads its module."""
    found: Command = import_module(listed.module).COMMANDS[listed.name]
    return found


def view_class(name: str) -> type[View]:
    """The class of a view or a page: loads its module."""
    module = PAGES.get(name) or (f"tui.views.{name}" if name == FIRST_RUN else views()[name].module)
    found: type[View] = import_module(module).VIEW
    return found


def row_sort(name: str) -> RowSort:
    """The sort of row of that name: loads the module of its subject."""
    home = next(s for s in subjects() if name in s.rows)
    rows: Any = import_module(_module(home)).ROWS
    return next(sort for sort in rows if sort.name == name)  # type: ignore[no-any-return]


def _by_key() -> Iterator[Subject]:
    """The subjects in the order of their views, then those without a number."""
    yield from (s for key in NUMBER_KEYS for s in subjects() if s.view_key == key)
    yield from (s for s in subjects() if s.view_key not in [*NUMBER_KEYS])


def screen_module(subject: Subject) -> str:
    """The module in which a subject is shown; "" where it is shown nowhere."""
    module = _module(subject)
    return module if find_spec(module) else ""


def _module(subject: Subject) -> str:
    return subject.parts.get("screen") or f"tui.subjects.{subject.home.rpartition('.')[2]}"
