"""Esc followed closely by a key: over a slow line both come in one packet and look like alt and that key."""

from __future__ import annotations

from typing import cast

from textual._ansi_sequences import ANSI_SEQUENCES_KEYS
from textual.events import Key


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
