"""The status line: what was written, why something was not, what the typed line means, a short question."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events

from tui.lines import Ask
from tui.messages import Answered
from tui.rows import Line, fit, plain, wrap
from tui.widgets.text_lines import TextLines

MOST = 3
"""Lines a refusal may take; the list above gives them up while it is shown."""


class StatusLine(TextLines, can_focus=True):
    """Takes the focus only while it asks."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.can_focus = False
        self.asking: Ask | None = None

    def tell(self, head: str, text: str, look: str = "bold", *, most: int = MOST) -> None:
        """Show `text` after `head`, which is in `look`."""
        width = max(self.size.width, 20)
        whole = f"{head}  {text}" if head else text
        lines: list[Line] = []
        for i, part in enumerate(wrap(whole, width, most=most)):
            if i == 0 and head:
                lines.append(((part[: len(head)], look), (part[len(head) :], "")))
            else:
                lines.append(((part, "" if head else look),))
        self.put(lines)

    def put(self, lines: Sequence[Line]) -> None:
        """Show lines as they are, and take the height they need."""
        height = max(len(lines), 1)
        if height != (self.styles.height.value if self.styles.height else 1):
            self.styles.height = height
        self.show(lines)

    def ask(self, question: Ask) -> None:
        """Put a question that one key answers."""
        self.asking = question
        words = "  ".join(f"{key} {word}" for key, word, _ in question.answers)
        self.tell(question.question, f"{words}  Esc back", "caution")
        self.can_focus = True
        self.focus()

    async def _on_key(self, event: events.Key) -> None:
        if self.asking is None:
            return
        event.stop()
        event.prevent_default()
        line = next((line for key, _, line in self.asking.answers if key == event.key), None)
        if line is None and event.key not in ("escape", "q"):
            return
        self.asking, self.can_focus = None, False
        self.post_message(Answered(line))


def quiet_line(text: str, width: int) -> list[Line]:
    """One dim line, cut to the width."""
    return plain([fit(text, width).rstrip()], "quiet")
