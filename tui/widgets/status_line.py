"""The status line: what was written, why something was not, what the typed line means, a short question."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from core.text import wrap
from tui.phrases import plain
from tui.row_keys import Ask
from tui.table import Line, cells, fit
from tui.widgets.text_lines import TextLines

MOST = 3
"""Lines a refusal may take; the list above gives them up while it is shown."""


class StatusLine(TextLines):
    """While it asks, the shell gives it every key; or its answer is typed, where a line was being typed."""

    asking: Ask | None = None
    typed = False
    """Whether the answer is typed into the entry line, with Enter after it."""
    offer: object = None
    """What the text offers to do, for as long as it stands here."""

    def tell(
        self, head: str, text: str, look: str = "bold", *, most: int = MOST, offer: object = None
    ) -> None:
        """Show `text` after `head`, which is in `look`; it makes the `offer`."""
        width = max(self.room, 20)
        whole = f"{head}  {text}" if head else text
        lines: list[Line] = []
        for i, part in enumerate(wrap(whole, width, hang=2, most=most)):
            if i == 0 and head:
                lines.append(((part[: len(head)], look), (part[len(head) :], "")))
            else:
                lines.append(((part, "" if head else look),))
        self.put(lines)
        self.offer = offer

    def put(self, lines: Sequence[Line]) -> None:
        """Show lines as they are, and take the height they need; what stood here before offers nothing more."""
        self.offer = None
        height = max(len(lines), 1)
        if height != (self.styles.height.value if self.styles.height else 1):
            self.styles.height = height
        self.show(lines)

    def ask(self, question: Ask, then: Callable[[str], object], *, typed: bool = False) -> None:
        """Put a question that one key answers, or one letter `typed` and Enter; `then` gets the line of the answer."""
        self.asking, self._then, self.typed = question, then, typed
        enter = " Enter" if typed else ""
        words = "  ".join(f"{key}{enter} {word}" for key, word, _ in question.answers)
        room = max(self.room, 20) * (MOST - 1) - 8  # the answers stand in the last line at the latest
        self.tell(fit(question.question, min(room, cells(question.question))), f"{words}  Esc", "caution")

    def answer(self, key: str) -> None:
        """Take one key as the answer; Esc or q thinks better of it, any other does nothing."""
        assert self.asking is not None
        line = next((line for k, _, line in self.asking.answers if k == key), None)
        if line is not None:
            self.asking = None
            self.put([])
            self._then(line)
        elif key in ("escape", "q"):
            self.leave()

    def leave(self) -> None:
        """Think better of it: the question is gone, and what it leaves undone is said."""
        assert self.asking is not None
        left, self.asking = self.asking.left, None
        self.tell("", left) if left else self.put([])

    def has_answer(self, text: str) -> bool:
        """Whether the text is one of the answers to what is asked."""
        return self.asking is not None and any(text == key for key, _, _ in self.asking.answers)


def quiet_line(says: str, offers: Sequence[str], width: int) -> list[Line]:
    """What a typed line means, on one dim line, and as many of the words that may follow as there is room for."""
    text = fit(says, width).rstrip()
    words = "   next:"
    for word in offers:
        if cells(text + words) + len(word) + 1 > width:
            break
        words += f" {word}"
    return plain([text + words if not words.endswith(":") else text], "quiet")
