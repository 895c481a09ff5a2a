"""The screen that everything lies on."""

from __future__ import annotations

from textual.reactive import Reactive
from textual.screen import Screen
from textual.widget import Widget


class Frame(Screen[None]):
    """Holds the lines of the screen. The toolkit paints it anew whenever the focus moves; nothing here needs that."""

    focused: Reactive[Widget | None] = Reactive(None, repaint=False)
