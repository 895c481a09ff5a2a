"""A weekly order: what was done of a delivery that is past is written late, and one week is skipped."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.learning.planned import short_rows
from core.order_rows import Order
from core.orders.events import EVENTS
from core.orders.open_items import open_items
from core.orders.rows import order_page, page_lines
from core.orders.takings import takings
from core.session import Session
from tests.farms import farm_in, refused, write

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
    picked = [e for e in written.entries if e.kind == "picked"]
    assert {(e.on, e.fields["delivery"]) for e in picked} == {("2026-07-16", 3)}


def test_today_says_that_it_was_done_today(book: Session) -> None:
    written = write(book, "handed over O001 7-10 today anyway")
    assert {e.on for e in written.entries} == {"2026-07-20"}
    assert {e.fields["delivery"] for e in written.entries if "delivery" in e.fields} == {2}


def test_what_was_picked_later_was_not_handed_over_before(book: Session) -> None:
    write(book, "pick O001 anyway")
    written = write(book, "handed over O001 7-10")
    assert {(e.on, e.fields["delivery"]) for e in written.entries} == {("2026-07-20", 2)}
    assert "it was picked on Mon 20 Jul 2026, and so handed over then" in written.remarks
    assert not any(remark.startswith("dated") for remark in written.remarks)
    assert book.check() == []


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


# a week skipped


@pytest.fixture
def before(tmp_path: Path) -> Session:
    """On 10 July, before that day's delivery."""
    return farm_in(
        tmp_path / "before", {day: DAYS[day] for day in ("2026-06-01", "2026-07-03", "2026-07-10")}
    )


SKIPS = (
    "skip O001 7-17",
    "skip 7-17 O001",
    "O001 skips 7-17",
    "O001 skipped 17 july",
    "O001 not 7-17",
    "Lane skips 7-17",
    "skip Lane on july 17",
)


@pytest.mark.parametrize("line", SKIPS)
def test_a_skipped_delivery_is_wanted_and_owed_no_more(before: Session, line: str) -> None:
    assert order(before).price == 5 * 500
    written = write(before, line)
    assert [entry.kind for entry in written.entries] == ["skipped"]
    assert order(before).price == 4 * 500
    wanted = [one.due.isoformat() for one in open_items(before.farm, before.today)]
    assert wanted == ["2026-07-10", "2026-07-24", "2026-07-31"]
    write(before, "handed over O001")
    assert order(before).next_delivery == 4
    assert short_rows(before.farm, 2026) == []
    assert "Lane skips 7-17" not in written.says[0] and "17" in written.says[0]
    page = order_page(before.farm, order(before), before.today)
    assert [row.delivery for row in page.deliveries if row.skipped_on] == [3]
    assert any("skips 17 Jul" in text for text in page_lines(page)), page_lines(page)


def test_two_weeks_are_skipped_in_one_line_and_come_back_by_undo(before: Session) -> None:
    says = write(before, "O001 skips 7-17 and 7-24").says
    assert len(says) == 2 and order(before).price == 3 * 500
    write(before, "undo")
    assert order(before).price == 5 * 500


def test_what_is_skipped_is_no_delivery_of_the_calendar(before: Session) -> None:
    write(before, "skip O001 7-17")
    due = [one.first for one in EVENTS["orders"](before.sight())]
    assert due == ["2026-07-03", "2026-07-10", "2026-07-24", "2026-07-31"]


def test_what_is_picked_for_a_skipped_delivery_goes_back(before: Session) -> None:
    write(before, "pick O001")
    written = write(before, "skip O001 7-10")
    assert [entry.kind for entry in written.entries] == ["put back", "skipped"]
    assert before.check() == []


def test_what_cannot_be_skipped_is_refused(before: Session) -> None:
    assert "handed over" in refused(before, "skip O001 7-3")
    assert "no such delivery" in refused(before, "skip O001 7-16")
    assert "Which delivery" in refused(before, "skip O001")
    write(before, "skip O001 7-17")
    assert "is skipped already" in refused(before, "skip O001 7-17")
    assert "Nothing is open" in refused(before, "short O001 7-17")
    write(before, "order Ann 5 zinnia fresh by 7-20")
    assert "cancel O002" in refused(before, "skip O002 7-20")
