"""Text as it is laid on a page: nothing wider than the page, nothing lost, and names in the order people count."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from core.text import natural, wrap, wrapped


@given(st.lists(st.text("abc", min_size=1, max_size=30), min_size=1, max_size=30), st.integers(10, 90))
def test_a_wrapped_text_keeps_every_letter_and_its_width(words: list[str], width: int) -> None:
    lines = wrap(" ".join(words), width)
    assert max(map(len, lines)) <= width
    assert "".join("".join(lines).split()) == "".join(words)


def test_what_goes_on_is_set_in_under_its_own_beginning() -> None:
    assert wrapped(["  because the night was cold", "", "short"], 20) == [
        "  because the night",
        "    was cold",
        "",
        "short",
    ]
    assert wrap("one two three four", 10, hang=2) == ["one two", "  three", "  four"]


def test_a_text_cut_off_says_so() -> None:
    assert wrap("one two three four", 10, most=1) == ["one tw ..."]


def test_beds_lines_and_boxes_stand_in_the_order_people_count_them() -> None:
    assert sorted(["b10", "b2", "b1", "north"], key=natural) == ["b1", "b2", "b10", "north"]
    names = ["line north", "line 10", "line 2", "line \u00b2"]
    assert sorted(names, key=natural) == ["line 2", "line 10", "line north", "line \u00b2"]
