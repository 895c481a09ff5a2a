"""Values as text: nothing is wider than it may be, and nothing from the book reaches the terminal raw."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from core.text import is_clean
from tui.lines import same_again
from tui.rows import Column, because, cells, fit, in_days, ladder_bar, near_day, table_line, wrap
from tui.widgets.text_lines import changed_cells

COLUMNS = (Column("lot", 6), Column("crop", 0), Column("stems", 5, right=True), Column("far", 9, least=70))


@given(st.text(max_size=60), st.integers(1, 40), st.booleans())
def test_a_cell_is_as_wide_as_it_should_be_and_clean(text: str, width: int, right: bool) -> None:
    shown = fit(text, width, right=right)
    assert cells(shown) == width
    assert is_clean(shown)


@given(st.lists(st.text(max_size=30), min_size=4, max_size=4), st.integers(30, 200))
def test_a_table_line_never_outgrows_its_list(texts: list[str], width: int) -> None:
    assert cells(table_line(COLUMNS, texts, width)) <= width


def test_what_is_cut_off_shows_it() -> None:
    assert fit("strawflower apricot", 12) == "strawflowe.."
    assert wrap("one two three four", 10, most=1) == ["one two ..."] or wrap(
        "one two three four", 10, most=1
    )[0].endswith("...")


def test_a_ladder_is_drawn_in_plain_signs() -> None:
    assert ladder_bar(4, 8) == "####---- 4/8"


def test_days_are_said_in_few_letters() -> None:
    from datetime import date

    assert [in_days(n) for n in (None, 0, 6, -3)] == ["", "today", "in 6 d", "3 d ago"]
    assert near_day("2026-05-16", date(2026, 5, 16)) == "today"
    assert near_day("2026-05-10", date(2026, 5, 16)) == "since 10 May"


def test_reasons_are_one_sentence() -> None:
    assert because(("Sown 5 Mar.", "8 steps")) == "because Sown 5 Mar; 8 steps"
    assert because("") == ""


def test_a_number_alone_repeats_a_cut_and_anything_more_does_not() -> None:
    cut = {"crop": "strawflower", "variety": "deep rose", "bed": "b3", "use": "dry"}
    assert same_again("40", cut) == ' strawflower "deep rose" b3 dry'
    assert same_again("40 culls 3 blown 12min", cut) == ' strawflower "deep rose" b3 dry'
    assert same_again("40 zin", cut) == ""
    assert same_again("hang", cut) == ""
    assert same_again("", cut) == ""


def test_only_the_cells_that_differ_are_painted() -> None:
    assert changed_cells((("low 41", ""),), (("low 42", ""),), 80) == (5, 6)
    assert changed_cells((("low 41", ""),), (("low 41", ""),), 80) is None
    assert changed_cells((("low", ""),), (("low", "bold"),), 80) == (0, 3)
