"""Orders taken, changed and taken back, as a grower types them and as the book then holds them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from core.fold import fold
from core.order_rows import Order
from core.orders.open_items import Accepted, OpenItem, open_items
from core.orders.rows import order_page, page_lines, slip
from core.problems import Problem
from core.session import Session
from tests.farms import farm_in, refused, small_farm, write

DAY = date(2026, 6, 23)
LAVENDER = "order Fern Hollow 20x10 lavender dry by 10-15 at 9"
WEDDING = "order wedding 120 strawflower dry, 12 corsages, 40 zinnia coral or peach by 09-19 spare 10%"


@pytest.fixture
def book(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "shed", {DAY.isoformat(): ("bed b1 50ft", LAVENDER, WEDDING)})


def order(book: Session, code: str = "O001") -> Order:
    found = book.farm.orders.get(code)
    assert found is not None
    return found


def wanted(book: Session) -> list[tuple[str, str, int, str]]:
    """(buyer, item, how many, day) of all that is still wanted, in its rank."""
    return [
        (o.order.buyer, o.item.name, o.wanted, o.due.isoformat()) for o in open_items(book.farm, book.today)
    ]


def test_an_order_is_whole_cents_stems_and_a_day(book: Session) -> None:
    taken = order(book)
    (item,) = taken.items
    assert (taken.buyer, taken.due_on, taken.price) == ("Fern Hollow", "2026-10-15", 18_000)
    assert (item.crop, item.form, item.number, item.per, item.cents) == ("lavender", "dry", 200, 10, 900)


def test_what_is_still_wanted_stands_by_the_day_then_her_priority_then_the_oldest(book: Session) -> None:
    write(
        book, "order corner florist 30 cosmos fresh by 09-19 priority 1", "order Ann 5 statice dry by 09-19"
    )
    assert [(buyer, what) for buyer, what, *_ in wanted(book)] == [
        ("corner florist", "cosmos"),
        ("wedding", "strawflower"),
        ("wedding", "corsage"),
        ("wedding", "zinnia coral or peach"),
        ("Ann", "statice"),
        ("Fern Hollow", "lavender"),
    ]
    assert [one.rank for one in open_items(book.farm, DAY)] == [*range(6)]


def test_an_open_item_says_what_will_do_in_order_of_liking(book: Session) -> None:
    write(book, "order Ann 20 larkspur blue or white or statice dry by 8-1")
    found: OpenItem = open_items(book.farm, DAY)[0]
    assert found.accepts == (Accepted("larkspur", "blue"), Accepted("larkspur", "white"), Accepted("statice"))
    assert found.takes("larkspur", "Sky Blue") and found.takes("statice", None)
    assert not found.takes("larkspur", "pink") and not found.takes("larkspur", None)


def test_spare_is_told_beside_what_was_promised_and_rounded_up(book: Session) -> None:
    spare = {one.item.name: (one.wanted, one.spare) for one in open_items(book.farm, DAY)}
    assert spare["strawflower"] == (120, 12) and spare["corsage"] == (12, 2) and spare["lavender"] == (200, 0)


def test_a_standing_order_is_wanted_anew_each_week(book: Session) -> None:
    write(book, "order corner florist 3x10 zinnia fresh at 7 weekly from 07-01 to 07-15")
    assert [(n, due) for who, _, n, due in wanted(book) if who == "corner florist"] == [
        (30, "2026-07-01"),
        (30, "2026-07-08"),
        (30, "2026-07-15"),
    ]
    assert order(book, "O003").price == 3 * 3 * 700
    write(book, "order Ann 10 zinnia fresh every 2 weeks from 07-01 for 6 weeks")
    assert [due for who, _, _, due in wanted(book) if who == "Ann"] == [
        "2026-07-01",
        "2026-07-15",
        "2026-07-29",
    ]


def test_the_preview_says_buyer_day_money_and_items_in_one_line(book: Session) -> None:
    says = book.complete("order Fern Hollow 20x10 lavender dry by 10-16 at 9").says
    assert says == "O003 Fern Hollow, by 16 Oct, 180.00: 20 bu lavender dry at 9.00"
    assert "Lane Shop (new), by 1 Mar 2027" in book.complete("order Lane Shop 20 statice dry by 3-1").says


def test_an_order_is_changed_by_its_code_and_nothing_else_moves(book: Session) -> None:
    write(book, "O001 was 30 bu")
    assert order(book).items[0].number == 300 and order(book).price == 27_000
    write(book, "O001 was by 10-20 deposit 50")
    assert (order(book).due_on, order(book).deposit_cents, order(book).items[0].number) == (
        "2026-10-20",
        5_000,
        300,
    )
    write(book, "O001 was at 9.50")
    assert order(book).price == 28_500
    write(book, "O002 was strawflower 150")
    assert [item.number for item in order(book, "O002").items] == [150, 12, 40]
    write(book, "O002 was zinnia lime")
    assert order(book, "O002").items[2].colors == ("lime",)
    assert "name it as well" in refused(book, "O002 was 40 cosmos")
    write(book, "O001 was statice")
    assert order(book).items[0].name == "statice"
    refused(book, "O001 was by 10-20")


def test_of_several_items_the_one_that_is_changed_has_to_be_named(book: Session) -> None:
    assert refused(book, "O002 was 150") == (
        "Which item of O002? It has strawflower, corsage and zinnia coral or peach: name it as well."
    )


def test_an_item_is_put_in_and_dropped_by_entries_of_their_own(book: Session) -> None:
    write(book, "order O002 30 statice dry at 0.40")
    assert [item.name for item in order(book, "O002").wanted_items][-1] == "statice"
    write(book, "drop O002 corsages")
    assert [item.name for item in order(book, "O002").wanted_items] == [
        "strawflower",
        "zinnia coral or peach",
        "statice",
    ]
    write(book, "undo")
    assert len(order(book, "O002").wanted_items) == 4
    assert "has no item" not in refused(book, "drop O002 dahlia")


def test_a_whole_order_is_taken_back_by_undo_and_by_its_code(book: Session) -> None:
    write(book, "cancel O001")
    assert [who for who, *_ in wanted(book)] == ["wedding"] * 3
    assert "was cancelled" in refused(book, "order O001 20 statice dry")
    write(book, "undo")
    assert len(wanted(book)) == 4
    write(book, "undo")
    assert [who for who, *_ in wanted(book)] == ["Fern Hollow"]
    assert book.check() == []


def test_a_buyer_is_never_made_by_a_slip(book: Session) -> None:
    assert "Did you mean Fern Hollow?" in refused(book, "order Fern Holow 10 statice dry by 8-1")
    assert "Did you mean Fern Hollow?" in refused(book, "order Fern Hallow 10 statice dry by 8-1")
    write(book, "order fern hollow 10 statice dry by 8-1", "order Fern 11 statice dry by 8-1")
    assert {o.buyer for o in book.farm.orders.all()} == {"Fern Hollow", "wedding"}
    write(book, "order 'Fern Holow' 10 statice dry by 8-1")
    assert order(book, "O005").buyer == "Fern Holow"
    assert "may be Fern Hollow or Fern Holow" in refused(book, "order Fern 11 statice dry by 8-1")


def test_an_order_outlives_the_cache_and_is_in_its_own_story(book: Session) -> None:
    book.close()
    again = Session.open(book.folder, by="ml", on=DAY)
    assert wanted(again) == wanted(book)
    story = again.look_back.history("o001")
    assert not isinstance(story, Problem)
    assert [entry.kind for entry in story] == ["ordered", "order item"]


def test_two_orders_of_one_code_written_in_one_moment_keep_their_own_items() -> None:
    """Two machines apart: by their instants the lines lie between each other."""
    pencil = small_farm()
    head, item = {"order": "O001", "due_on": "2026-09-01"}, {"order": "O001", "item": 1, "form": "fresh"}
    entries = [
        pencil.made("ordered", buyer="Fern Hollow", **head),
        pencil.made("ordered", buyer="Hill Table", **head),
        pencil.made("order item", crop="zinnia", count=40, **item),
        pencil.made("order item", crop="zinnia", count=7, **item),
    ]
    by_two = [replace(entry, by=by) for entry, by in zip(entries, ("ml", "jo", "ml", "jo"), strict=True)]
    farm = fold([*pencil.entries, *by_two])
    taken = {order.buyer: [item.number for item in order.items] for order in farm.orders.live()}
    assert taken == {"Fern Hollow": [40], "Hill Table": [7]}


def test_the_form_that_is_not_said_is_one_that_there_is(tmp_path: Path) -> None:
    days = {
        "2026-06-01": ("bed b1 50ft", "plant strawflower b1 20ft", "bed b2 50ft", "plant zinnia b2 20ft"),
        "2026-06-20": ("40 strawflower b1 dry", "hang L001 line 1"),
        "2026-06-23": ("clear P01",),
    }
    book = farm_in(tmp_path / "dried", days)
    assert "zinnia fresh, as nothing else is said" in write(book, "order Ann 5 zinnia by 8-1").remarks
    written = write(book, "order Ann 5 strawflower by 8-1")
    assert "strawflower dry, as only dry is there" in written.remarks
    assert written.entries[-1].fields["form"] == "dry"
    write(book, "plant strawflower b1 20ft")
    assert write(book, "order Ann 5 strawflower by 8-1").entries[-1].fields["form"] == "fresh"


def test_a_price_for_one_of_several_things_is_told_and_0_says_what_it_takes_out(book: Session) -> None:
    told = book.complete("order Ann 5 statice dry, 4 zinnia fresh at 1 by 8-1")
    assert told.says.endswith("5 statice dry, no price; 4 zinnia fresh ...")
    written = write(book, "order Ann 5 statice dry, 4 zinnia fresh at 1 by 8-1")
    assert any("statice without a price" in remark for remark in written.remarks)
    assert "no price of lavender dry" in refused(book, "price lavender dry 0")
    write(book, "price lavender dry 9 a bunch")
    assert "0 takes the price out: it was 9.00 a bunch" in write(book, "price lavender dry 0").remarks


def test_a_cancelled_order_is_brought_back_by_its_code(book: Session) -> None:
    had = [item.number for item in order(book).items]
    write(book, "cancel O001")
    for line in ("cancel O001", "order O001 5 zinnia", "O001 was by 10-1", "paid O001 5"):
        assert "'restore O001' brings it back" in refused(book, line)
    assert book.complete("restore O001").says == "restore order O001 of Fern Hollow"
    write(book, "restore O001", "order O001 5 zinnia fresh")
    assert [item.number for item in order(book).items] == [*had, 5]
    assert "was not cancelled" in refused(book, "restore O001")


def test_an_item_more_is_said_in_any_order_of_words(book: Session) -> None:
    for n, line in enumerate(
        (
            "add 3 bu of 10 statice dry to O001",
            "O001 also 3 bu of 10 statice dry",
            "order O001 30 statice dry",
        ),
        2,
    ):
        write(book, line)
        more = order(book).items[-1]
        assert (more.place, more.number, more.crop, more.form) == (n, 30, "statice", "dry"), line


def test_short_after_the_code_is_no_pick(book: Session) -> None:
    (told,) = write(book, "O001 short 20").entries
    assert (told.kind, told.fields["count"]) == ("told short", 20)


def test_is_changes_as_was_does_and_asks_which_item(book: Session) -> None:
    write(book, "O001 is 240", "O001 is by 10-20")
    assert (order(book).items[0].number, order(book).due_on) == (240, "2026-10-20")
    write(book, "order O001 5 zinnia fresh")
    assert "Which item of O001? It has" in refused(book, "O001 is 20 bu")


@pytest.mark.parametrize(
    ("said", "colors"),
    [
        ("white or coral dahlia", ("white", "coral")),
        ("white, pink or coral dahlia", ("white", "pink", "coral")),
        ("deep red or white dahlia", ("deep red", "white")),
        ("dahlia white or coral", ("white", "coral")),
    ],
)
def test_colors_may_stand_before_the_crop(book: Session, said: str, colors: tuple[str, ...]) -> None:
    write(book, f"order Lou 12 {said} fresh by 9-12")
    (item,) = order(book, "O003").items
    assert (item.crop, item.number, item.colors) == ("dahlia", 12, colors)


def test_a_new_buyer_whose_name_ends_as_a_known_one_is_another(book: Session) -> None:
    write(book, "order market 5 zinnia fresh by 7-1")
    written = write(book, "order Christmas market 10 bu of 10 statice dry by 12-1")
    assert written.entries[0].fields["buyer"] == "Christmas market"
    assert "Christmas market is a new buyer" in written.remarks
    for line in ("order market 6 zinnia fresh by 7-1", "order for market 7 zinnia fresh by 7-1"):
        assert write(book, line).entries[0].fields["buyer"] == "market", line


@pytest.mark.parametrize(
    "line", ["never collected O001", "O001 no-show", "O001 not collected", "no-show O001"]
)
def test_an_order_that_nobody_came_for_is_told_its_lines(book: Session, line: str) -> None:
    says = refused(book, line)
    assert "'short O001'" in says and "'cancel O001'" in says and "was not collected" in says


def test_a_name_that_stands_whole_in_known_ones_is_asked_about(book: Session) -> None:
    write(
        book, "order 'Saturday market' 4 zinnia by 8-1", "order 'the tea room in Upper Lane' 4 zinnia by 8-1"
    )
    says = refused(book, "order market 4 zinnia by 8-1")
    assert "Did you mean Saturday market?" in says
    assert (
        write(book, "order the tea room 5 zinnia by 8-2").entries[0].fields["buyer"]
        == "the tea room in Upper Lane"
    )
    assert write(book, "order 'market' 6 zinnia by 8-2").entries[0].fields["buyer"] == "market"


def test_what_will_do_instead_is_told_wherever_the_item_is(book: Session) -> None:
    write(book, "order Lou 30 larkspur fresh by 9-12", "O003 was 30 larkspur or statice")
    page = order_page(book.farm, order(book, "O003"), DAY)
    assert any("30 larkspur fresh or statice" in text for text in page_lines(page))
    assert page.row.items == "30 larkspur fresh or statice"
    assert any("30 larkspur fresh or statice" in text for text in slip(book.farm, page))
    written = write(book, "O003 was larkspur or cosmos")
    assert order(book, "O003").items[0].instead == ("cosmos",)
    assert any("'or statice or cosmos' keeps both" in remark for remark in written.remarks)
    write(book, "O003 was larkspur or statice or cosmos")
    assert order(book, "O003").items[0].instead == ("statice", "cosmos")
