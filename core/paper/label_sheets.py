"""Label sheets and rolls by their millimetres: where each label lies on its page."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from core.patterns import pattern
from core.problems import Problem
from core.text import clean, nearest

A4, LETTER = (210.0, 297.0), (215.9, 279.4)
INCH = 25.4
MOST_LABELS = 5_000
"""On one printing (ours): a slip of the finger in a number does not print a forest."""
WIDEST, NARROWEST = 1_000.0, 10.0


class LabelSheet(NamedTuple):
    """A sheet of labels; a roll is one label a page. Millimetres; rows touch, `gap` is that between columns and `gap_y`
    that between rows."""

    width: float
    height: float
    columns: int
    rows: int
    label_width: float
    label_height: float
    left: float = 0
    top: float = 0
    gap: float = 0
    gap_y: float = 0
    source: str = ""

    @property
    def each(self) -> int:
        """Labels on one sheet."""
        return self.columns * self.rows

    @property
    def right(self) -> float:
        """Where the last column ends."""
        return self.left + self.columns * self.label_width + (self.columns - 1) * self.gap

    @property
    def bottom(self) -> float:
        """Where the last row ends."""
        return self.top + self.rows * self.label_height + (self.rows - 1) * self.gap_y

    def corners(self) -> Iterator[tuple[float, float]]:
        """Top left corners, row by row."""
        for row in range(self.rows):
            for column in range(self.columns):
                yield (
                    self.left + column * (self.label_width + self.gap),
                    self.top + row * (self.label_height + self.gap_y),
                )


def _letter(
    columns: int, rows: int, width: float, height: float, left: float, gap: float, source: str
) -> LabelSheet:
    """A Letter sheet given in inches; the first row lies half an inch down."""
    wide, tall, x, y, between = (round(inch * INCH, 4) for inch in (width, height, left, 0.5, gap))
    return LabelSheet(*LETTER, columns, rows, wide, tall, x, y, between, source=source)


SHEETS: Mapping[str, LabelSheet] = {
    "letter-30": _letter(3, 10, 2.625, 1, 0.1875, 0.125, "inch values of public label templates"),
    "letter-20": _letter(2, 10, 4, 1, 0.15625, 0.1875, "from memory; adds up"),
    "letter-10": _letter(2, 5, 4, 2, 0.15625, 0.1875, "from memory; adds up"),
    "a4-24": LabelSheet(*A4, 3, 8, 70, 37, 0, 0.5, 0, source="8 x 37 = 296 mm of 297"),
    "a4-21": LabelSheet(*A4, 3, 7, 63.5, 38.1, 7.2, 15.15, 2.5, source="public label templates"),
    "a4-14": LabelSheet(*A4, 2, 7, 99.1, 38.1, 4.65, 15.15, 2.5, source="from memory; adds up"),
    "a4-8": LabelSheet(
        *A4, 2, 4, 99.1, 67.7, 4.65, 13.1, 2.5, source="a public template list, margins by centring"
    ),
    "a4-65": LabelSheet(*A4, 5, 13, 38.1, 21.2, 4.75, 10.7, 2.5, source="from memory; adds up"),
    "a4-40": LabelSheet(*A4, 4, 10, 52.5, 29.7, source="a public template list"),
}
"""Common sheets by page and number of labels: measure yours before you trust one, and print a trial on plain paper."""

_NUMBER = r"([0-9]{1,4}(?:\.[0-9]{1,3})?)"
_PAIR = pattern(f"{_NUMBER}x{_NUMBER}")
EXAMPLE = "210x297,3x8,70x37,0x0.5,0x0"


def sheet_called(said: str) -> LabelSheet | Problem:
    """A common sheet by its name, or one in millimetres: page, columns x rows, label, first corner, gaps."""
    if said in SHEETS:
        return SHEETS[said]
    pairs = [_PAIR.fullmatch(part.strip()) for part in said.split(",")]
    if not all(pairs) or not 3 <= len(pairs) <= 5:
        near = nearest(said, SHEETS)
        hint = f" Nearest: {near[0]}." if near else ""
        return Problem(
            f"'{clean(said)[:40]}' is no label sheet: {', '.join(SHEETS)}, or its millimetres as page, columns x rows, "
            f"label, first corner, gaps, such as {EXAMPLE}.{hint}",
            "unknown",
            near,
        )
    page, grid, label, corner, gaps = (
        *((float(pair[1]), float(pair[2])) for pair in pairs if pair),
        *[(0.0, 0.0)] * (5 - len(pairs)),
    )
    if grid[0] != int(grid[0]) or grid[1] != int(grid[1]) or not 1 <= grid[0] * grid[1] <= MOST_LABELS:
        return Problem("Columns and rows of a label sheet are whole numbers, such as 3x8.")
    made = LabelSheet(*page, int(grid[0]), int(grid[1]), *label, *corner, *gaps, source="given")
    return _checked(made)


def roll_called(said: str) -> LabelSheet | Problem:
    """A roll of labels of so many millimetres: "57x32"."""
    pair = _PAIR.fullmatch(said.strip())
    if pair is None:
        return Problem(
            f"'{clean(said)[:40]}' is no label of a roll: give it as width x height in mm, such as 57x32."
        )
    width, height = float(pair[1]), float(pair[2])
    return _checked(LabelSheet(width, height, 1, 1, width, height, source="given"))


def _checked(sheet: LabelSheet) -> LabelSheet | Problem:
    if not (NARROWEST <= sheet.width <= WIDEST and NARROWEST <= sheet.height <= WIDEST):
        return Problem(f"A page is {NARROWEST:g} to {WIDEST:g} mm each way.", "impossible")
    if not (sheet.label_width > 0 and sheet.label_height > 0):
        return Problem("A label has a width and a height.", "impossible")
    for what, end, most in (("across", sheet.right, sheet.width), ("down", sheet.bottom, sheet.height)):
        if end > most + 0.1:
            return Problem(
                f"The labels reach {end:g} mm {what}, and the page has {most:g}: measure it again.",
                "impossible",
            )
    return sheet
