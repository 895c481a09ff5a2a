"""Available to promise against tables in print, and against the two wrong answers in print."""

from __future__ import annotations

from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.reckon.promise.available import discrete, look_ahead, plain

# pumps: Stevenson, Operations Management; on hand 64, lots of 70; 11 is printed, as are the projected balances
PUMPS = (64, (0, 0, 70, 0, 70, 0, 70, 70), (33, 20, 10, 4, 2, 0, 0, 0))
# lot of 75, nothing on hand: course notes on the master schedule; the page itself subtracts week 2 from week 1's lot
LOT_75 = (0, (75, 75, 75, 0), (52, 35, 20, 12))
LOT_75_MORE = (0, (75, 75, 75, 0), (52, 50, 30, 12))
# lot of 100, nothing on hand: a problem text without an answer; our own arithmetic
LOT_100 = (0, (100, 100, 100, 0), (80, 50, 30, 10))


@pytest.mark.parametrize(
    ("case", "row"),
    [
        (PUMPS, (11, None, 56, None, 68, None, 70, 70)),
        (LOT_75, (23, 40, 43, None)),
        (LOT_75_MORE, (23, 25, 33, None)),
        (LOT_100, (20, 50, 60, None)),
    ],
)
def test_what_each_supply_leaves(
    case: tuple[int, tuple[int, ...], tuple[int, ...]], row: tuple[int | None, ...]
) -> None:
    assert discrete(*case) == row


def test_the_wrong_answers_in_print_are_not_given() -> None:
    assert discrete(*LOT_75)[:3] not in ((-12, 20, 43), (73, 73, 38))
    assert discrete(*LOT_75_MORE)[:3] != (-27, -5, 33)


@pytest.mark.parametrize(
    ("case", "row"),
    [
        (PUMPS, (11, 11, 67, 67, 135, 135, 205, 275)),
        (LOT_75, (23, 63, 106, 106)),
        (LOT_100, (20, 70, 130, 130)),
    ],
)
def test_what_can_be_promised_by_a_week_looks_ahead(
    case: tuple[int, tuple[int, ...], tuple[int, ...]], row: tuple[int, ...]
) -> None:
    assert look_ahead(*case) == row


def test_the_plain_row_offers_what_a_later_order_has() -> None:
    assert plain(*PUMPS) == (31, 11, 71, 67, 135, 135, 205, 275)
    assert plain(*PUMPS)[0] > look_ahead(*PUMPS)[0]


WEEKS = st.lists(st.tuples(st.integers(0, 90), st.integers(0, 60)), min_size=1, max_size=10)


@given(on_hand=st.integers(0, 80), weeks=WEEKS)
def test_where_no_supply_falls_short_looking_ahead_is_the_sum_of_what_each_leaves(
    on_hand: int, weeks: list[tuple[int, int]]
) -> None:
    supply, orders = [come for come, _ in weeks], [gone for _, gone in weeks]
    row = [left or 0 for left in discrete(on_hand, supply, orders)]
    ahead = look_ahead(on_hand, supply, orders)
    assert list(ahead) == sorted(ahead)
    summed = tuple(accumulate(row))
    assert all(free <= hidden for free, hidden in zip(ahead, summed, strict=True))
    # what a later supply falls short is taken back from what was free before it
    assert (ahead == summed) == (min(row[1:], default=0) >= 0)
