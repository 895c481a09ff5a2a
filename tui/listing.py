"""A list with a cursor: where it rests, which rows are seen. Knows nothing of the toolkit."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from tui.row_keys import Row, RowId


class Listing:
    """Rows, a cursor that rests on those with an id, and the first row seen.

    A list without any such row is scrolled instead. `page` is how many rows are seen at once.
    """

    def __init__(self) -> None:
        self.rows: Sequence[Row] = ()
        self._counts: Sequence[int] | None = None
        """How many rows that may be chosen stand before each."""
        self.cursor = -1
        self.is_right = False
        """Whether the cursor rests on the second row of its line, where it has one."""
        self.top = 0
        self.page = 0

    @property
    def row(self) -> Row | None:
        """The row under the cursor."""
        if not 0 <= self.cursor < len(self.rows):
            return None
        here = self.rows[self.cursor]
        return here.beside if self.is_right and here.beside is not None else here

    @property
    def more(self) -> str:
        """Which part is seen, where not all is: " 1-14 of 32"; of what may be chosen, where that is most of it."""
        if len(self.rows) <= self.page or not self.page:
            return ""
        if self._counts is None:
            chosen = [0, *accumulate(bool(row.id) for row in self.rows)]
            self._counts = chosen if 2 * chosen[-1] > len(self.rows) else range(len(self.rows) + 1)
        counts = self._counts
        before, here = counts[self.top], counts[min(self.top + self.page, len(self.rows))]
        return f" {min(before + 1, here)}-{here} of {counts[-1]}"

    def put(self, rows: Sequence[Row]) -> None:
        """New rows: the cursor stays on its row by its id, on the same line, or comes to the nearest."""
        held = self.row.id if self.row else ()
        before = self.cursor
        self.rows, self._counts = tuple(rows), None
        if not (held and self._find(held)):
            self.cursor = self._nearest(max(before, 0))
        if before >= 0 and self.top:
            self.top += self.cursor - before
        self._clamp()

    def fit(self, page: int) -> None:
        """So many rows are seen from now on; a cursor that was seen still is."""
        was_seen = self._seen()
        self.page = page
        self._clamp()
        if was_seen:
            self._into_view()

    def choose(self, row_id: RowId) -> bool:
        """Put the cursor on the row of that id; whether there is one."""
        if not self._find(row_id):
            return False
        self._into_view()
        return True

    def _find(self, row_id: RowId) -> bool:
        for i, row in enumerate(self.rows):
            if row.id == row_id or (row.beside is not None and row.beside.id == row_id):
                self.cursor, self.is_right = i, row.id != row_id
                return True
        return False

    def move(self, step: int) -> None:
        """To the next row that has an id; where there is none, what lies beyond is scrolled into view."""
        i = self.cursor + step
        while self.cursor >= 0 and 0 <= i < len(self.rows) and not self.rows[i].id:
            i += step
        if self.cursor >= 0 and 0 <= i < len(self.rows):
            self.cursor = i
            self._into_view()
        else:
            self.top += step
            self._clamp()

    def turn(self, pages: int) -> None:
        """A page on or back; the cursor comes along where a row it may rest on is seen there."""
        step = pages * max(self.page - 1, 1)
        wanted = min(max(self.cursor + step, 0), len(self.rows) - 1)
        before = self.top
        self.top += step
        self._clamp()
        if self.cursor >= 0:
            if self.top == before and self.top <= (nearest := self._nearest(wanted)) < self.top + self.page:
                self.cursor = nearest
                return
            seen = [n for n in range(self.top, min(self.top + self.page, len(self.rows))) if self.rows[n].id]
            self.cursor = min(seen, key=lambda n: abs(n - wanted)) if seen else self.cursor

    def leap(self, step: int) -> None:
        """To the other row of a line that has two; else to the first row under the next heading, or under the one
        before; a heading is a row without an id."""
        rows = self.rows
        has_two = 0 <= self.cursor < len(rows) and rows[self.cursor].beside is not None
        if has_two and self.is_right != (step > 0):
            self.is_right = step > 0
            return
        self.is_right = False
        on = range(self.cursor + 1, len(rows)) if step > 0 else range(self.cursor - 1, -1, -1)
        first = next((n for n in on if rows[n].id and (n == 0 or not rows[n - 1].id)), None)
        if self.cursor >= 0 and first is not None:
            self.cursor = first
            self._into_view()

    def edge(self, side: int) -> None:
        """To the first row (-1) or the last (1), and all that stands before or after it."""
        if self.cursor >= 0:
            self.cursor = self._nearest(0 if side < 0 else len(self.rows) - 1)
        self.top = 0 if side < 0 else len(self.rows)
        self._clamp()

    def _nearest(self, i: int) -> int:
        """The row nearest to `i` that the cursor may rest on, -1 where there is none."""
        rows = self.rows
        for step in range(max(i, len(rows) - i) + 1):
            for n in (i - step, i + step):
                if 0 <= n < len(rows) and rows[n].id:
                    return n
        return -1

    def _seen(self) -> bool:
        return self.top <= self.cursor < self.top + self.page

    def _clamp(self) -> None:
        self.top = min(max(self.top, 0), max(len(self.rows) - self.page, 0)) if self.page else 0

    def _into_view(self) -> None:
        """Scroll so that the cursor is seen: by half a page, so that few steps change everything."""
        if self.page and self.cursor >= 0 and not self._seen():
            self.top = self.cursor - self.page // 2
            self._clamp()
