"""How things look: a few looks of the terminal's own, glyphs that its encoding has, and nothing else."""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import NamedTuple

from tui.begun import encoding

BOLD, DIM, UNDERLINED, REVERSED, RED, GREEN = "1", "2", "4", "7", "31", "32"
"""Looks by their numbers in ECMA-48 (SGR), which every terminal reads."""

LOOKS: dict[str, tuple[str, ...]] = {
    "": (),
    "title": (BOLD,),
    "head": (BOLD, UNDERLINED),
    "bold": (BOLD,),
    "quiet": (DIM,),
    "chosen": (REVERSED,),
    "caution": (BOLD, RED),
    "good": (BOLD, GREEN),
    "refused": (BOLD, REVERSED),
    "key": (BOLD,),
}
"""Bold, dim, underlined and reversed carry the meaning; color says it again, never yellow or white."""


class Ground(NamedTuple):
    """What the looks become on a terminal: what stands under all of them, and what is put for which number."""

    under: tuple[str, ...] = ()
    instead: Mapping[str, str] = {}

    def sent(self, numbers: tuple[str, ...]) -> str:
        """What is sent for a look, between `ESC [` and `m`; "" for the terminal's own."""
        turned = (self.instead.get(number, number) for number in numbers)
        return ";".join(dict.fromkeys((*self.under, *filter(None, turned))))


NO_COLORS = {RED: "", GREEN: ""}
BLACK_ON_WHITE = ("30", "47")


def ground(*, in_sun: bool = False) -> Ground:
    """The terminal's own ground and letters; `in_sun` dark letters on white, and nothing dim.

    There nothing is bold either, which many terminals show as a lighter letter: what is bold elsewhere is underlined.
    Where NO_COLOR is set (no-color.org), or the terminal has none, no number of a color is ever sent.
    """
    may = not os.environ.get("NO_COLOR") and not os.environ.get("TERM", "").startswith(("vt1", "vt2"))
    if not in_sun:
        return Ground(instead={} if may else NO_COLORS)
    turned = {DIM: "", BOLD: UNDERLINED, **NO_COLORS}
    return Ground(BLACK_ON_WHITE, turned) if may else Ground(instead={DIM: "", **NO_COLORS})


RULE, ASCII_RULE = "\u2500", "-"
"""What a line across the screen is drawn with; nothing else on the screen is other than a letter or a sign."""


def is_utf_8() -> bool:
    """Whether the terminal is written in an encoding that has every letter."""
    return encoding().lower().replace("-", "") == "utf8"


def can_draw() -> bool:
    """Whether line characters may be used: the stream has them, and no locale was chosen that lacks them."""
    locale = os.environ.get("LC_ALL") or os.environ.get("LC_CTYPE") or os.environ.get("LANG") or ""
    chosen_plain = os.environ.get("LANG", "") in ("C", "POSIX") and locale in ("C", "POSIX", "C.UTF-8")
    return is_utf_8() and not chosen_plain


def rule() -> str:
    """What a line across the screen is drawn with here."""
    return RULE if can_draw() else ASCII_RULE


def has(character: str) -> bool:
    """Whether the terminal's encoding has this character."""
    try:
        character.encode(encoding())
    except (UnicodeEncodeError, LookupError):
        return False
    return True
