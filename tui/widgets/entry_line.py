"""The entry line: what is typed here is written into the book."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Protocol

from textual.binding import Binding, BindingType
from textual.events import Key
from textual.widgets import Input

from core.text import LONGEST_TYPED, clean
from tui.frame_lines import HINTS, HINTS_HERE, hint
from tui.messages import LineTyped

EARLIER_KEPT = 50


class Keys(Protocol):
    """What the keys of the entry line ask of the screen."""

    def send(self, text: str) -> None:
        """Enter: write the line."""

    def arrow(self, step: int) -> None:
        """Up (-1) or down (1)."""


class EntryLine(Input):
    """One compact line: no blink, the rest of a word dim behind the cursor, earlier lines on the arrows."""

    keys: Keys

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "send", show=False),
        Binding("tab", "complete", show=False),
        Binding("up", "arrow(-1)", show=False),
        Binding("down", "arrow(1)", show=False),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id, compact=True, select_on_focus=False, max_length=LONGEST_TYPED)
        self.cursor_blink = False
        self._hints: Sequence[str] = HINTS_HERE
        self._here = False
        """Whether the keys go here."""
        self._earlier: list[str] = []
        self._back = 0
        self._typing = ""

    def fill(self, text: str, caret: int | None = None) -> None:
        """Put `text` here with the cursor at `caret`, or at its end."""
        self.value = text
        self.cursor_position = len(text) if caret is None else caret

    def go_on(self) -> None:
        """The cursor after all that is typed, a blank before it."""
        if not self.cursor_at_end:
            self.fill(f"{self.value.rstrip()} ")

    def done(self, text: str) -> None:
        """`text` was written: remember it and begin a new line."""
        self.remember(text)
        self.fill("")

    def remember(self, text: str) -> None:
        """Keep `text` among the earlier lines, as the last of them."""
        if text in self._earlier:
            self._earlier.remove(text)
        self._earlier = [*self._earlier[-EARLIER_KEPT:], text]
        self._back = 0

    def ghost(self, after: str) -> None:
        """Show dim what would follow the cursor; Tab and Right put it in."""
        whole = self.value + after if after and self.cursor_at_end else ""
        if whole != self._suggestion:
            self._suggestion = whole

    def recall(self, step: int) -> None:
        """The line written before (-1) or after (1) the one shown."""
        back = self._back - step
        if not 0 <= back <= len(self._earlier):
            return
        if self._back == 0:
            self._typing = self.value
        self._back = back
        self.fill(self._earlier[-back] if back else self._typing)

    def action_complete(self) -> None:
        if self._suggestion and self.cursor_at_end:
            self.fill(self._suggestion)

    def action_send(self) -> None:
        self.keys.send(self.value)

    def action_arrow(self, step: int) -> None:
        self.keys.arrow(step)

    async def _on_key(self, event: Key) -> None:
        """Do at once what a key does: bubbling up, it would be overtaken by the letters after it."""
        for binding in self._bindings.key_to_bindings.get(event.key, ())[-1:]:
            event.stop()
            event.prevent_default()
            await self.run_action(binding.action)

    def suggest(self, hints: Sequence[str]) -> None:
        """Say dim what is typed here, while nothing is: the first hint for which there is room; () where nothing is
        to be said."""
        self._hints = hints
        self._tell_hint()

    def _tell_hint(self) -> None:
        said = hint(self._hints if self._here or not self._hints else HINTS, self.size.width)
        if said != self.placeholder:
            self.placeholder = said

    def on_resize(self) -> None:
        self._tell_hint()

    def on_focus(self) -> None:
        self._here = True
        self._tell_hint()

    def on_blur(self) -> None:
        self._here = False
        self._tell_hint()

    def _watch_value(self, value: str) -> None:
        if (safe := clean(value)) != value:
            self.value = safe  # pasted text may hold anything
            return
        super()._watch_value(value)
        self.post_message(LineTyped(value))
