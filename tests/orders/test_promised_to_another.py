"""What is promised to one goes to another only where she insists, and that is remembered."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.session import Session
from tests.farms import farm_in, refused, write

DAYS = {
    "2026-06-01": ("bed b1 50ft", "bed b2 40ft", "plant strawflower b1 20ft", "plant zinnia b2 20ft"),
    "2026-06-10": ("40 strawflower b1 dry", "hang L001 line 1"),
    "2026-06-20": ("snap L001", "box L001 4x10 box 7", "recipe posy bouquet: 2 dry straw", "make 2 posy"),
    "2026-06-23": ("30 zinnia b2 fresh", "clear b1"),
}


@pytest.fixture
def book(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "shed", DAYS)


def test_what_is_free_is_sold_without_a_question(book: Session) -> None:
    write(book, "order Fern Hollow 20 strawflower dry by 6-30", "sold 16 L001 to Ann")
    assert "would be short for Fern Hollow (O001, 30 Jun)" in refused(book, "sold 1 L001 to Ann")


def test_anyway_sells_it_and_the_book_keeps_why(book: Session) -> None:
    write(book, "order Fern Hollow 30 strawflower dry by 6-30")
    says = refused(book, "sold 10 L001 to Ann")
    assert says.startswith("4 strawflower dry would be short for Fern Hollow")
    assert ": of 36 on hand 6 are free today." in says
    assert "more than there is" in refused(book, "sold 40 L001 to Ann"), "whatever is promised"
    written = write(book, "sold 10 L001 to Ann anyway")
    assert [entry.kind for entry in written.entries] == ["sold", "note"]
    assert "anyway: 4 strawflower dry would be short" in written.says[1]


def test_another_order_does_not_take_it_either_but_its_own_may(book: Session) -> None:
    write(book, "order Fern Hollow 30 strawflower dry by 6-25", "order Ann 20 strawflower dry by 6-30")
    assert "14 strawflower dry would be short for Fern Hollow" in refused(book, "pick O002")
    write(book, "pick O001")
    assert book.complete("pick O002").says == "pick for O002 Ann: 6 L001 in box 7; short 14 strawflower dry"


def test_pieces_are_kept_for_who_ordered_them(book: Session) -> None:
    write(book, "order Fern Hollow 2 posy by 6-30", "order Ann 1 posy by 6-30")
    assert "2 posy of these are promised to Fern Hollow (O001, 30 Jun)" in refused(book, "sold 2 M001 to Ann")
    write(book, "pick O001")


def test_fresh_stems_are_not_kept_for_a_day_they_do_not_live_to(book: Session) -> None:
    write(book, "order Fern Hollow 30 zinnia fresh by 7-20", "sold 25 L002 to Ann")


def test_old_books_and_farms_without_orders_ask_nothing(book: Session) -> None:
    write(book, "sold 36 L001 to Ann", "sold 30 L002 to Ann")


def test_pieces_that_are_ordered_may_be_made(book: Session) -> None:
    """Of 36 stems 6 go into the three posies that Bride Ann still wants; 30 are left for Fern Hollow."""
    write(book, "order Bride Ann 5 posy by 6-30", "order Fern Hollow 30 strawflower dry by 7-10")
    written = write(book, "make 3 posy O001")
    assert "note" not in [entry.kind for entry in written.entries]
    assert "'pick O001' sets them aside for Bride Ann" in written.remarks
    assert "2 strawflower dry would be short for Fern Hollow (O002, 10 Jul)" in refused(book, "make 1 posy")


def test_of_pieces_that_are_ordered_what_is_short_is_the_others(book: Session) -> None:
    write(book, "order Fern Hollow 34 strawflower dry by 6-26", "order Bride Ann 5 posy by 6-30")
    says = refused(book, "make 3 posy")
    assert says.startswith("4 strawflower dry would be short for Fern Hollow (O001, 26 Jun)")
    assert "Fern Hollow asks for no posy" in refused(book, "make 3 posy O001")


def test_pieces_that_would_be_short_are_counted_as_pieces_not_by_the_stems_held_for_them(
    book: Session,
) -> None:
    """Of 36 stems 30 go into three wreaths of ten; with 25 gone 11 are left, which is one."""
    write(book, "recipe ring wreath: 10 dry any", "order Bride Ann 3 ring by 6-30")
    says = refused(book, "sold 25 L001 to Lane")
    assert says.startswith("2 ring would be short for Bride Ann"), says
