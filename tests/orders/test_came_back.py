"""What comes home: from a buyer who gives some back, and from a market; and the money that goes with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.fresh.rows import fresh_rows
from core.learning.planned import short_rows
from core.order_rows import Order, is_market
from core.orders.rows import order_rows
from core.orders.takings import OpenSum, open_sums, takings
from core.places import BUCKET
from core.problems import Problem
from core.session import Session
from core.stems.rows import unbalanced
from tests.farms import farm_in, refused, write

DAYS = {
    "2026-06-01": ("bed b1 50ft", "bed b2 40ft", "plant strawflower b1 20ft", "plant zinnia b2 20ft"),
    "2026-06-10": ("60 strawflower b1 dry", "hang L001 line 1"),
    "2026-06-20": (
        "snap L001",
        "box L001 6x10 box 7",
        "recipe posy bouquet: 2 dry straw",
        "make 4 posy",
    ),
    "2026-06-22": ("20 zinnia b2 fresh",),
    "2026-06-23": ("30 zinnia b2 fresh",),
}


@pytest.fixture
def book(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "shed", DAYS)


def order(book: Session, code: str = "O001") -> Order:
    found = book.farm.orders.get(code)
    assert found is not None
    return found


def sound(book: Session) -> bool:
    return unbalanced(book.farm) == [] and book.check() == []


def test_five_given_back_the_day_after_are_one_line_and_stock_and_money_are_right(book: Session) -> None:
    write(book, "order Fern Hollow 40 zinnia fresh at 0.50 by 6-23", "handed over O001")
    assert order(book).owed == 2000
    says = book.complete("back 5 zinnia O001").says
    assert says == "back from Fern Hollow, not charged: 5 zinnia, L003 in the bucket"
    (entry,) = write(book, "back 5 zinnia O001").entries
    assert entry.kind == "came back"
    lot = book.farm.lots.get("L003")
    assert lot is not None and lot.holdings[BUCKET].stems == 15 and lot.sold == 15
    assert order(book).owed == 1750 and order(book).price == 1750
    assert [(row.stems, row.cents) for row in takings(book.farm, "crop")] == [(35, 1750)]
    assert [row.open for row in order_rows(book.farm, book.today)] == [0], "it is wanted no more"
    write(book, "paid O001")
    assert order_rows(book.farm, book.today) == [] and sound(book)


def test_what_stood_at_the_buyers_is_no_fresher_for_it(book: Session) -> None:
    def left() -> float:
        row = next(r for r in fresh_rows(book.farm, book.today) if r.lot == "L002")
        assert row.left_days is not None
        return row.left_days[0]

    before = left()
    write(book, "order Fern Hollow 20 zinnia fresh by 6-23", "handed over O001", "back all O001")
    assert left() == before


def test_after_paying_what_comes_back_is_to_be_given_back_or_counts_for_the_next(book: Session) -> None:
    write(book, "order Fern Hollow 40 zinnia fresh at 0.50 by 6-23", "handed over O001", "paid O001")
    write(book, "back 4 zinnia O001")
    assert open_sums(book.farm) == [OpenSum("Fern Hollow", -200, ("O001",))]
    assert [row.status for row in order_rows(book.farm, book.today)] == ["credit"]
    assert "cannot be given back" in refused(book, "refund O001 30")
    write(book, "refund O001")
    assert open_sums(book.farm) == [] and order(book).paid == 1800

    write(book, "undo", "order Fern Hollow 2 posy at 12 by 6-24", "handed over O002")
    assert open_sums(book.farm) == [OpenSum("Fern Hollow", 2200, ("O001", "O002"))]
    says = book.complete("paid Fern").says
    assert says == "Fern Hollow paid 22.00: 24.00 for O002, 2.00 of O001 counted"
    write(book, "paid Fern")
    assert open_sums(book.farm) == [] and order_rows(book.farm, book.today) == []
    assert order(book).paid + order(book, "O002").paid == 2000 + 2200


def test_what_is_told_short_after_paying_is_to_be_given_back(book: Session) -> None:
    write(book, "order Fern Hollow 60 zinnia fresh at 0.50 by 6-23", "paid O001 30", "handed over O001")
    assert open_sums(book.farm) == [], "while ten are to come the money is ahead"
    write(book, "short O001")
    assert open_sums(book.farm) == [OpenSum("Fern Hollow", -500, ("O001",))]


def test_money_given_back_for_what_the_buyer_keeps_is_let_off_and_no_debt(book: Session) -> None:
    write(book, "order Fern Hollow 40 zinnia fresh at 0.50 by 6-23", "handed over O001", "paid O001")
    assert "5.00 let off: what Fern Hollow had comes to 15.00 now" in write(book, "refund O001 5").remarks
    assert open_sums(book.farm) == [] and order_rows(book.farm, book.today) == []
    assert [(row.stems, row.cents) for row in takings(book.farm, "crop")] == [(40, 1500)]
    write(book, "back 10 zinnia O001")
    assert open_sums(book.farm) == [OpenSum("Fern Hollow", -500, ("O001",))], "those ten were paid for"
    write(book, "undo", "undo")
    assert order(book).let_off == 0 and order(book).paid == 2000
    # what was paid ahead is owed again once it is given back
    write(
        book,
        "order Hill Table 5 zinnia fresh at 1 by 6-23",
        "paid O002 5",
        "refund O002 5",
        "handed over O002",
    )
    assert open_sums(book.farm) == [OpenSum("Hill Table", 500, ("O002",))]


def test_what_was_paid_for_an_order_cancelled_is_listed_until_it_is_given_back_or_kept(book: Session) -> None:
    write(book, "order Ann 10 zinnia fresh at 1 by 6-30 deposit 3", "paid O001 3", "cancel O001")
    assert open_sums(book.farm) == [OpenSum("Ann", -300, ("O001",))]
    assert [(row.order, row.status) for row in order_rows(book.farm, book.today)] == [("O001", "credit")]
    for line in ("refund O001", "refund O001 0"):
        write(book, line)
        assert open_sums(book.farm) == [] and order_rows(book.farm, book.today) == [] and sound(book)
        write(book, "undo")
    write(book, "refund O001")
    assert "could be kept" in refused(book, "refund O001 0")


def test_money_by_a_buyers_name_goes_to_the_oldest_then_ahead(book: Session) -> None:
    write(
        book,
        "order Fern Hollow 10 zinnia fresh at 1 by 6-23",
        "handed over O001",
        "order Fern Hollow 2 posy at 12 by 6-24",
        "handed over O002",
        "order Fern Hollow 10 zinnia fresh at 1 by 6-30",
        "order Hill Table 5 zinnia fresh at 1 by 6-30",
    )
    assert book.complete("paid Fern 15").says == "Fern Hollow paid 15.00: 10.00 for O001, 5.00 for O002"
    says = book.complete("paid fern hollow 40").says
    assert says == "Fern Hollow paid 40.00: 10.00 for O001, 24.00 for O002, 6.00 for O003 ahead"
    assert "come to 44.00, and 50.00" in refused(book, "paid Fern Hollow 50")
    write(book, "paid Fern Hollow 40")
    assert [order(book, f"O00{n}").paid for n in (1, 2, 3, 4)] == [1000, 2400, 600, 0]


def test_a_plain_beginning_of_a_name_will_do_wherever_a_buyer_is_named(book: Session) -> None:
    write(book, "order Fern Hollow 10 zinnia fresh at 1 by 6-23", "order Hill Table 5 zinnia by 6-30")
    for line in (
        "order fern 5 zinnia by 6-30",
        "sold 3 L002 to fern",
        "price zinnia fresh 1 a stem for fern",
        "O002 was for fern",
        "paid fern 5",
        "sold 1 M001 to Fe",
    ):
        read = book.understood(line)
        assert not isinstance(read, Problem), read
        said = [draft.fields.get("now", draft.fields) for draft in read.drafts]
        assert "Fern Hollow" in [fields.get("buyer", fields.get("who")) for fields in said], line
    write(book, "order 'Fern Cottage' 5 zinnia by 6-30")
    for line in ("order fern 5 zinnia by 6-30", "sold 5 L002 to fern", "paid fern 5"):
        assert "may be" in refused(book, line) and "Fern Cottage" in refused(book, line)
    write(book, "sold 2 L002 to 'Fern'")


def test_a_new_buyer_whose_name_begins_with_a_known_one_is_offered_in_quotes(book: Session) -> None:
    write(book, "order Rosa 5 zinnia fresh by 6-30")
    says = refused(book, "order Rosa Bakery 5 zinnia fresh by 6-30 at 2")
    assert says.endswith("is written in quotes: order 'Rosa Bakery'.") and "make or back" not in says
    assert "zinnia" in refused(book, "order Rosa zinia 5 fresh by 6-30"), "a slip in the crop is told as such"
    write(book, "order 'Rosa Bakery' 5 zinnia fresh by 6-30 at 2", "order Rosa Bakery 5 zinnia by 7-2")
    write(
        book, "order Rosa 5 zinnia by 7-2", "order Rosa zinnia 5 fresh by 7-3", "order 5 zinnia Rosa by 7-4"
    )
    assert [order(book, f"O00{n}").buyer for n in range(1, 7)] == [
        "Rosa",
        *["Rosa Bakery"] * 2,
        *["Rosa"] * 3,
    ]


def test_a_market_is_over_when_what_was_not_sold_is_home(book: Session) -> None:
    write(book, "order Saturday market 30 zinnia fresh, 20 strawflower dry, 9 posy by 6-23", "pick O001")
    write(book, "back 12 zinnia O001", "back 1 posy O001", "handed over O001")
    assert order(book).is_delivered and order_rows(book.farm, book.today) == []
    tallies = {item.name: order(book).tallies()[item.id, 1] for item in order(book).items}
    assert tallies["zinnia"].handed == 18 and tallies["zinnia"].back == 12
    assert tallies["posy"].handed == 3 and tallies["posy"].short == 5, "nine asked, four made"
    write(book, "paid O001 57.50")
    assert sum(row.cents for row in takings(book.farm, "crop")) == 5750 and open_sums(book.farm) == []
    assert sound(book)


def test_before_its_day_what_is_unloaded_is_wanted_still(book: Session) -> None:
    write(book, "order market 30 zinnia fresh by 6-24", "pick O001", "back 12 O001")
    assert [row.open for row in order_rows(book.farm, book.today)] == [12]


def test_what_was_loaded_and_put_back_before_the_day_came_home_and_is_no_broken_promise(
    book: Session,
) -> None:
    write(book, "order market 30 zinnia fresh, 5 posy by 6-24", "pick O001", "back 12 zinnia O001")
    done = write(book, "pick 4 zinnia O001", "handed over O001")
    assert "loaded 30 zinnia fresh, 8 came home" in done.remarks
    assert order(book).is_delivered and order_rows(book.farm, book.today) == []
    tallies = {item.name: order(book).tallies()[item.id, 1] for item in order(book).items}
    assert (tallies["zinnia"].handed, tallies["zinnia"].back, tallies["zinnia"].short) == (22, 8, 0)
    assert (tallies["posy"].handed, tallies["posy"].short) == (4, 1), "five asked, four made: not loaded"
    assert [(row.of, row.number) for row in short_rows(book.farm)] == [("posy", 1)]
    assert sound(book)
    write(book, "undo", "undo", "undo")
    assert order(book).tallies()[order(book).items[0].id, 1].open == 0 and sound(book)


def test_what_a_market_made_stands_before_its_prices(book: Session) -> None:
    write(book, "order market 20 zinnia fresh at 1, 10 strawflower dry at 2 by 6-23", "handed over O001")
    assert order(book).owed == 4000
    write(book, "paid O001 33")
    assert open_sums(book.farm) == []
    assert {row.of: row.cents for row in takings(book.farm, "crop")} == {"zinnia": 1650, "strawflower": 1650}
    write(book, "back 10 zinnia O001")
    made = {row.of: row.cents for row in takings(book.farm, "crop")}
    assert made == {"zinnia": 1100, "strawflower": 2200}


def test_what_a_market_made_is_taken_whatever_its_prices_come_to(book: Session) -> None:
    write(book, "price zinnia fresh 0.45 a stem", "order market 20 zinnia fresh by 6-23", "pick O001")
    write(book, "handed over O001")
    for line in ("paid O001 240", "paid market 240"):
        write(book, line)
        assert sum(row.cents for row in takings(book.farm, "crop")) == 24000 and open_sums(book.farm) == []
        write(book, "undo")
    write(book, "order market 10 zinnia fresh by 6-30")
    assert book.complete("paid market 240").says == "market paid 240.00 for O001", (
        "that of the next is to come"
    )
    write(book, "handed over O002 anyway")
    assert "Which day of market?" in refused(book, "paid market 240")


def test_which_buyer_is_a_market() -> None:
    assert is_market("market") and is_market("Saturday Market")
    assert is_market("farmers' market in Ely") and is_market("market 2")
    assert not is_market("Market Street Flowers") and not is_market("supermarket")


def test_a_standing_order_takes_back_what_it_had_last(book: Session) -> None:
    write(book, "order Fern Hollow 10 zinnia fresh at 1 weekly from 6-23 to 7-7", "handed over O001")
    (entry,) = write(book, "back 3 zinnia O001").entries
    assert entry.fields.get("delivery", 1) == 1
    assert order_rows(book.farm, book.today)[0].delivery == 2


def test_what_did_not_go_over_cannot_come_back(book: Session) -> None:
    write(book, "order Fern Hollow 10 zinnia fresh at 1 by 6-23")
    assert "Nothing is picked or handed over" in refused(book, "back 3 O001")
    write(book, "handed over O001")
    assert "How much came back" in refused(book, "back O001")
    assert "has 10 of it" in refused(book, "back 11 O001")
    write(book, "back 3 O001")
    over = next(entry for entry in book.entries() if entry.kind == "handed over")
    answer = book.strike(over.id)
    assert isinstance(answer, Problem), "what came back rests on it"
    write(book, "undo", "undo")
    assert order(book).taken == 0 and sound(book)
