"""What was sold over the counter and comes back: stems on hand again, the money taken off, only from who bought it."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.farm import Lot
from core.orders.takings import takings
from core.places import BUCKET, Place
from core.session import Session
from core.stems.rows import balance
from tests.farms import farm_in, refused, write

DAYS = {
    "2026-06-01": ("bed b1 50ft", "bed b2 50ft", "plant zinnia b1 20ft", "plant strawflower b2 20ft"),
    "2026-06-02": ("60 strawflower b2 dry", "hang L001 line 1"),
    "2026-06-22": (
        "40 zinnia b1 fresh",
        "snap L001",
        "box L001 6x10 box 7",
        "sold 25 L002 to Ada Lane for 10",
        "sold 15 L002 to Bo Hill for 9",
        "sold 20 L001 to Ada Lane",
    ),
    "2026-06-23": (),
}


@pytest.fixture
def book(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "shed", DAYS)


def made(book: Session) -> dict[str, int]:
    return {row.of: row.cents for row in takings(book.farm, "buyer")}


def lot(book: Session, code: str) -> Lot:
    found = book.farm.lots.get(code)
    assert found is not None
    return found


@pytest.mark.parametrize(
    "line", ["back 10 L002 from Ada Lane", "back 10 from ada lane L002", "back 10 zinnia from Ada"]
)
def test_stems_are_on_hand_again_and_their_money_is_given_back(book: Session, line: str) -> None:
    (entry,) = write(book, line).entries
    assert (entry.kind, entry.fields["cents"], entry.fields["place"]) == ("sale returned", 400, "bucket")
    back = lot(book, "L002")
    assert (back.sold, back.holdings[BUCKET].stems) == (30, 10)
    assert balance(back).adds_up and book.check() == []
    assert made(book) == {"Ada Lane": 600, "Bo Hill": 900}
    write(book, "undo")
    assert lot(book, "L002").sold == 40 and made(book)["Ada Lane"] == 1000


def test_all_of_it_in_two_goes_gives_back_every_cent(book: Session) -> None:
    write(book, "back 7 L002 from Bo Hill", "back 8 L002 from Bo Hill")
    assert made(book)["Ada Lane"] == 1000 and made(book).get("Bo Hill", 0) == 0


def test_dry_stems_go_back_to_their_box(book: Session) -> None:
    (entry,) = write(book, "back 1 bu L001 from Ada Lane").entries
    assert (entry.fields["place"], entry.fields["stems"], entry.fields.get("cents")) == ("box 7", 10, None)
    assert lot(book, "L001").holdings[Place("box 7")].stems == 50
    assert book.check() == []


def test_only_who_bought_it_can_give_it_back(book: Session) -> None:
    assert "bought 25 of L002" in refused(book, "back 26 L002 from Ada Lane")
    assert "bought none of L001" in refused(book, "back 5 L001 from Bo Hill")
    write(book, "back 25 L002 from Ada Lane")
    assert "bought none of L002" in refused(book, "back 1 L002 from Ada Lane")
    assert "How many" in refused(book, "back L002 from Bo Hill")
    assert "line 1" in refused(book, "back 5 L001 from Ada Lane line 1")


def test_what_went_on_an_order_is_still_named_by_its_order(book: Session) -> None:
    write(book, "30 zinnia b1 fresh", "order Cy 10 zinnia fresh at 1 by 6-23", "handed over O001")
    assert "back 5 zinnia O001" in refused(book, "back 5 zinnia from Cy")
    write(book, "back 5 zinnia O001")
