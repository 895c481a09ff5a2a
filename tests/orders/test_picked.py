"""Picked, short, put back, handed over and paid: stems and money stay what they are."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.book.entry import Draft
from core.order_rows import Order
from core.problems import Problem
from core.promising.open_claims import open_claims
from core.session import Session
from core.stems.rows import balance
from tests.farms import farm_in, refused, write

DAYS = {
    "2026-06-01": ("bed b1 50ft", "bed b2 50ft", "plant strawflower b1 20ft", "plant zinnia b2 20ft"),
    "2026-06-10": ("40 strawflower b1 dry", "hang L001 line 1"),
    "2026-06-12": ("60 strawflower b1 dry", "hang L002 line 2"),
    "2026-06-20": (
        "snap L001",
        "box L001 4x10 box 7",
        "recipe posy bouquet: 2 dry straw",
        "make 2 posy",
    ),
    "2026-06-22": ("20 zinnia b2 fresh",),
    "2026-06-23": (
        "30 zinnia b2 fresh",
        "order Fern Hollow 5x10 strawflower dry at 9, 3 posy at 12.50, 45 zinnia at 0.45 by 06-24",
    ),
}


@pytest.fixture
def book(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "shed", DAYS)


def order(book: Session) -> Order:
    found = book.farm.orders.get("O001")
    assert found is not None
    return found


def stands(book: Session) -> dict[str, tuple[int, int, int, int]]:
    """Item -> (asked, picked, short, handed over)."""
    tallies = order(book).tallies()
    return {item.name: tuple(tallies[item.id, 1])[:4] for item in order(book).items}  # type: ignore[misc]


def adds_up(book: Session) -> bool:
    return all(balance(lot).adds_up for lot in book.farm.lots.all()) and book.check() == []


def test_a_pick_takes_what_expires_first_and_says_from_where(book: Session) -> None:
    says = book.complete("pick O001 zinnia").says
    assert says == "pick for O001 Fern Hollow: 20 L003 in the bucket, 25 L004 in the bucket"
    written = write(book, "pick O001")
    assert "still open: 1 bu and 4 strawflower dry, 1 posy" in written.remarks
    assert stands(book) == {"strawflower": (50, 36, 0, 0), "posy": (3, 2, 0, 0), "zinnia": (45, 45, 0, 0)}
    assert refused(book, "pick O001 zinnia").startswith("All of the zinnia for O001 is picked") and adds_up(
        book
    )


def test_what_hangs_is_picked_once_it_has_snapped(book: Session) -> None:
    write(book, "pick O001")
    assert "L002 on line 2 hangs and has not snapped" in refused(book, "pick O001 strawflower")
    write(book, "snap L002")
    assert "pick 14 O001 L002" and "14" in book.complete("pick O001 strawflower").says.replace(
        "1 bu and 4", "14"
    )
    write(book, "pick O001 strawflower")
    lot = book.farm.lots.get("L002")
    assert lot is not None
    assert {str(place): (held.stems, held.form) for place, held in lot.holdings.items()} == {
        "line 2": (46, "hanging"),
        "for O001": (14, "dry"),
    }
    assert adds_up(book)


def test_each_lot_may_be_named_and_more_than_there_is_or_was_ordered_is_asked_about(book: Session) -> None:
    write(book, "pick 26 O001 L004")
    assert "4 L004 in the bucket" in refused(book, "pick 5 O001 L004")
    assert "asks for 45 zinnia" in refused(book, "pick 20 O001 L003")
    write(book, "pick 19 O001 L003")
    assert stands(book)["zinnia"] == (45, 45, 0, 0)


def test_what_is_picked_goes_to_nobody_else(book: Session) -> None:
    write(book, "pick O001")
    assert "more than there is" in refused(book, "sold 6 L004 to market")
    write(book, "sold 5 L004 to market")
    assert "nothing left" in refused(book, "sold 1 M001 to market")
    assert "handed over O001" in refused(book, "sold 5 L003 to market")


def test_short_closes_what_will_not_be_there(book: Session) -> None:
    write(book, "pick O001")
    assert "cannot be short" in refused(book, "short 15 strawflower O001")
    write(book, "short 14 strawflower O001 mold", "short O001")
    assert stands(book)["strawflower"] == (50, 36, 14, 0) and stands(book)["posy"] == (3, 2, 1, 0)
    assert "Nothing is open" in refused(book, "short O001")


def test_what_is_handed_over_is_sold_and_comes_to_its_price(book: Session) -> None:
    write(book, "pick O001", "short O001", "packed O001")
    written = write(book, "handed over O001")
    assert order(book).taken == 36 * 90 + 2 * 1250 + 45 * 45
    assert any("77.65" in remark for remark in written.remarks)
    sold = {lot.code: lot.sold for lot in book.farm.lots.all() if lot.sold}
    assert sold == {"L001": 36, "L003": 20, "L004": 25} and adds_up(book)
    assert "handed over already" in refused(book, "handed over O001")
    assert order(book).is_live and order(book).owed == 7765
    write(book, "paid O001 50")
    write(book, "paid Fern Hollow")
    assert order(book).owed == 0 and not order(book).is_live


def test_a_price_that_does_not_divide_is_rounded_once_for_all_lots_of_an_item(book: Session) -> None:
    write(book, "cancel O001")
    write(book, "order Ann 9 bu of 3 zinnia fresh at 0.50 by 06-24", "pick O002", "handed over O002")
    found = book.farm.orders.get("O002")
    assert found is not None
    assert len(found.handed) == 2 and found.taken == 9 * 50


def test_handed_over_at_once_takes_what_would_be_picked(book: Session) -> None:
    write(book, "drop O001 posy")
    written = write(book, "handed over O001")
    assert any("still open: 1 bu and 4 strawflower dry" in remark for remark in written.remarks)
    assert stands(book)["strawflower"] == (50, 36, 0, 36) and adds_up(book)


def test_what_was_picked_goes_back_to_where_it_came_from(book: Session) -> None:
    before = {lot.code: dict(lot.holdings) for lot in book.farm.lots.all()}
    write(book, "pick O001")
    write(book, "back 5 L004 O001")
    assert stands(book)["zinnia"] == (45, 40, 0, 0)
    write(book, "back O001")
    assert {lot.code: dict(lot.holdings) for lot in book.farm.lots.all()} == before
    write(book, "pick O001", "cancel O001")
    assert {lot.code: dict(lot.holdings) for lot in book.farm.lots.all()} == before
    assert adds_up(book) and not order(book).is_live


def test_a_pick_is_undone_and_what_rests_on_it_keeps_it(book: Session) -> None:
    write(book, "pick O001 zinnia", "handed over O001")
    pick = next(e for e in book.entries() if e.kind == "picked")
    answer = book.strike(pick.id)
    assert isinstance(answer, Problem) and "cannot be taken back before" in answer.sentence
    write(book, "undo", "undo")
    assert stands(book)["zinnia"] == (45, 0, 0, 0) and adds_up(book)


def test_money_ahead_is_no_debt_and_more_than_all_of_it_is_asked_about(book: Session) -> None:
    write(book, "paid O001 40 deposit")
    assert order(book).owed == -4000
    assert "comes to 102.75" in refused(book, "paid O001 90")
    assert "come to 62.75, and 90.00" in refused(book, "paid Fern Hollow 90")
    assert "nothing is owed yet" in refused(book, "paid O001")
    write(book, "paid O001 90 anyway")
    payment = next(e for e in book.entries() if e.kind == "paid")
    write(book, f"{payment.id[-8:]} was 45")
    assert order(book).paid == 13_500


def test_what_has_little_left_goes_last_and_only_at_once_and_is_told(tmp_path: Path) -> None:
    days = {
        "2026-06-01": ("bed b2 50ft", "plant zinnia b2 20ft"),
        "2026-06-21": ("20 zinnia b2 fresh",),
        "2026-06-23": (
            "20 zinnia b2 fresh",
            "order Lane 30 zinnia fresh by 6-23",
            "order Ann 5 zinnia by 6-25",
        ),
    }
    book = farm_in(tmp_path / "old", days)
    assert refused(book, "pick O001").startswith("5 zinnia fresh would be short for Ann"), (
        "the old ones are none for her"
    )
    written = write(book, "pick O001 anyway")
    picked = [e for e in written.entries if e.kind == "picked"]
    assert [(e.fields["lot"], e.fields["stems"]) for e in picked] == [("L002", 20), ("L001", 10)]
    assert any(
        "L001 in the bucket has less left than a buyer needs: look at it" in r for r in written.remarks
    )
    assert "L001 in the bucket has less left than a buyer needs by 25 Jun" in refused(book, "pick O002")


def test_an_order_is_named_by_its_buyer_as_well(book: Session) -> None:
    write(book, "order Lane 5 zinnia by 06-24", "order Hill Table 5 zinnia by 06-30")
    assert "O002" in {d.fields["order"] for d in drafts(book, "pick lane anyway")}
    assert "O001" in {d.fields["order"] for d in drafts(book, "pick Fern anyway")}
    for line in ("handed over Fern anyway", "packed Fern Hollow", "short Hill"):
        assert {d.fields["order"] for d in drafts(book, line)} <= {"O001", "O003"}, line
    write(book, "order Fern Hollow 5 zinnia by 06-30")
    assert {d.fields["order"] for d in drafts(book, "packed fern")} == {"O001"}, "what is due first"
    assert drafts(book, "pick 5 zinnia b2 fresh")[0].kind == "cut"


def drafts(book: Session, line: str) -> tuple[Draft, ...]:
    read = book.understood(line)
    assert not isinstance(read, Problem), f"{line}: {read.sentence}"
    return read.drafts


def test_what_is_long_overdue_keeps_no_stems_and_is_closed_in_one_line(tmp_path: Path) -> None:
    days = {
        "2026-06-01": (
            "bed b2 50ft",
            "plant zinnia b2 20ft",
            "order Lane 20 zinnia fresh weekly from 6-3 to 6-24",
        ),
        "2026-06-23": ("20 zinnia b2 fresh", "order Ann 20 zinnia fresh by 6-23"),
    }
    book = farm_in(tmp_path / "late", days)
    assert [(c.order, c.due.day) for c in open_claims(book.farm, book.today)] == [("O002", 23), ("O001", 24)]
    assert {d.fields.get("delivery", 1) for d in drafts(book, "short O001")} == {1}
    assert drafts(book, "short all lane") == drafts(book, "short all O001")
    write(book, "short all O001")
    found = book.farm.orders.get("O001")
    assert found is not None and found.next_delivery == 4


def test_what_is_handed_over_is_not_cancelled_and_a_market_makes_more_than_its_prices(book: Session) -> None:
    write(book, "order Lane 5 zinnia at 1 by 06-23", "handed over O002")
    assert "what comes back is written as" in refused(book, "cancel O002")
    write(book, "order market 20 zinnia at 1 by 06-23 anyway", "handed over O003 anyway", "paid O003 61.50")


def test_what_was_done_days_ago_is_dated_so(book: Session) -> None:
    book.close()
    book = Session.open(book.folder, by="ml", on=date(2026, 6, 27))
    written = write(book, "handed over O001 6-24 anyway", "paid O001 6/25")
    assert {e.on for e in book.entries() if e.kind == "handed over"} == {"2026-06-24"}
    assert {e.on for e in written.entries} == {"2026-06-25"}
    assert "no such delivery" in refused(book, "packed O001 6-29")


def test_heads_on_wire_are_no_bunches_though_they_lie_in_a_box(book: Session) -> None:
    write(book, "20 strawflower b1 wire", "wire 20 L005", "box L005 box 8")
    (wired,) = [lot for lot in book.farm.lots.all() if lot.code == "L005"]
    assert [(place, held.form) for place, held in wired.holdings.items()] == [("box 8", "wired")]
    written = write(book, "pick O001 strawflower")
    assert not any("L005" in said for said in written.says)
    assert "L005 in box 8 is wired" in refused(book, "pick O001 strawflower")
    assert adds_up(book)
