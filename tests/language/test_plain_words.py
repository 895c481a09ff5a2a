"""Words anybody would use: dozens, last Tuesday, half of a tray, two trays; a buyer called as a word of ours."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from core.book.entry import Draft
from core.language.guide import answers
from core.language.read import Reading, read_line
from core.problems import Problem
from core.session import Session
from tests.farms import TODAY, farm_in, guide_farm, write


def drafts(line: str) -> tuple[Draft, ...]:
    reading = read_line(line, guide_farm(), TODAY)
    assert isinstance(reading, Reading), f"{line}: {reading}"
    return reading.drafts


@pytest.mark.parametrize(
    ("line", "field", "number"),
    [
        ("sold 2 dozen L041 to corner florist", "stems", 24),
        ("2 dozen strawflower b3 dry", "stems", 24),
        ("1/2 dozen strawflower b3 dry", "stems", 6),
        ("sow 3 dozen zinnia", "cells", 36),
        ("lost 1 dozen stems mold L041", "count", 12),
    ],
)
def test_a_dozen_is_twelve(line: str, field: str, number: int) -> None:
    assert drafts(line)[0].fields[field] == number


def test_dozens_of_bunches_are_bunches() -> None:
    assert drafts("order Lane 2 dozen bunches of 10 zinnia fresh by 8-1")[1].fields["count"] == 240


@pytest.mark.parametrize(
    ("said", "day"),
    [("last monday", "2026-06-22"), ("last tuesday", "2026-06-16"), ("on last sat", "2026-06-20")],
)
def test_last_tuesday_is_the_one_gone_by(said: str, day: str) -> None:
    """It is a Tuesday."""
    assert {draft.on for draft in drafts(f"30 strawflower b3 dry {said}")} == {day}


def test_last_before_a_frost_is_no_day() -> None:
    assert drafts("last frost 14 may")[0].fields["month_day"] == "05-14"


def test_a_tray_stepped_today_stays_and_the_other_is_stepped(tmp_path: Path) -> None:
    book = farm_in(
        tmp_path / "trays", {"2026-05-01": ("sow 72 zinnia", "sow 72 cosmos"), "2026-06-01": ("step S01",)}
    )
    written = write(book, "step S01 S02")
    assert [entry.fields["tray"] for entry in written.entries] == ["S02"]
    assert "S01 had its step today" in written.remarks


@pytest.mark.parametrize(
    ("line", "plants"),
    [("set out half of S12 b5", 36), ("set out the rest of S12 b5", 72), ("set out S12 b5 30", 30)],
)
def test_a_half_and_the_rest_of_a_tray(line: str, plants: int) -> None:
    (draft,) = drafts(line)
    assert draft.fields["plants"] == plants


def test_a_half_is_potted_on_too() -> None:
    assert drafts("pot half of S12 50s")[0].fields["count"] == 36


def test_two_trays_are_set_out_in_one_line(tmp_path: Path) -> None:
    days = {"2026-05-01": ("bed a2 50ft", "sow 30 zinnia", "sow 20 cosmos"), "2026-06-01": ()}
    book = farm_in(tmp_path / "two", days)
    written = write(book, "set out S01 S02 a2")
    assert [(e.fields["planting"], e.fields["tray"], e.fields["plants"]) for e in written.entries] == [
        ("P01", "S01", 30),
        ("P02", "S02", 20),
    ]
    assert book.check() == []
    write(book, "undo")
    assert isinstance(book.write("set out S01 S02 a2 20 plants"), Problem)


def test_what_is_given_away_is_told_by_help() -> None:
    for word in ("donate", "donated", "donation"):
        found = answers(word)
        assert isinstance(found, Problem) and "used 10 L041 for a gift" in found.sentence


# a buyer called as a word of ours


@pytest.fixture
def shop(tmp_path: Path) -> Session:
    days = {
        "2026-06-01": ("bed b1 50ft", "plant zinnia b1 20ft", "30 zinnia b1 fresh"),
        "2026-06-02": ("order Farm Shop 8 zinnia fresh at 1 by 6-3",),
    }
    return farm_in(tmp_path / "shop", days)


def test_a_name_after_order_may_begin_with_a_word_of_ours(shop: Session) -> None:
    (order,) = shop.farm.orders.all()
    assert order.buyer == "Farm Shop"
    assert isinstance(shop.write("order cut 40 zinnia fresh by 6-10"), Problem)
    assert isinstance(shop.write("order fresh zinnia 40 by 6-10"), Problem)


@pytest.mark.parametrize(
    ("line", "field", "value"),
    [
        ("Farm Shop paid 5", "who", "Farm Shop"),
        ("paid farm shop 5", "who", "Farm Shop"),
        ("order farm shop 5 zinnia fresh by 6-11", "buyer", "Farm Shop"),
        ("pick Farm Shop", "order", "O001"),
        ("sold 5 L001 to Farm Shop", "who", "Farm Shop"),
        ("note Farm Shop is shut on monday", "text", "Farm Shop is shut on monday"),
    ],
)
def test_a_buyer_on_record_is_known_by_that_name(shop: Session, line: str, field: str, value: Any) -> None:
    assert write(shop, line).entries[0].fields[field] == value


def test_a_setting_of_the_farm_is_still_one(shop: Session) -> None:
    write(shop, "farm words british")
    assert shop.farm.settings.words == "british"
