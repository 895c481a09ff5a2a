"""What stands on the terminal, cell by cell, and the few bytes that make it show something else.

A row is drawn by the cells that differ: over what stands unchanged between two of them it is moved or written,
whichever is shorter, and what is blank to the end is cleared. Only what every terminal since the VT100 knows is sent.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

from tui.look import LOOKS, REVERSED, UNDERLINED, Ground, has, is_utf_8
from tui.table import Line, cells

Numbers = tuple[str, ...]
"""A look, by its numbers."""
Cell = tuple[str, Numbers]
"""What stands in one column: a character with what combines with it, "" after a wide one; and its look."""

BLANK: Cell = (" ", ())
CLEAR = "\x1b[m\x1b[2J"
CLEAR_TO_END = "\x1b[K"
PLAIN = "\x1b[m"
NOWHERE = (-9, -9)


class Piece(NamedTuple):
    """A piece of a row: where it begins, how many columns it takes, and its texts with their looks."""

    y: int
    x: int
    width: int
    parts: Sequence[tuple[str, Numbers]]


def cells_of(parts: Iterable[tuple[str, Numbers]], width: int) -> list[Cell]:
    """So many cells of a row, of its texts and their looks."""
    row: list[Cell] = []
    for text, look in parts:
        blank = (" ", look) if REVERSED in look or UNDERLINED in look else BLANK
        if text.isascii():
            row += [blank if c == " " else (c, look) for c in text]
            continue
        for character in text:
            wide = cells(character)
            if not has_all() and not has(character):
                row += [("?", look)] * wide
            elif wide:
                row += [blank if character == " " else (character, look), ("", look)][:wide]
            elif row and row[-1][0]:
                row[-1] = (row[-1][0] + character, row[-1][1])
    if len(row) > width and row[width][0] == "":
        row[width - 1] = BLANK  # half of a wide character
    return [*row[:width], *[BLANK] * (width - len(row))]


@lru_cache(maxsize=1)
def has_all() -> bool:
    """Whether the terminal's encoding has every letter."""
    return is_utf_8()


def looked(line: Line, look: str = "") -> list[tuple[str, Numbers]]:
    """A line of a view by the numbers of its looks, over the look of all of it."""
    under = LOOKS[look]
    return [(text, tuple(sorted({*under, *LOOKS[span]}, key=int))) for text, span in line]


class Shown:
    """The cells of a terminal as they stand."""

    def __init__(self, ground: Ground) -> None:
        self._ground = ground
        self._looks: dict[Numbers, str] = {}
        self.columns, self.rows = 0, 0
        self._cells: list[list[Cell]] = []
        self.is_unknown = True
        """Whether it is to be cleared, and all of it drawn."""
        self._at = NOWHERE
        """The row and column to which the terminal's cursor came, where that is known."""

    def forget(self, columns: int, rows: int, ground: Ground | None = None) -> None:
        """Whatever stands there is cleared by the next that is drawn, on a terminal of this size."""
        self.columns, self.rows = columns, rows
        self._ground, self._looks = ground or self._ground, {}
        never = ("", ("?",)) if self._ground.under else BLANK
        self._cells = [[never] * columns for _ in range(rows)]
        self.is_unknown = True

    def draw(self, pieces: Iterable[Piece]) -> str:
        """What to send so that these pieces, given from the top, are shown, and beside them what was shown."""
        sent: list[str] = [CLEAR] if self.is_unknown else []
        self.is_unknown = False
        look, self._at = "", NOWHERE
        for y, in_row in groupby(pieces, key=lambda piece: piece.y):
            if not 0 <= y < self.rows:
                continue
            new = [*self._cells[y]]
            for piece in in_row:
                new[piece.x : piece.x + piece.width] = cells_of(piece.parts, piece.width)
            new = new[: self.columns]
            if self._cells[y] != new:
                text, look, x = self._row(y, new, look)
                sent.append(text)
                self._at = (y, x)
        if look:
            sent.append(PLAIN)
        return "".join(sent)

    def to(self, x: int, y: int) -> str:
        """What to send so that the terminal's own cursor, which is not seen, rests there."""
        if not (0 <= x < self.columns - 1 and 0 <= y < self.rows):
            return ""
        before, self._at = self._at, (y, x)
        return "" if before == (y, x) else "\b" if before == (y, x + 1) else _moved(x, y)

    def _row(self, y: int, new: list[Cell], look: str) -> tuple[str, str, int]:
        """(what to send, the look in force after it, the column reached) for one row."""
        old, self._cells[y] = self._cells[y], new
        changed = [x for x, (before, after) in enumerate(zip(old, new, strict=True)) if before != after]
        if not changed:
            return "", look, self._at[1]
        for x in changed:  # a wide character is written whole
            if not new[x][0]:
                changed = sorted({*changed, x - 1})
        full = max((x for x, cell in enumerate(new) if cell != BLANK), default=-1)
        clears = not self._ground.under and changed[-1] - full > len(CLEAR_TO_END)
        if clears:
            beyond = max(full + 1, changed[0])
            changed = [x for x in changed if x < beyond]
        sent: list[str] = []
        x = -1
        for target in changed:
            if x < 0:
                sent.append("\r\n" if self._at[0] == y - 1 and not target else _moved(target, y))
            elif x < target:
                over, ends = self._written(new[x:target], look)
                jump = f"\x1b[{target - x if target - x > 1 else ''}C"
                after = self._sent(new[target][1])
                if len(over) + len(_turn(ends, after)) <= len(jump) + len(_turn(look, after)):
                    sent.append(over)
                    look = ends
                else:
                    sent.append(jump)
            elif x > target:
                continue  # the second half of a wide character
            text, look = self._written(new[target : target + 1], look)
            sent.append(text)
            x = target + 1
            if not text.isascii() and ((x < len(new) and not new[x][0]) or len(new[target][0]) > 1):
                while x < len(new) and not new[x][0]:
                    x += 1
                sent.append(_moved(x, y))  # how wide the terminal took it is its own business
        if clears:
            if x < 0:
                sent.append(_moved(beyond, y))
            elif x < beyond:
                sent.append(f"\x1b[{beyond - x if beyond - x > 1 else ''}C")
            sent.append(_turn(look, "") + CLEAR_TO_END)
            look, x = "", beyond
        return "".join(sent), look, x

    def _written(self, row: Sequence[Cell], look: str) -> tuple[str, str]:
        """What writes these cells, and the look after them."""
        sent: list[str] = []
        for character, numbers in row:
            wanted = self._sent(numbers)
            sent.append(_turn(look, wanted) + character)
            look = wanted
        return "".join(sent), look

    def _sent(self, numbers: Numbers) -> str:
        if numbers not in self._looks:
            self._looks[numbers] = self._ground.sent(numbers)
        return self._looks[numbers]


def _moved(x: int, y: int) -> str:
    return f"\x1b[{y + 1};{x + 1}H" if x else f"\x1b[{y + 1}H" if y else "\x1b[H"


@lru_cache(maxsize=1024)
def _turn(look: str, wanted: str) -> str:
    """What turns one look into another; a look is given up only whole, as a VT100 knows it."""
    if look == wanted:
        return ""
    if not wanted:
        return PLAIN
    had, wants = look.split(";") if look else [], wanted.split(";")
    anew = f"\x1b[0;{wanted}m"
    if not set(had) <= set(wants):
        return anew
    return f"\x1b[{';'.join(code for code in wants if code not in had)}m"
