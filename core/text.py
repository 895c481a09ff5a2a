"""Text made safe before it reaches a terminal, wrapped, and put in order; and how a crop is named."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence

from core.dialect import in_words

LONGEST = 400
"""Characters of one typed text that are kept; a note longer than this is refused, not cut."""

PAGE = 78
"""Characters to a line of a printed page."""
LONGEST_TYPED = 4_000
"""Characters that may stand in the line being typed: what is too long to be kept stays there to be shortened."""

_UNSAFE = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


class _Shown(dict[int, int | None]):
    """Code point -> what is shown of it, None for nothing; found when first met, most of them kept."""

    def __missing__(self, point: int) -> int | None:
        shown = None if unicodedata.category(chr(point)) in _UNSAFE else point
        if len(self) < _MOST_SHOWN:
            self[point] = shown
        return shown


_MOST_SHOWN = 4_000
"""Characters whose looks are remembered: more than any book has, little beside the whole of Unicode."""
_SHOWN = _Shown({ord(c): ord(" ") for c in "\t\n\r"})


def clean(text: str) -> str:
    """`text` without control, escape, bidirectional or unassigned characters; white space becomes one space.

    Escape sequences lose their leading control character, so what is left is harmless plain text.
    """
    if text.isascii() and text.isprintable():
        return text
    return text.translate(_SHOWN)


def is_clean(text: str) -> bool:
    """Whether `text` may be shown as it is."""
    return clean(text) == text


def named(crop: str, variety: str | None, way: str | None = None) -> str:
    """ "strawflower apricot (early)"."""
    return " ".join(filter(None, (crop, variety, f"({way})" if way else None)))


def wrap(text: str, width: int = PAGE, *, hang: int | None = None, most: int = 99) -> list[str]:
    """`text`, cleaned, in lines of `width` characters (10 at the least), `most` of them: text cut off ends in "...".

    What goes on is set in by `hang` characters; by two more than the text itself where None.
    """
    text = in_words(clean(text))
    width = max(width, 10)
    if len(text) <= width:
        return [text]
    import textwrap  # its patterns take as long as a page: only for what is too long

    indent = len(text) - len(text.lstrip()) + 2 if hang is None else hang
    lines = textwrap.wrap(text, width, subsequent_indent=" " * indent) or [""]
    if len(lines) > most:
        lines[most - 1 :] = [lines[most - 1][: width - 4].rstrip() + " ..."]
    return lines


def cut_to(text: str, width: int) -> str:
    """`text`, or as much of it as leaves room for the ".." that says there is more."""
    if len(text) <= width:
        return text
    return f"{after_a_word(text, text[: max(width - 2, 0)])}.."


def after_a_word(whole: str, beginning: str) -> str:
    """The beginning of a text, ended after a word where one ends beyond its first third."""
    if whole[len(beginning) : len(beginning) + 1] not in ("", " "):
        words = beginning.rpartition(" ")[0]
        beginning = words if 3 * len(words) >= len(beginning) else beginning
    return beginning.rstrip(" ,;:")


def wrapped(texts: Iterable[str], width: int = PAGE) -> list[str]:
    """Each of the texts in lines of `width` characters, what goes on set in by two more."""
    return [line for text in texts for line in wrap(text, width)]


def packed(pieces: Sequence[str], between: str, width: int) -> list[str]:
    """The pieces on as few lines as hold them, in their order."""
    lines: list[str] = []
    for piece in pieces:
        if lines and len(lines[-1]) + len(between) + len(piece) <= width:
            lines[-1] += between + piece
        else:
            lines += [piece] if len(piece) <= width else wrap(piece, width)
    return lines


def natural(name: str) -> tuple[str, int, str]:
    """The key that puts names in the order people count them: "b2" before "b10", "line 2" before "line north"."""
    letters = name.rstrip("0123456789")
    digits = name[len(letters) :]
    return letters, int(digits) if digits else -1, name


def nearest(word: str, known: Iterable[str], most: int = 3, cutoff: float = 0.6) -> tuple[str, ...]:
    """Up to `most` of the `known` words that look most like `word`, best first; may be empty. `cutoff` is the likeness
    from 0 to 1 below which none counts."""
    import difflib  # seldom needed

    return tuple(difflib.get_close_matches(word.lower(), [k.lower() for k in known], n=most, cutoff=cutoff))


def nearly(word: str, known: Iterable[str]) -> tuple[str, ...]:
    """Those of the `known` words from which `word` differs by one slip: a letter too many, too few, wrong, or two
    that have changed places."""
    return tuple(other for other in known if _one_slip(word, other))


def _one_slip(one: str, other: str) -> bool:
    if one == other or abs(len(one) - len(other)) > 1:
        return False
    start = next(
        (i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other))
    )
    a, b = one[start:], other[start:]
    return a[1:] == b[1:] or a[1:] == b or a == b[1:] or (a[1::-1] == b[:2] and a[2:] == b[2:])
