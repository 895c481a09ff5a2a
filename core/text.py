"""Text from files and people, made safe before it reaches a terminal; and how a crop is named."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

LONGEST = 400
"""Characters of one typed text that are kept; a note longer than this is refused, not cut."""

LONGEST_TYPED = 4_000
"""Characters that may stand in the line being typed: what is too long to be kept stays there to be shortened."""

_UNSAFE = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def clean(text: str) -> str:
    """`text` without control, escape, bidirectional or unassigned characters; white space becomes one space.

    Escape sequences lose their leading control character, so what is left is harmless plain text.
    """
    if text.isascii() and text.isprintable():
        return text
    spaced = (" " if c in "\t\n\r" else c for c in text)
    return "".join(c for c in spaced if unicodedata.category(c) not in _UNSAFE)


def is_clean(text: str) -> bool:
    """Whether `text` may be shown as it is."""
    return clean(text) == text


def named(crop: str, variety: str | None, way: str | None = None) -> str:
    """ "strawflower apricot (early)"."""
    return " ".join(filter(None, (crop, variety, f"({way})" if way else None)))


def nearest(word: str, known: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """Up to `most` of the `known` words that look most like `word`, best first; may be empty."""
    import difflib  # seldom needed

    return tuple(difflib.get_close_matches(word.lower(), [k.lower() for k in known], n=most, cutoff=0.6))
