"""What a terminal sends, told apart: keys, sequences of a key, Esc and a key in one packet, and pasted text."""

from __future__ import annotations

from textual._ansi_sequences import ANSI_SEQUENCES_KEYS
from textual._xterm_parser import XTermParser
from textual.events import Key
from textual.keys import Keys

from core.patterns import pattern

ESC = "\x1b"
SEQUENCE = pattern(
    r"\x1b(?:\[\[[A-E]"  # function keys of the Linux console
    r"|\[[0-?]*[ -/]*[@-Z\\-~]"  # ECMA-48: a control sequence; its last byte is no [
    r"|O[0-9;]*[A-Za-z]"  # a key of the keypad
    r"|[]P^_X][^\x07\x1b]*(?:\x07|\x1b\\))"  # a string that a terminal answers with
)
UNFINISHED = pattern(r"\x1b(?:\[(?:\[|[0-?]*[ -/]*)?|O[0-9;]*)?\Z")
BEGIN, END = "\x1b[200~", "\x1b[201~"
"""What stands around pasted text."""

Typed = tuple[str, bool]
"""A key as the terminal sends it, or (text, True) of a paste."""


class Keystrokes:
    """Tells keys and pastes apart, in the order in which the terminal sends them."""

    def __init__(self) -> None:
        self._held = ""
        self._pasting = False

    @property
    def waits(self) -> str:
        """What may be the beginning of something longer, and is given up where nothing comes after it."""
        return "" if self._pasting else self._held

    def feed(self, text: str) -> list[Typed]:
        """What is whole now; a paste whose end has not come yet is held."""
        found: list[Typed] = []
        text, self._held = self._held + text, ""
        while text:
            if self._pasting:
                pasted, mark, rest = text.partition(END)
                if not mark:
                    self._held = text
                    break
                found.append((pasted, True))
                self._pasting, text = False, rest
                continue
            if UNFINISHED.match(text):
                self._held = text
                break
            key, text = _first(text)
            if key == BEGIN:
                self._pasting = True
            else:
                found.append((key, False))
        return found

    def waited(self) -> list[Typed]:
        """The keys of what was held, for nothing came after it."""
        text, self._held = self.waits, ""
        return [(key, False) for key in text]


def _first(text: str) -> tuple[str, str]:
    """The first key of what is no unfinished sequence, and the rest."""
    if found := SEQUENCE.match(text):
        sequence = found.group()
        if sequence[1] != "O" or sequence in ANSI_SEQUENCES_KEYS:
            return sequence, text[found.end() :]
    return text[0], text[1:]


_named = XTermParser()._sequence_to_key_events


def keys_of(typed: str) -> list[Key]:
    """The toolkit's keys for one that was typed; none for a sequence that it does not know."""
    if typed == ESC:
        return [Key("escape", ESC)]
    return [key for key in _named(typed) if key.key != Keys.Ignore]
