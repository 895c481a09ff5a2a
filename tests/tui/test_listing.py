"""The list on its own: the cursor keeps its place whatever happens around it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tui.listing import Listing
from tui.row_keys import Row


def rows_of(keys: str) -> list[Row]:
    """One row for each letter; "-" is a head, which the cursor passes by."""
    return [Row(() if key == "-" else (key,), ((key, ""),)) for key in keys]


def listing(keys: str, page: int) -> Listing:
    made = Listing()
    made.fit(page)
    made.put(rows_of(keys))
    return made


def test_the_cursor_passes_heads_by() -> None:
    it = listing("-ab-c", 5)
    assert it.row is not None and it.row.id == ("a",)
    it.move(1)
    it.move(1)
    assert it.row.id == ("c",)
    it.move(-1)
    assert it.row.id == ("b",)


def test_what_stands_before_the_first_row_is_seen_first_and_can_be_seen_again() -> None:
    it = listing("-----abcdefgh", 4)
    assert it.top == 0
    it.move(1)
    assert it.top > 0 and it.top <= it.cursor < it.top + 4
    it.edge(-1)
    assert it.top == 0
    it = listing("-----abc", 4)
    it.choose(("a",))
    for _ in range(9):
        it.move(-1)
    assert it.top == 0


def test_rows_that_come_in_above_leave_the_cursor_on_its_line() -> None:
    it = listing("abcdefghijkl", 4)
    it.choose(("j",))
    line = it.cursor - it.top
    it.put(rows_of("ABCabcdefghijkl"))
    assert it.row is not None and it.row.id == ("j",)
    assert it.cursor - it.top == line


def test_a_row_that_is_gone_leaves_the_cursor_on_its_neighbour() -> None:
    it = listing("abcde", 5)
    it.choose(("c",))
    it.put(rows_of("abde"))
    assert it.row is not None and it.row.id == ("d",)


def test_a_page_without_rows_to_choose_is_scrolled() -> None:
    it = listing("----------", 4)
    it.move(1)
    assert (it.cursor, it.top) == (-1, 1)
    it.edge(1)
    assert it.top == 6
    assert it.more == " 7-10 of 10"


def test_what_is_told_of_the_part_seen_counts_what_may_be_chosen() -> None:
    it = listing("-ab-cdef-gh", 4)
    assert it.more == " 1-2 of 8"
    it.edge(1)
    assert it.more == " 6-8 of 8"
    assert listing("ab-c", 4).more == ""


STEPS = st.one_of(
    st.tuples(st.just("move"), st.sampled_from((-1, 1))),
    st.tuples(st.just("turn"), st.sampled_from((-1, 1))),
    st.tuples(st.just("edge"), st.sampled_from((-1, 1))),
    st.tuples(st.just("fit"), st.integers(1, 12)),
    st.tuples(st.just("put"), st.lists(st.sampled_from("abcdefgh-"), max_size=20)),
)


@given(st.lists(STEPS, max_size=30))
def test_whatever_is_done_the_cursor_rests_on_a_row_and_the_page_stays_within(
    steps: list[tuple[str, int | list[str]]],
) -> None:
    it = listing("-ab-cd", 3)
    for what, value in steps:
        if isinstance(value, list):
            it.put(rows_of("".join(value)))
        else:
            getattr(it, what)(value)
        choosable = any(row.id for row in it.rows)
        assert (it.row is not None and bool(it.row.id)) == choosable
        assert 0 <= it.top <= max(len(it.rows) - it.page, 0)
        if what in ("move", "turn") and choosable and it.cursor > 0:
            before = it.cursor
            it.move(1)
            assert it.cursor == before or it.top <= it.cursor < it.top + it.page


def test_of_two_rows_on_one_line_right_and_left_choose_and_each_is_found_by_its_id() -> None:
    def row(name: str) -> Row:
        return Row(("to cut", name), ((name, ""),))

    listing = Listing()
    listing.fit(10)
    listing.put([Row((), (("head", ""),)), row("P1")._replace(beside=row("P3"), at=40), row("P2")])
    assert listing.row is not None and listing.row.id == ("to cut", "P1")
    listing.leap(1)
    assert listing.row.id == ("to cut", "P3")
    listing.put([row("P2"), row("P1")._replace(beside=row("P3"), at=40)])
    assert listing.row.id == ("to cut", "P3"), "it stays with what it speaks of"
    listing.leap(-1)
    assert listing.row.id == ("to cut", "P1")
    assert listing.choose(("to cut", "P3")) and listing.is_right
