"""The keys as the toolkit wants them, and which of them are text while a line is typed."""

from __future__ import annotations

from string import ascii_lowercase

from textual.binding import Binding, BindingType

from tui.keys import EVERYWHERE
from tui.registry import NUMBER_KEYS, views

MOVES = {
    "up": ("move", -1),
    "down": ("move", 1),
    "pageup": ("turn", -1),
    "pagedown": ("turn", 1),
    "space": ("turn", 1),
    "home": ("edge", -1),
    "end": ("edge", 1),
    "right": ("leap", 1),
    "left": ("leap", -1),
}
LISTING = {"move", "number", "views", "search", "entries", "write", "undo", "help", "quit", "row", "enter"}
"""Actions whose plain keys are text while the entry line has the focus."""


def bindings() -> list[BindingType]:
    """All with priority: a key is done with before the next is looked at, so that a burst keeps its order.

    Those with ctrl or F work while the entry line has the focus; the others are text there (`check_action`). Every
    letter that has no meaning everywhere may have one on some row.
    """
    found: list[BindingType] = [
        Binding("escape,shift+tab", "back", show=False, priority=True),
        Binding("enter", "enter", show=False, priority=True),
        Binding("tab", "write", show=False, priority=True),
    ]
    found += [Binding(key, f"move{move}", show=False, priority=True) for key, move in MOVES.items()]
    capitals = (view.key for view in views().values() if view.key.isupper())
    found += [
        Binding(key, f"number('{key}')", show=False, priority=True) for key in (*NUMBER_KEYS, *capitals)
    ]
    everywhere = {k: key.id for key in EVERYWHERE for k in key.keys}
    for letter in ascii_lowercase:
        if letter not in everywhere:
            found.append(Binding(letter, f"row('{letter}')", show=False, priority=True))
    for k, name in everywhere.items():
        anywhere = k.startswith("ctrl+") or k in ("f1", "f2")
        found.append(Binding(k, f"{name}({anywhere})", show=False, priority=True))
    return found
