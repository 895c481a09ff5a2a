"""How things look: a few styles of the terminal's own, glyphs that its encoding has, and nothing else."""

from __future__ import annotations

import os
import sys

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter

THEME = "ansi-dark"

STYLES: dict[str, Style] = {
    "": Style(),
    "title": Style(bold=True),
    "head": Style(bold=True, underline=True),
    "bold": Style(bold=True),
    "quiet": Style(dim=True),
    "chosen": Style(reverse=True),
    "caution": Style(bold=True, color="red"),
    "good": Style(bold=True, color="green"),
    "refused": Style(bold=True, reverse=True),
    "key": Style(bold=True),
}
"""Bold, dim and reverse carry the meaning; color says it again, never yellow or white."""


RULE, ASCII_RULE = "\u2500", "-"
"""What a line across the screen is drawn with; nothing else on the screen is other than a letter or a sign."""


def encoding() -> str:
    """What the terminal is written in."""
    return getattr(sys.__stderr__, "encoding", None) or "ascii"


def can_draw() -> bool:
    """Whether line characters may be used: the stream has them, and no locale was chosen that lacks them."""
    locale = os.environ.get("LC_ALL") or os.environ.get("LC_CTYPE") or os.environ.get("LANG") or ""
    chosen_plain = os.environ.get("LANG", "") in ("C", "POSIX") and locale in ("C", "POSIX", "C.UTF-8")
    return encoding().lower().replace("-", "") == "utf8" and not chosen_plain


class Encodable(LineFilter):
    """Puts "?" for what the terminal's encoding lacks, as wide as the character was: columns stay."""

    def __init__(self, encoding: str) -> None:
        super().__init__()
        self.encoding = encoding

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        return [s if s.text.isascii() else Segment(self._plain(s.text), s.style, s.control) for s in segments]

    def _plain(self, text: str) -> str:
        return "".join(c if self._has(c) else "?" * cell_len(c) for c in text)

    def _has(self, character: str) -> bool:
        try:
            character.encode(self.encoding)
        except (UnicodeEncodeError, LookupError):
            return False
        return True
