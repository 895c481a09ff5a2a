"""More left than there was, on two machines apart: a count of what is really there says so and settles it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.book.book import Book
from core.book.entry import Draft
from core.problems import Problem
from core.session import Session, Written
from tests.farms import farm_in, write

DAY = date(2026, 6, 23)
CUT = {
    "2026-06-22": ("farm zone UTC", "bed b1 50ft", "plant peony b1 20ft", "40 peony b1 dry"),
    "2026-06-23": ("hang 20 L001 line 1", "sold 15 L001 bucket to market"),
}
"""5 in the bucket, 20 on line 1."""


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Another machine sold 15 more out of the bucket: 10 fewer than none are there."""
    folder = farm_in(tmp_path / "farm", CUT).folder
    there = Book.open(folder, device="netbook")
    there.append([_sold(15, "bucket")], by="jo")
    there.close()
    return Session.open(folder, by="jm", on=DAY)


def _sold(stems: int, source: str) -> Draft:
    return Draft("sold", DAY.isoformat(), {"lot": "L001", "stems": stems, "source": source})


def _places(session: Session) -> dict[str, int]:
    lot = session.farm.lots.get("L001")
    assert lot is not None
    return {str(place): held.stems for place, held in lot.holdings.items()}


def _refused(session: Session, line: str) -> str:
    refused = session.write(line)
    assert isinstance(refused, Problem), refused
    return refused.sentence


def test_it_asks_which_place_was_counted_and_takes_no_stems_from_another(session: Session) -> None:
    assert _places(session) == {"bucket": -10, "line 1": 20} and len(session.check()) == 1
    said = _refused(session, "count 0 L001")
    assert "10 stems too few in the bucket" in said and "20 stems on line 1" in said and "which place" in said
    written = write(session, "count 0 L001 bucket")
    assert "10 more had left the bucket than it held" in written.remarks[0]
    assert _places(session) == {"line 1": 20} and session.check() == []


def test_where_one_place_lacks_what_another_has_it_can_still_be_settled(session: Session) -> None:
    book = Book.open(session.folder)
    book.append([_sold(10, "line 1")], by="jo")  # 10 on the line, 10 too few in the bucket: none in all
    session.refresh()
    assert _places(session) == {"bucket": -10, "line 1": 10} and len(session.check()) == 1
    again = Session.open(session.folder, by="jm", on=DAY)
    for line in ("count 0 L001 bucket", "count 4 L001 line 1"):
        assert isinstance(again.write(line), Written)
    assert _places(again) == {"line 1": 4} and again.check() == []


def test_one_place_alone_needs_no_name_and_odd_numbers_are_as_good(session: Session) -> None:
    write(session, "count 0 L001 line 1")
    book = Book.open(session.folder)
    book.append([_sold(7, "bucket")], by="jo")
    session.refresh()
    assert _places(session) == {"bucket": -17}
    written = write(session, "count 3 L001")
    assert "17 more had left the bucket" in written.remarks[0]
    assert _places(session) == {"bucket": 3} and session.check() == []


def test_stems_are_found_where_the_book_has_none_left(session: Session) -> None:
    write(session, "count 0 L001 bucket")
    write(session, "count 0 L001 line 1")
    assert _places(session) == {}
    assert "add the place" in _refused(session, "count 5 L001")
    write(session, "count 5 L001 bucket")
    assert _places(session) == {"bucket": 5} and session.check() == []


def test_with_nothing_anywhere_a_count_of_none_says_what_it_needs(session: Session) -> None:
    write(session, "count 0 L001 bucket")
    write(session, "count 0 L001 line 1")
    assert "The book has none left" in _refused(session, "count 0 L001")
