"""Values as text: nothing is wider than it may be, and nothing from the book reaches the terminal raw."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from core.text import clean, is_clean
from tui.phrases import because, days_scale, in_days, ladder_bar, near_day
from tui.subjects.cutting import same_again
from tui.table import cells, columns_of, fit, screen_table

LOT, CROP, STEMS, FAR = columns_of(("lot", "crop", "stems", "far"))
COLUMNS = (
    LOT._replace(width=6),
    CROP,
    STEMS._replace(width=5, right=True),
    FAR._replace(width=9, least=70),
)


@given(st.text(max_size=60), st.integers(1, 40), st.booleans())
def test_a_cell_is_as_wide_as_it_should_be_and_clean(text: str, width: int, right: bool) -> None:
    shown = fit(text, width, right=right)
    assert cells(shown) == width
    assert is_clean(shown)


ROW = st.tuples(*[st.text(max_size=30)] * 4)


@given(st.lists(ROW, max_size=5), st.integers(30, 200))
def test_a_table_never_outgrows_its_list_and_its_columns_stand_under_each_other(
    rows: list[tuple[str, ...]], width: int
) -> None:
    head, lines = screen_table(COLUMNS, rows, width)
    assert len(lines) == len(rows)
    assert all(cells(line) <= width for line in (head, *lines))


@given(st.lists(ROW, min_size=1, max_size=5))
def test_where_there_is_room_no_text_is_cut(rows: list[tuple[str, ...]]) -> None:
    _, lines = screen_table(COLUMNS, rows, 150)
    for row, line in zip(rows, lines, strict=True):
        assert all(clean(text).strip() in line for text in row)


def test_what_is_cut_off_shows_it() -> None:
    assert fit("strawflower apricot", 12) == "strawflowe.."


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


def test_a_scale_of_days_marks_today_and_draws_the_days_that_may_be_it() -> None:
    """Two days a column, from eight days ago: late lies left of the mark, and what is far away is an arrow."""
    assert days_scale(0, 0) == "----|-------"
    assert days_scale(3, 8) == "----|====---"
    assert days_scale(-6, -3) == "-==!|-------"
    assert days_scale(-40, -30) == "<!!!|-------"
    assert days_scale(10, 60) == "----|----==>"
    assert {len(days_scale(first, first + 5)) for first in range(-50, 50)} == {12}
