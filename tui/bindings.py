"""The key table as the toolkit wants it, and which keys are text while a line is typed."""

from __future__ import annotations

from textual.binding import Binding, BindingType

from tui.keys import EVERYWHERE, LETTERS

MOVES = {
    "up": ("move", -1),
    "down": ("move", 1),
    "pageup": ("turn", -1),
    "pagedown": ("turn", 1),
    "space": ("turn", 1),
    "home": ("edge", -1),
    "end": ("edge", 1),
}
LISTING = {"move", "show", "write", "undo", "help", "quit", "row", "enter"}
"""Actions whose plain keys are text while the entry line has the focus."""


def bindings() -> list[BindingType]:
    """All with priority: a key is done with before the next is looked at, so that a burst keeps its order.

    Those with ctrl or F work while the entry line has the focus; the others are text there (`check_action`).
    """
    found: list[BindingType] = [
        Binding("escape,shift+tab", "back", show=False, priority=True),
        Binding("enter", "enter", show=False, priority=True),
        Binding("tab", "write", show=False, priority=True),
    ]
    found += [Binding(key, f"move{move}", show=False, priority=True) for key, move in MOVES.items()]
    found += [Binding(letter, f"row('{letter}')", show=False, priority=True) for letter in LETTERS]
    for key in EVERYWHERE:
        name, _, view = key.id.partition(".")
        for k in key.keys:
            action = f"show('{view}')" if view else f"{name}({len(k) > 1 and k[0] in 'cf'})"
            found.append(Binding(k, action, show=False, priority=True))
    return found
