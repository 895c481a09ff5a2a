"""Pieces need supplies as well as stems: where those are short, no piece is promised as sure."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.problems import Problem
from core.promising.answer import Answer
from core.promising.telephone import ask
from core.session import Session
from tests.farms import farm_in, write

DAYS = {
    "2026-06-01": ("bed b1 50ft", "plant strawflower b1 20ft"),
    "2026-06-10": ("90 strawflower b1 dry", "hang L001 line 1"),
    "2026-06-20": ("snap L001", "box L001 9x10 box 7"),
    "2026-06-23": (
        "recipe posy bouquet 10min: 2 dry straw, 1 sleeve",
        "bought 10 sleeve",
        "order Ann 6 posy by 7-1",
    ),
}


@pytest.fixture
def book(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "shed", DAYS)


def answer(book: Session, text: str) -> Answer:
    found = ask(book.farm, book.today, text)
    assert not isinstance(found, Problem), found
    return found[0].answer


def test_supplies_that_others_need_are_not_promised_twice(book: Session) -> None:
    assert answer(book, "4 posy by 7-3").answer == "surely"
    five = answer(book, "5 posy by 7-3")
    assert five.answer == "likely" and five.why.endswith("supplies are short: buy 1 sleeve")
    write(book, "bought 1 sleeve")
    assert answer(book, "5 posy by 7-3").answer == "surely"


def test_what_is_made_already_needs_none(book: Session) -> None:
    write(book, "make 10 posy")
    assert answer(book, "4 posy by 7-3").answer == "surely"
    assert "buy 1 sleeve" in answer(book, "5 posy by 7-3").why


def test_a_supply_that_is_not_counted_limits_nothing(book: Session) -> None:
    write(book, "recipe nosegay bouquet 10min: 2 dry straw, 1 pin")
    assert answer(book, "5 nosegay by 7-3").answer == "surely"
