"""What a terminal sends that is more than one key: Esc and a key in one packet, and pasted text."""

from __future__ import annotations

from typing import cast

from textual._ansi_sequences import ANSI_SEQUENCES_KEYS
from textual.events import Key

from core.patterns import pattern

ESC_THEN_A_KEY = pattern(r"\x1b(?=[^\x1b\[\]NOPX^_\\])")
"""Esc that begins no sequence: followed by much in one packet the toolkit would take it for a letter."""


def tell_escapes_apart() -> None:
    """Forget the signs that one terminal sends for alt and a digit: here they are Esc, then the digit."""
    table = cast("dict[str, object]", ANSI_SEQUENCES_KEYS)
    for sequence in [s for s, sign in table.items() if len(s) == 2 and type(sign) is str]:
        del table[sequence]


def keys_in(event: Key) -> list[Key]:
    """The keys that were pressed: alt and a letter or digit is Esc and then that."""
    if event.key.startswith("alt+") and event.character and event.character.isprintable():
        return [Key("escape", "\x1b"), Key(event.key.removeprefix("alt+"), event.character)]
    return [event]


class Pastes:
    """Tells what was pasted from what was typed, in the order in which the terminal sends both."""

    BEGIN, END = "\x1b[200~", "\x1b[201~"

    def __init__(self) -> None:
        self._held = ""
        self._pasting = False

    def feed(self, text: str) -> list[tuple[str, bool]]:
        """The (text, whether it was pasted) that is whole now; a paste whose end has not come yet is held."""
        found: list[tuple[str, bool]] = []
        text, self._held = self._held + text, ""
        while text:
            before, mark, after = text.partition(self.END if self._pasting else self.BEGIN)
            if mark:
                found.append((before, self._pasting))
                self._pasting = not self._pasting
                text = after
                continue
            if not self._pasting:  # what may be the beginning of a mark waits for its end
                held = next(
                    (n for n in range(len(self.BEGIN) - 1, 1, -1) if text.endswith(self.BEGIN[:n])), 0
                )
                found.append((text[: len(text) - held], False))
                before = text[len(text) - held :]
            self._held = before
            break
        return [(piece, pasted) for piece, pasted in found if piece]

    def waited(self) -> str:
        """What looked like the beginning of a paste and was none, for nothing came after it."""
        if self._pasting:
            return ""
        text, self._held = self._held, ""
        return text
