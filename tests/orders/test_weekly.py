"""A weekly order: what was done of a delivery that is past is written late, and one week is skipped."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.order_rows import Order
from core.orders.takings import takings
from core.problems import Problem
from core.session import Session
from tests.farms import farm_in, write

DAYS = {
    "2026-06-01": (
        "bed b1 50ft",
        "plant zinnia b1 25ft 60 plants",
        "order Lane 10 zinnia fresh at 0.50 weekly from 7-3 to 7-31",
    ),
    "2026-07-03": ("12 zinnia b1 fresh", "handed over O001"),
    "2026-07-10": ("30 zinnia b1 fresh",),
    "2026-07-20": (),
}
"""Deliveries on 3, 10, 17, 24 and 31 July; it is the 20th."""


@pytest.fixture
def book(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "weekly", DAYS)


def on(book: Session, day: str) -> Session:
    book.close()
    return Session.open(book.folder, by="ml", on=date.fromisoformat(day))


def order(book: Session) -> Order:
    found = book.farm.orders.get("O001")
    assert found is not None
    return found


def refused(book: Session, line: str) -> str:
    answer = book.write(line)
    assert isinstance(answer, Problem), line
    return answer.sentence


def handed(book: Session) -> dict[int, str]:
    """Delivery -> the day it was handed over."""
    return {one.delivery: one.on for one in order(book).handed}


# written late


@pytest.mark.parametrize("day", ["7-10", "10 july", "on 7/10", "2026-07-10"])
def test_a_past_delivery_is_handed_over_on_its_day(book: Session, day: str) -> None:
    for line in (f"pick O001 {day}", f"handed over O001 {day}"):
        written = write(book, line)
        assert {entry.on for entry in written.entries} == {"2026-07-10"}, line
        assert "dated Fri 10 Jul 2026" in written.remarks
    assert handed(book) == {1: "2026-07-03", 2: "2026-07-10"}
    assert [(row.of, row.cents) for row in takings(book.farm, "week")] == [
        ("2026-06-29", 500),
        ("2026-07-06", 500),
    ]
    assert book.check() == []


def test_what_was_fit_on_its_day_needs_no_anyway(book: Session) -> None:
    """Ten days later the zinnias are past their days; cut that very morning they were not."""
    assert "past its days" in refused(book, "handed over O001")
    write(book, "handed over O001 7-10")


def test_a_day_of_no_delivery_is_the_day_and_the_delivery_the_one_before(book: Session) -> None:
    written = write(book, "handed over O001 on 12 july")
    assert {(e.on, e.fields["delivery"]) for e in written.entries} == {("2026-07-12", 2)}
    assert "no such delivery" in refused(book, "packed O001 7-22")


def test_picked_on_the_eve_it_is_for_the_delivery_that_comes(book: Session) -> None:
    write(book, "short O001 7-10")
    written = write(book, "pick O001 on 16 july anyway")
    assert {(e.on, e.fields["delivery"]) for e in written.entries} == {("2026-07-16", 3)}


def test_today_says_that_it_was_done_today(book: Session) -> None:
    written = write(book, "handed over O001 7-10 today anyway")
    assert {e.on for e in written.entries} == {"2026-07-20"}
    assert {e.fields["delivery"] for e in written.entries if "delivery" in e.fields} == {2}


def test_a_delivery_to_come_dates_nothing(book: Session) -> None:
    assert {e.on for e in write(book, "short 4 O001 7-24").entries} == {"2026-07-20"}


def test_what_comes_back_of_a_past_delivery_came_back_today(book: Session) -> None:
    write(book, "handed over O001 7-10")
    (home,) = write(book, "back 3 zinnia O001 7-10").entries
    assert (home.on, home.fields["delivery"]) == ("2026-07-20", 2)


@pytest.mark.parametrize("day", ["7-10", "07-10", "10 july"])
def test_money_is_dated_by_any_way_of_writing_a_day(book: Session, day: str) -> None:
    (paid,) = write(book, f"paid O001 5 {day}").entries
    assert (paid.on, paid.fields["cents"]) == ("2026-07-10", 500)
