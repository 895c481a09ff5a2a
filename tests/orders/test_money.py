"""Prices, what sales come to, and what was taken: in whole cents, none lost and none made."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.orders.takings import BY, OpenSum, open_sums, takings
from core.problems import Problem
from core.session import Session
from tests.farms import farm_in, write
from tests.shell import Shell

DAYS = {
    "2026-06-01": ("bed b1 50ft", "bed b2 40ft", "plant strawflower b1 20ft", "plant zinnia b2 20ft"),
    "2026-06-10": ("40 strawflower b1 dry 20min", "hang L001 line 1"),
    "2026-06-20": (
        "snap L001",
        "box L001 4x10 box 7",
        "recipe posy bouquet: 2 dry straw",
        "make 2 posy 30min",
    ),
    "2026-06-22": ("20 zinnia b2 fresh 12min",),
    "2026-06-23": (
        "30 zinnia b2 fresh",
        "price strawflower dry 9 a bunch",
        "price strawflower dry 8 a bunch for Fern Hollow",
        "price posy 12.50",
        "price zinnia fresh 0.45 a stem",
    ),
}


@pytest.fixture
def book(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "shed", DAYS)


def cents(book: Session, line: str) -> list[int]:
    """What the sales of a line come to."""
    return [entry.fields["cents"] for entry in write(book, line).entries if "cents" in entry.fields]


def test_a_sale_without_a_price_goes_by_the_list_and_a_buyer_may_have_her_own(book: Session) -> None:
    assert cents(book, "sold 1 bu L001 to corner florist") == [900]
    assert cents(book, "sold 1 bu L001 to Fern Hollow") == [800]
    assert cents(book, "sold 1 M001 to corner florist") == [1250]
    assert cents(book, "sold 10 L002") == [450]
    assert cents(book, "sold 3 L001") == [], "no whole bunch, and no price of a stem"


def test_a_price_in_the_line_stands_before_the_list(book: Session) -> None:
    assert cents(book, "sold 1 bu L001 at 10") == [1000]
    assert cents(book, "sold 5 L002 to Ann at 2") == [1000]
    assert cents(book, "sold 5 L002 to Ann for 7.77") == [777]


def test_what_two_lots_come_to_is_what_was_said(book: Session) -> None:
    assert cents(book, "sold 33 zinnia for 10") == [606, 394]
    assert sum(cents(book, "sold 7 zinnia for 0.05")) == 5


def test_an_order_takes_its_price_from_the_list_and_keeps_it(book: Session) -> None:
    write(book, "order Fern Hollow 2 bu strawflower dry, 1 posy, 10 zinnia fresh by 6-25")
    found = book.farm.orders.get("O001")
    assert found is not None and [item.cents for item in found.items] == [800, 1250, 45]
    write(book, "price zinnia fresh 0.60 a stem", "price posy 0")
    again = book.farm.orders.get("O001")
    assert again is not None and again.price == 1600 + 1250 + 450
    assert cents(book, "sold 1 M001 to Ann") == []


def test_what_was_taken_is_the_same_sum_by_whatever_it_is_told(book: Session) -> None:
    write(
        book,
        "sold 1 bu L001 to corner florist",
        "sold 10 L002 to market at 0.50",
        "sold 1 M001 to Ann",
        "sold 2 L002",
    )
    write(
        book,
        "order Fern Hollow 1 bu strawflower dry, 7 zinnia fresh by 6-25",
        "pick O001",
        "handed over O001",
    )
    sums = {by: sum(row.cents for row in takings(book.farm, by)) for by in BY}
    assert set(sums.values()) == {900 + 500 + 1250 + 90 + 800 + 315}
    assert takings(book.farm, "crop", 2025) == []
    by_crop = {row.of: (row.stems, row.pieces, row.cents) for row in takings(book.farm, "crop")}
    assert by_crop == {"strawflower": (20, 0, 1700), "zinnia": (19, 0, 905), "posy": (0, 1, 1250)}
    by_bed = {row.of: row.cents_per_foot for row in takings(book.farm, "bed")}
    assert by_bed == {"b1": 34, "b2": 23, "pieces": None}
    outlets = {row.of: row.cents for row in takings(book.farm, "outlet")}
    assert outlets == {"direct": 900 + 1250 + 90, "orders": 1115, "market": 500}


def test_an_hour_counts_only_what_was_timed(book: Session) -> None:
    write(book, "sold 2 bu L001 to Ann at 9", "sold 10 L003 to Ann at 1")
    rows = {row.of: row for row in takings(book.farm, "hour")}
    straw = rows["strawflower"]
    assert straw.hours == pytest.approx(20 / 60 * 20 / 40, abs=0.01) and straw.cents_per_hour == 10_800
    assert rows["zinnia"].cents_per_hour is None and rows["zinnia"].cents == 1000


def test_a_market_without_prices_shares_out_what_it_made(book: Session) -> None:
    write(
        book,
        "price zinnia fresh 0",
        "price strawflower dry 0",
        "order market 20 zinnia fresh, 10 strawflower dry by 6-24",
    )
    write(book, "pick O001", "back 5 zinnia O001", "handed over O001", "paid O001 50")
    sold = {row.of: (row.stems, row.cents, row.unpriced) for row in takings(book.farm, "crop")}
    assert sold == {"zinnia": (15, 3000, 0), "strawflower": (10, 2000, 0)}
    assert [row.of for row in takings(book.farm, "outlet")] == ["market"]


def test_who_owes_what_is_told_until_it_is_paid(book: Session) -> None:
    write(
        book,
        "order Ann 10 zinnia fresh at 1 by 6-24",
        "handed over O001",
        "order Ann 1 posy by 6-24",
        "handed over O002",
    )
    assert open_sums(book.farm) == [OpenSum("Ann", 2250, ("O001", "O002"))]
    write(book, "paid Ann 15")
    assert open_sums(book.farm) == [OpenSum("Ann", 750, ("O002",))]
    answer = book.write("paid Ann 15")
    assert isinstance(answer, Problem) and "come to 7.50, and 15.00" in answer.sentence


def test_what_a_sale_came_to_is_corrected(book: Session) -> None:
    entry = write(book, "sold 5 L002 to Ann for 7").entries[0]
    write(book, f"{entry.id[-8:]} was for 9.50")
    assert [row.cents for row in takings(book.farm, "buyer")] == [950]


def test_takings_are_printed_and_told_as_data(book: Session, capsys: pytest.CaptureFixture[str]) -> None:
    write(book, "sold 1 bu L001 to Ann", "order Ann 10 zinnia fresh at 1 by 6-24", "handed over O001")
    book.close()
    shell = Shell(book.folder, capsys, "2026-06-23")
    assert shell.json("takings", "--by", "crop", "--year", "2026")["rows"][0] == {
        "of": "zinnia",
        "stems": 10,
        "pieces": 0,
        "cents": 1000,
        "unpriced": 0,
        "feet": None,
        "cents_per_foot": None,
        "hours": 0.1,
        "cents_per_hour": 10000,
        "tubers": 0,
        "spent": 0,
    }
    page = shell.text("takings", "--by", "bed")
    assert "19.00 in all" in page and "Ann" in page and "10.00  O001" in page


def test_a_deposit_is_asked_for_until_it_is_paid_and_counts_at_the_handing_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-23")
    shell.begin(DAYS)
    shell.write("order Bride Ann 30 zinnia fresh at 2 by 6-25 deposit 20")
    assert "60.00 in all, deposit 20.00 not yet paid" in shell.text("order", "O001")
    assert "30 to pick, deposit due" in shell.text("orders", most=90)
    assert "deposit 20.00 not yet paid" in shell.text("today", most=90)
    said = shell.write("paid O001 5")
    assert "of the deposit 20.00 not yet paid: 15.00" in shell.text("order", "O001")
    said = shell.write("deposit O001")
    assert said["entries"][0]["kind"] == "paid" and said["entries"][0]["cents"] == 1500
    assert "deposit" not in shell.text("orders", most=90) + shell.text("today", most=90)
    said = shell.write("handed over O001")
    assert any(
        "it comes to 60.00, 20.00 of it was paid ahead: still to pay 40.00" in one for one in said["remarks"]
    )
    shell.write("paid O001 40")
    assert "owe" not in shell.text("order", "O001")


def test_a_deposit_is_paid_by_its_own_word_and_said_where_it_never_came(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-23")
    shell.begin(DAYS)
    shell.write("order Bride Ann 30 zinnia fresh at 2 by 6-25 deposit 20")
    shell.write("order Lou 5 zinnia fresh at 2 by 9-30 deposit 4")
    assert "Lou" not in shell.text("today", most=90), "it is more than three weeks ahead"
    said = shell.write("deposit O002 4")
    assert (said["entries"][0]["kind"], said["entries"][0]["cents"]) == ("paid", 400)
    remarks = shell.write("handed over O001")["remarks"]
    assert any("deposit 20.00 not yet paid: still to pay 60.00" in one for one in remarks)


def test_a_deposit_that_was_agreed_is_not_too_much(tmp_path: Path) -> None:
    """Nine things without a price and one of 10.00: what the wedding comes to nobody knows yet."""
    days = {
        "2026-06-01": ("order wedding 40 zinnia fresh, 12 larkspur fresh at 1 by 9-19 deposit 100",),
        "2026-06-02": ("order Ann 10 zinnia fresh at 1 by 9-19 deposit 50",),
    }
    for line in ("paid O001 100", "paid wedding 100", "paid O001 130", "paid O002 50", "paid Ann 50"):
        book = farm_in(tmp_path / line.replace(" ", "-"), days)
        write(book, line)
        book.close()
    book = farm_in(tmp_path / "more", days)
    for line, why in (("paid O002 51", "comes to 10.00"), ("paid Ann 51", "come to")):
        answer = book.write(line)
        assert isinstance(answer, Problem) and why in answer.sentence, line
