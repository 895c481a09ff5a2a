"""A list of any length is as quick to see as a short one: what is not seen is not laid out, and nothing is missed."""

from __future__ import annotations

from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.problems import Problem
from tui.laid_out import LaidOut, laid_out
from tui.row_keys import RowSort
from tui.table import MEASURED, Column, Line, screen_table
from tui.views.view import Page

MANY = 20_000
SHOWN = 19
ON_A_ROW = RowSort("long", "On a row")


class Lot(NamedTuple):
    code: str
    name: str
    stems: int


class Long(Page):
    """A list of these lots; counts the cells that are made."""

    def __init__(self, lots: list[Lot]) -> None:
        super().__init__("-")
        self.made = 0
        columns = (
            Column("code", "lot", 6, show=self._told),
            Column("name", "crop"),
            Column("stems", "stems", 5, right=True),
        )
        self.head, rows = self.table(columns, lots, ON_A_ROW, lambda lot: (lot.code,))
        self.listing.put(rows)

    def _told(self, code: str) -> str:
        self.made += 1
        return code

    def seen(self) -> list[str]:
        """Its lines as they stand on the screen."""
        lines: list[LaidOut] = laid_out(self, 80, SHOWN + 1, has_keys=True)
        return ["".join(text for text, _ in line).rstrip() for line, _ in lines]


def lots(count: int) -> list[Lot]:
    return [Lot(f"L{n}", f"strawflower {n % 97}", n) for n in range(count)]


def test_of_a_long_list_little_more_is_laid_out_than_is_seen() -> None:
    view = Long(lots(MANY))
    assert view.seen()[1].split() == [">", "L0", "strawflower", "0", "0"]
    assert view.made <= MEASURED + 3 * SHOWN
    view.listing.edge(1)
    assert view.seen()[-1].split() == [
        ">",
        f"L{MANY - 1}",
        "strawflower",
        f"{(MANY - 1) % 97}",
        f"{MANY - 1}",
    ]
    view.listing.turn(-1)
    view.listing.choose(ON_A_ROW.id("L12345"))
    assert any("> L12345 strawflower 26 " in line for line in view.seen())
    assert view.made <= MEASURED + 9 * SHOWN


@pytest.mark.parametrize("at", (0, 57, 101, 7_003, 19_999))
def test_a_text_wider_than_all_that_were_measured_is_shown_whole(at: int) -> None:
    name = "strawflower, silvery rose with a name that goes on and on"
    found = lots(MANY)
    found[at] = found[at]._replace(name=name, stems=1_234_567)
    view = Long(found)
    view.seen()
    view.listing.choose(ON_A_ROW.id(f"L{at}"))
    assert any(
        line.startswith(f"> L{at} ") and name in line and line.endswith("1234567") for line in view.seen()
    )


TEXTS = st.text(alphabet="abc ", min_size=1, max_size=25).map(lambda text: text.strip() or "a")


@given(st.lists(TEXTS, min_size=1, max_size=30), st.integers(0, 3 * MEASURED))
def test_wherever_a_row_stands_it_is_cut_only_where_it_has_no_room(names: list[str], before: int) -> None:
    rows = [("L1", "b", "1")] * before + [(name, name, "1") for name in names]
    columns = tuple(
        Column("", head, width, show=lambda row, i=i: row[i])  # type: ignore[misc]
        for i, (head, width) in enumerate((("lot", 4), ("crop", 0), ("stems", 5)))
    )
    _, lines = screen_table(columns, rows, 78)
    for row, line in zip(rows, lines, strict=True):
        assert all(text in line for text in row), "25 + 25 + 5 fit in 78"


def test_a_fault_in_a_row_that_is_seen_late_is_told_in_its_place() -> None:
    view = Long(lots(MANY))
    seen: list[str] = []

    def guard(subject: str, reckon, instead):  # type: ignore[no-untyped-def]
        try:
            return reckon()
        except LookupError:
            seen.append(subject)
            return instead(Problem(f"{subject} could not be reckoned", "fault"))

    view.guard = guard  # type: ignore[assignment]

    def line(of: int) -> Line:
        if of == 1:
            raise LookupError
        return ((f"row {of}", ""),)

    drawn = view.drawn(line)
    assert drawn(0) == (("row 0", ""),)
    assert (
        drawn(1) == (("Long could not be reckoned", "caution"),) or "could not be reckoned" in drawn(1)[0][0]
    )
    assert seen
