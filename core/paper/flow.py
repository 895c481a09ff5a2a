"""A list that flows down as many pages as it takes: a title on each, rows never parted, a number at the foot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from core.paper.label_sheets import A4, LETTER
from core.paper.marks import Box, Code, Mark, Page, Rule, Text, height_of

PAGES: Mapping[str, tuple[float, float]] = {"letter": LETTER, "a4": A4}
MARGIN = 15.0
TITLE, HEAD, PLAIN, SMALL = 14.0, 11.0, 10.0, 8.5
"""Points."""
ROW = 9.0
"""Millimetres of a row that is written in by pencil."""
FOOT = 8.0


class Flow:
    """Takes headings and rows; `pages` gives them laid out. Places are millimetres from the left margin."""

    def __init__(self, size: tuple[float, float], title: str, right: str = "") -> None:
        self.width, self.height = size
        self._title, self._right = title, right
        self._pages: list[list[Mark]] = []
        self._y = 0.0
        self._turn()

    @property
    def room(self) -> float:
        """Millimetres between the margins."""
        return self.width - 2 * MARGIN

    def _turn(self) -> None:
        self._y = MARGIN + 5
        right = Text(self.width - MARGIN, self._y, PLAIN, self._right, self.room / 2 - 2, "right")
        title = Text(MARGIN, self._y, TITLE, self._title, self.room / (2 if self._right else 1))
        self._y += 2.5
        rule = Rule(MARGIN, self._y, self.width - MARGIN, self._y)
        self._y += 1.5
        self._pages.append([title, *([right] if self._right else []), rule])

    def _take(self, height: float, keep: float = 0) -> float:
        """The top of so much height; on a new page where it, and `keep` that must follow it, has no room on this."""
        if self._y + height + keep > self.height - MARGIN - FOOT:
            self._turn()
        top, self._y = self._y, self._y + height
        return top

    def heading(self, text: str) -> None:
        """A heading, never alone at the foot of a page."""
        y = self._take(height_of(HEAD) + 3, 2 * ROW) + height_of(HEAD) + 1.5
        self._pages[-1].append(Text(MARGIN, y, HEAD, text, self.room))

    def line(self, text: str, *, size: float = PLAIN, at: float = 0, right: str = "") -> None:
        """A line of text, and one at the right edge."""
        y = self._take(height_of(size) + 0.6) + height_of(size) - 0.8
        room = self.room - at
        self._pages[-1].append(Text(MARGIN + at, y, size, text, room * (0.7 if right else 1)))
        if right:
            self._pages[-1].append(Text(self.width - MARGIN, y, size, right, room * 0.28, "right"))

    def row(self, *cells: Cell, height: float = ROW, under: Sequence[str] = ()) -> None:
        """A row of boxes and texts, with small lines under it that stay with it."""
        lines = [(text, height + (n + 1) * height_of(SMALL)) for n, text in enumerate(under)]
        top = self._take(height + len(lines) * height_of(SMALL) + (1 if lines else 0))
        base = top + height / 2 + 1.3
        for at, what in cells:
            if isinstance(what, tuple):
                wide, tall = what
                self._pages[-1].append(Box(MARGIN + at, top + (height - tall) / 2, wide, tall))
            else:
                room = min((other for other, _ in cells if other > at), default=self.room) - at - 1
                self._pages[-1].append(Text(MARGIN + at, base, PLAIN, what, room))
        for text, below in lines:
            at = next((at for at, what in cells if isinstance(what, str)), 0)
            self._pages[-1].append(Text(MARGIN + at, top + below - 1, SMALL, text, self.room - at))

    def blank(self) -> None:
        """A line to write on."""
        y = self._take(ROW) + ROW - 1
        self._pages[-1].append(Rule(MARGIN, y, self.width - MARGIN, y))

    def rule(self) -> None:
        """A line across."""
        y = self._take(3) + 1.5
        self._pages[-1].append(Rule(MARGIN, y, self.width - MARGIN, y))

    def place(self, height: float) -> float:
        """Room for a drawing of that height: its top."""
        return self._take(height)

    def add(self, *marks: Mark) -> None:
        """Marks of a drawing on this page."""
        self._pages[-1] += marks

    def code(self, text: str, module: float) -> None:
        """A code in the top right corner, under the title."""
        self._pages[-1].append(
            Code(self.width - MARGIN - 21 * module - 4 * module, self._y + 4 * module, module, text)
        )

    def pages(self) -> list[Page]:
        """The pages, numbered where there are several."""
        many = len(self._pages)
        foot = self.height - MARGIN
        return [
            Page(
                self.width,
                self.height,
                (*marks, *([_number(self.width, foot, n, many)] if many > 1 else [])),
            )
            for n, marks in enumerate(self._pages, 1)
        ]


Cell = tuple[float, str | tuple[float, float]]
"""(mm from the left margin, a text or the (width, height) of a box)."""
TICK = (5.0, 5.0)
COUNT = (18.0, 7.0)


def _number(width: float, y: float, n: int, many: int) -> Text:
    return Text(width - MARGIN, y, SMALL, f"page {n} of {many}", 40, "right")
